import type { AfterCount, PlanAnswer } from '@veligrid/api';
import type { Stage } from '@veligrid/model';
import type { ComponentChildren, VNode } from 'preact';
import { ScrollX } from '../parts/scroll-x.js';
import { StageSign } from '../parts/stage-sign.js';
import { isGrave, Warnings } from '../parts/warnings.js';
import { CorrectButton } from '../spawns/correct-button.js';
import { writeAddress } from '../state/address.js';
import { limitsWords, type ShownLimits } from '../words/limits.js';
import { dateTime, decimals, percent, threeFigures } from '../words/numbers.js';
import { toldWords } from '../words/read-back.js';
import { say, sayOr } from '../words/say.js';

const part = (one: ShownLimits): string => limitsWords(one, (value) => percent(value));
const um = (one: ShownLimits): string => `${limitsWords(one, threeFigures)} µm`;

function Line({ name, children }: { readonly name: string; readonly children: ComponentChildren }): VNode {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{children}</td>
    </tr>
  );
}

/** What the survival says in a word or two. */
function verdictOf(answer: Extract<PlanAnswer, { kind: 'survival' }>): string {
  const [interval] = answer.intervals;
  if (answer.warnings.some(({ code }) => code === 'survival-above-1')) return say('after.impossible');
  if (answer.warnings.some(({ code }) => code === 'heavy-loss')) return say('after.heavy-loss');
  return say(interval?.noMeasurableLoss === true ? 'after.no-loss' : 'after.loss');
}

function Survival({ survival }: { readonly survival: AfterCount['survival'] }): VNode | null {
  const [interval] = survival?.kind === 'survival' ? survival.intervals : [];
  if (survival?.kind !== 'survival' || interval === undefined) return null;
  const { survival: share, survivalPerDay, unexplained, fromDay, toDay } = interval;
  return (
    <Line name={say('batch.survival')}>
      <strong>{part(share)}</strong> {say('after.in-days', { days: decimals(toDay - fromDay, 1) })}
      <br />
      <span class={survival.warnings.some(isGrave) ? 'chip bad' : 'chip done'}>{verdictOf(survival)}</span>
      <br />
      {say('after.a-day', { share: part(survivalPerDay) })}
      <br />
      {say('after.unexplained')}: {limitsWords(unexplained, threeFigures)}
    </Line>
  );
}

function Growth({ growth }: { readonly growth: AfterCount['growth'] }): VNode | null {
  if (growth?.kind !== 'growth') return null;
  const { sinceLast, days, temperatureNote, temperatureC } = growth;
  const today = days.at(-1);
  if (today === undefined) return null;
  const { place, slowUm, fastUm, day } = today;
  return (
    <Line name={say('after.growth')}>
      {sinceLast !== null && (
        <>
          <strong>{say('after.um-a-day', { growth: limitsWords(sinceLast.umPerDay, threeFigures) })}</strong>{' '}
          {say('after.in-days', { days: decimals(sinceLast.days, 1) })}
          <br />
        </>
      )}
      <span class={place === 'within' ? 'chip done' : place === 'no band' ? 'chip open' : 'chip bad'}>
        {sayOr(`after.place.${place.replace(' ', '-')}`, place)}
      </span>{' '}
      {slowUm !== null && fastUm !== null && (
        <span>
          {say('after.band', {
            day: decimals(day, 1),
            slow: threeFigures(slowUm),
            fast: threeFigures(fastUm),
            degrees: decimals(temperatureC, 1),
          })}
        </span>
      )}
      {temperatureNote !== null && <span class="soft small"> {say('after.temperature-note')}</span>}
    </Line>
  );
}

function Yield({ dYield }: { readonly dYield: AfterCount['dYield'] }): VNode | null {
  const [first] = dYield?.kind === 'survival' ? dYield.yields : [];
  if (first === undefined) return null;
  return (
    <Line name={say('after.yield')}>
      <strong>{part(first.share)}</strong>{' '}
      {say('after.of', { of: sayOr(`counted.${first.denominator.replaceAll(' ', '-')}`, first.denominator) })}
    </Line>
  );
}

function Stages({ after: { shares, before } }: { readonly after: AfterCount }): VNode {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{say('result.stage')}</th>
          <th scope="col">{say('after.now')}</th>
          <th scope="col">{say('after.before')}</th>
        </tr>
      </thead>
      <tbody>
        {shares.map(({ stage, share }) => {
          const earlier = before?.shares.find((one) => one.stage === stage);
          return (
            <tr key={stage}>
              <th scope="row">
                <span class="sign-and-word">
                  <StageSign stage={stage as Stage} /> {sayOr(`stage.${stage}`, stage)}
                </span>
              </th>
              <td>{part(share)}</td>
              <td>{earlier === undefined ? '–' : part(earlier.share)}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

interface MovesProps {
  readonly moves: AfterCount['between'];
  readonly title: string;
  readonly onChanged: () => void;
}

/** Moves, each with the way to its entry. */
function Moves({ moves, title, onChanged }: MovesProps): VNode | null {
  if (moves.length === 0) return null;
  return (
    <Line name={title}>
      {moves.map(({ id, kind, at, number }) => {
        const what = sayOr(`move.${kind}`, kind);
        const words = say('after.moved', { what, number: threeFigures(number), when: dateTime(at) });
        return (
          <div key={id} class="as-line">
            <CorrectButton kind="move" id={id} at={at} of={words} words={words} onChanged={onChanged} />
          </div>
        );
      })}
    </Line>
  );
}

function BeforeLine({ before }: Pick<AfterCount, 'before'>): VNode {
  if (before === null) return <Line name={say('after.before')}>{say('after.first')}</Line>;
  const { sample, at, alive, meanLengthUm } = before;
  return (
    <Line name={say('after.before')}>
      {sample === null ? (
        say('after.came-in')
      ) : (
        <a href={writeAddress({ screen: 'sign-off', count: sample.id })}>{sample.name}</a>
      )}
      , {dateTime(at)}: {limitsWords(alive, threeFigures)}
      {meanLengthUm !== null && `, ${um(meanLengthUm)}`}
    </Line>
  );
}

interface Props {
  readonly after: AfterCount;
  /** Something that it rests on was corrected. */
  readonly onChanged: () => void;
}

/** What a count changes: survival, growth, yield and stages, held against what came before. */
export function ChangesSheet({ after, onChanged }: Props): VNode {
  const { alive, meanLengthUm, measured, deadLeftOut, ageDays, survival, growth, dYield, notWorkedOut } = after;
  const warnings = [survival, growth, dYield].flatMap((one) => one?.warnings ?? []);
  return (
    <section class="sheet stack">
      <h2>{say('after.changed')}</h2>
      <Warnings warnings={warnings} />
      {after.since.length > 0 && <p class="note">{say('after.since-note')}</p>}
      {notWorkedOut.map((why) => (
        <p key={why} class="note">
          {toldWords(why)}
        </p>
      ))}
      <div class="columns broad">
        <ScrollX label={say('after.changed')}>
          <table>
            <tbody>
              <Line name={say(deadLeftOut ? 'result.alive' : 'after.all-fixed')}>
                <strong class="great">{threeFigures(alive.estimate)}</strong>{' '}
                {say('result.bracket', { low: threeFigures(alive.low), high: threeFigures(alive.high) })}
              </Line>
              <BeforeLine before={after.before} />
              <Moves moves={after.between} title={say('after.between')} onChanged={onChanged} />
              <Moves moves={after.since} title={say('after.since')} onChanged={onChanged} />
              <Survival survival={survival} />
              <Yield dYield={dYield} />
              <Line name={say('plan.mean-length')}>
                {meanLengthUm === null ? '–' : say('after.measured', { mean: um(meanLengthUm), n: measured })}
                {ageDays !== null && `, ${say('after.age', { days: decimals(ageDays, 1) })}`}
              </Line>
              <Growth growth={growth} />
            </tbody>
          </table>
        </ScrollX>
        <Stages after={after} />
      </div>
    </section>
  );
}
