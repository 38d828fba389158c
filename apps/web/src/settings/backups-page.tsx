import type { Backups } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { Button } from '../parts/button.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { announce } from '../state/announce.js';
import { mayManage } from '../state/session.js';
import { dateTime, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

const MEGABYTE = 1e6;
const GIGABYTE = 1e9;

const bytesWords = (bytes: number): string =>
  bytes >= GIGABYTE ? `${threeFigures(bytes / GIGABYTE)} GB` : `${threeFigures(bytes / MEGABYTE)} MB`;

const PARTS = ['database', 'pictures', 'cache', 'free'] as const;

function Use({ use }: { readonly use: Backups['use'] }): VNode {
  return (
    <section class="sheet stack">
      <h2>{say('backups.use')}</h2>
      <table>
        <tbody>
          {PARTS.map((part) => (
            <tr key={part}>
              <th scope="row">{say(`backups.${part}`)}</th>
              <td class="number">{bytesWords(use[part])}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Made({ backups: { plan, made } }: { readonly backups: Backups }): VNode {
  if (plan === null) return <p class="note">{say('backups.no-plan')}</p>;
  return (
    <>
      <p>{say('backups.plan', { folder: plan.folder, hours: plan.everyHours, keep: plan.keep })}</p>
      {made.length === 0 ? (
        <p class="note">{say('backups.none')}</p>
      ) : (
        <ol reversed>
          {made.map(({ name, at }) => (
            <li key={name}>
              {dateTime(at)} <span class="soft small">{name}</span>
            </li>
          ))}
        </ol>
      )}
    </>
  );
}

function Pages(): VNode {
  const { value, trouble } = useAnswer(() => ask<'listBackups'>('get', '/backups'), []);
  const [newer, setNewer] = useState<Backups | null>(null);
  const [busy, setBusy] = useState(false);
  const backups = newer ?? value;
  const make = (): void => {
    setBusy(true);
    ask<'makeBackup'>('post', '/backups', { body: {} })
      .then(
        (next) => {
          setNewer(next);
          announce(say('backups.done'));
        },
        (error: unknown) => {
          announce(error instanceof Error ? error.message : String(error), 'trouble');
        },
      )
      .finally(() => {
        setBusy(false);
      });
  };
  if (backups === null) return <Trouble text={trouble} />;
  return (
    <>
      <section class="sheet stack">
        <h2>{say('backups.made')}</h2>
        <Made backups={backups} />
        {backups.plan !== null && (
          <p>
            <Button look="main" onClick={make} disabled={busy}>
              {say(busy ? 'backups.making' : 'backups.make')}
            </Button>
          </p>
        )}
      </section>
      <Use use={backups.use} />
    </>
  );
}

/** Backups that were made, the room that everything takes, and how a backup is brought back. */
export function BackupsPage(): VNode {
  return (
    <div class="stack page">
      <h1>{say('nav.backups')}</h1>
      {mayManage.value ? <Pages /> : <p class="note">{say('backups.manager')}</p>}
      <section class="sheet stack">
        <h2>{say('backups.restore')}</h2>
        <p>{say('backups.restore-how')}</p>
        <pre class="scroll-x" tabIndex={0}>
          veligrid restore {say('backups.folder')} --data {say('backups.new-folder')}
        </pre>
        <p>{say('backups.restore-check')}</p>
      </section>
    </div>
  );
}
