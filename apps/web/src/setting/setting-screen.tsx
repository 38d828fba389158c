import type { SettingOfBatch } from '@veligrid/api';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { MoveForm } from '../entries/move-form.js';
import { Trouble } from '../parts/trouble.js';
import { Waiting } from '../parts/waiting.js';
import { useAnswer } from '../parts/use-answer.js';
import { writeAddress } from '../state/address.js';
import { mayCount } from '../state/session.js';
import { limitsWords } from '../words/limits.js';
import { dateTime, percent, threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { PackingSection } from './packing-section.js';
import { ReachedSection } from './reached-section.js';
import { SettingPlan } from './setting-plan.js';

type TankLine = SettingOfBatch['tanks'][number];

function EyedCell({ lastCount }: Pick<TankLine, 'lastCount'>): VNode {
  if (lastCount === null) return <>{say('setting.not-counted')}</>;
  const { eyed, mostWere, sample, takenAt, signedOffBy } = lastCount;
  return (
    <>
      {eyed !== null && <strong>{limitsWords(eyed, (one) => percent(one))}</strong>}
      {eyed === null && say('setting.by-eye', { stage: sayOr(`stage.${mostWere ?? 'unsure'}`, mostWere ?? '') })}
      <br />
      <a class="in-line" href={writeAddress({ screen: 'sign-off', count: sample })}>
        {say('setting.count-of', { when: dateTime(takenAt), by: signedOffBy })}
      </a>
    </>
  );
}

function Ready({ view: { tanks, available } }: { readonly view: SettingOfBatch }): VNode {
  if (available === null) {
    return (
      <section class="sheet stack not-printed">
        <h2>{say('setting.there')}</h2>
        <p>{say('setting.none-left')}</p>
      </section>
    );
  }
  return (
    <section class="sheet stack not-printed">
      <h2>{say('setting.there')}</h2>
      <table>
        <thead>
          <tr>
            <th scope="col">{say('begin.tank')}</th>
            <th scope="col">{say('setting.larvae')}</th>
            <th scope="col">{say('setting.eyed')}</th>
          </tr>
        </thead>
        <tbody>
          {tanks.map(({ tank, present, lastCount }) => (
            <tr key={tank.id}>
              <th scope="row">
                <a href={writeAddress({ screen: 'tank', id: tank.id })}>{tank.name}</a>
              </th>
              <td>{limitsWords(present, threeFigures)}</td>
              <td>
                <EyedCell lastCount={lastCount} />
              </td>
            </tr>
          ))}
        </tbody>
        {tanks.length > 1 && (
          <tfoot>
            <tr>
              <th scope="row">{say('setting.together')}</th>
              <td>
                <strong>{limitsWords(available, threeFigures)}</strong>
              </td>
              <td />
            </tr>
          </tfoot>
        )}
      </table>
      <p class="soft small">{say('setting.if-none-died')}</p>
    </section>
  );
}

function Moves({ view, onKept }: { readonly view: SettingOfBatch; readonly onKept: () => void }): VNode {
  return (
    <>
      {view.tanks.map(({ tank }) => (
        <section key={tank.id} class="sheet stack not-printed">
          <h2>{say('setting.record', { tank: tank.name })}</h2>
          <MoveForm tank={tank} kinds={['set', 'ship']} onKept={onKept} />
        </section>
      ))}
    </>
  );
}

/** Setting and shipping one batch: what there is, the plan, packing, the moves, and later what came of it. */
export function SettingScreen({ batchId }: { readonly batchId: string }): VNode {
  const { value, trouble, again } = useAnswer(
    () => ask<'getSetting'>('get', '/batches/{batch}/setting', { at: { batch: batchId } }),
    [batchId],
  );
  if (value === null) return <Waiting trouble={trouble} />;
  const { batch } = value;
  return (
    <div class="stack page">
      <div class="side-by-side spread not-printed">
        <h1>{say('setting.title', { batch: batch.name })}</h1>
        <a class="button not-printed" href={writeAddress({ screen: 'batch', id: batch.id })}>
          {say('setting.to-batch', { batch: batch.name })}
        </a>
      </div>
      <Trouble text={trouble} />
      <Ready view={value} />
      <SettingPlan view={value} />
      {value.available !== null && <PackingSection view={value} />}
      {mayCount.value && <Moves view={value} onKept={again} />}
      <ReachedSection view={value} onChanged={again} />
    </div>
  );
}
