import type { RulesHistory, RulesVersion } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { announce } from '../state/announce.js';
import { mayManage, session } from '../state/session.js';
import { dateTime, percent } from '../words/numbers.js';
import { toldWords } from '../words/read-back.js';
import { say } from '../words/say.js';

type Learned = NonNullable<RulesVersion['learned']>;

/** Before and after, on larvae judged without their own slide. */
function BeforeAfter({ learned }: { readonly learned: Learned }): VNode {
  const { heldOut } = learned;
  return (
    <div class="stack">
      <p>{say('rules.from', { n: learned.larvae, slides: learned.slides })}</p>
      {heldOut === null ? (
        <p class="note">{say('rules.not-compared')}</p>
      ) : (
        <table>
          <tbody>
            <tr>
              <th scope="row">{say('rules.before')}</th>
              <td class="number">{percent(heldOut.before)}</td>
            </tr>
            <tr>
              <th scope="row">{say('rules.after')}</th>
              <td class="number">{percent(heldOut.after)}</td>
            </tr>
            <tr>
              <th scope="row">{say('rules.put-right')}</th>
              <td class="number">{heldOut.putRight}</td>
            </tr>
            <tr>
              <th scope="row">{say('rules.put-wrong')}</th>
              <td class="number">{heldOut.putWrong}</td>
            </tr>
          </tbody>
        </table>
      )}
      {learned.reasons.map((reason) => (
        <p key={reason} class="note small">
          {toldWords(reason)}
        </p>
      ))}
    </div>
  );
}

/** Where rules come from: of those that are shipped, what staff need to know of it. */
const originWords = (origin: string): string =>
  origin.startsWith('Slides drawn by computer') ? say('rules.shipped') : origin;

interface VersionProps {
  readonly version: RulesVersion;
  readonly onChanged: (history: RulesHistory) => void;
}

function failed(error: unknown): void {
  announce(error instanceof Error ? error.message : String(error), 'trouble');
}

function Version({ version, onChanged }: VersionProps): VNode {
  const { species, version: name, state, made, learned, origin } = version;
  const at = { species, version: name };
  const take = (): void => {
    ask<'takeStageRules'>('post', '/stage-rules/{species}/{version}/take', { at, body: {} }).then(onChanged, failed);
  };
  const refuse = (): void => {
    ask<'refuseStageRules'>('post', '/stage-rules/{species}/{version}/refuse', { at, body: {} }).then(
      onChanged,
      failed,
    );
  };
  return (
    <li class="sheet stack">
      <h2 class="side-by-side">
        {say('rules.version', { name })}{' '}
        <span class={state === 'in-force' ? 'chip done' : 'chip open'}>{say(`rules.${state}`)}</span>
      </h2>
      <p class="soft">{originWords(origin)}</p>
      {made !== null && <p class="soft small">{say('result.signed', { by: made.by, at: dateTime(made.at) })}</p>}
      {learned !== null && <BeforeAfter learned={learned} />}
      {mayManage.value && state !== 'in-force' && (
        <p class="side-by-side">
          <Button look="main" onClick={take} disabled={learned?.accepted === false}>
            {say(state === 'earlier' ? 'rules.go-back' : 'rules.take')}
          </Button>
          {state === 'proposed' && <Button onClick={refuse}>{say('rules.refuse')}</Button>}
        </p>
      )}
    </li>
  );
}

/** Rules that tell stages apart: what waits to be learned, what is in force, and the way back. */
export function RulesScreen(): VNode {
  const species = session.value?.settings.species ?? 'eastern-oyster';
  const at = { species };
  const { value, trouble, again } = useAnswer(
    () => ask<'getStageRules'>('get', '/stage-rules/{species}', { at }),
    [species],
  );
  const [newer, setNewer] = useState<RulesHistory | null>(null);
  const [busy, setBusy] = useState(false);
  const history = newer ?? value;
  const learn = (): void => {
    setBusy(true);
    ask<'learnStageRules'>('post', '/stage-rules/{species}/learn', { at, body: {} })
      .then(() => {
        setNewer(null);
        again();
      }, failed)
      .finally(() => {
        setBusy(false);
      });
  };
  return (
    <div class="stack page">
      <h1>{say('rules.title')}</h1>
      <Trouble text={trouble} />
      {history !== null && (
        <section class="sheet stack">
          <p>{say('rules.waiting', { ...history.waiting, n: history.waiting.larvae })}</p>
          {mayManage.value && (
            <p>
              <Button look="main" onClick={learn} disabled={busy || history.waiting.larvae === 0}>
                {say(busy ? 'rules.learning' : 'rules.learn')}
              </Button>
            </p>
          )}
        </section>
      )}
      <ul class="plain-list">
        {history?.versions.toReversed().map((version) => (
          <Version key={version.version} version={version} onChanged={setNewer} />
        ))}
      </ul>
      {history !== null && history.changes.length > 0 && (
        <section class="sheet stack">
          <h2>{say('rules.history')}</h2>
          <ul>
            {history.changes.toReversed().map(({ at: when, by, what, version, reason }) => (
              <li key={when + version}>
                {say(`rules.was-${what}`, { version, by, at: dateTime(when) })}
                {reason === null ? '' : ` ${reason}`}
              </li>
            ))}
          </ul>
        </section>
      )}
    </div>
  );
}
