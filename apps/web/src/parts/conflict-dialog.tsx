import type { Conflict } from '@veligrid/review';
import { useEffect, useRef } from 'preact/hooks';
import type { VNode } from 'preact';
import type { OpenSample } from '../state/open-sample.js';
import { dateTime } from '../words/numbers.js';
import { say, sayOr, type Word } from '../words/say.js';
import { Button } from './button.js';
import { ScrollX } from './scroll-x.js';

type Side = Conflict['mine'];

/** One side of a conflict in words. */
function sideWords(side: Side): string {
  const what = say(`kind.${side.kind}` as Word);
  const stage = side.kind === 'relabel' ? `: ${sayOr(`stage.${side.stage}`, side.stage)}` : '';
  return `${what}${stage} · ${side.by}, ${dateTime(side.at)}`;
}

/** Shows what two people decided differently, and lets one of both stand. */
export function ConflictDialog({ open }: { readonly open: OpenSample }): VNode {
  const dialog = useRef<HTMLDialogElement>(null);
  const conflicts = open.decisions.conflicts.value;
  useEffect(() => {
    if (conflicts.length > 0) dialog.current?.showModal();
    else dialog.current?.close();
  }, [conflicts]);
  const settle = (keep: 'mine' | 'theirs') => (): void => {
    open.decisions.settle(keep);
  };
  return (
    <dialog
      ref={dialog}
      aria-labelledby="conflict-title"
      onCancel={(event) => {
        event.preventDefault();
      }}
    >
      <div class="stack">
        <h2 id="conflict-title">{say('conflict.title')}</h2>
        <p>{say('conflict.how')}</p>
        <ScrollX label={say('conflict.title')}>
          <table>
            <thead>
              <tr>
                <th scope="col">{say('conflict.about')}</th>
                <th scope="col">{say('conflict.mine')}</th>
                <th scope="col">{say('conflict.theirs')}</th>
              </tr>
            </thead>
            <tbody>
              {conflicts.map(({ mine, theirs }) => (
                <tr key={mine.id + theirs.id}>
                  <td>{'object' in mine ? mine.object : mine.photo}</td>
                  <td>{sideWords(mine)}</td>
                  <td>{sideWords(theirs)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </ScrollX>
        <div class="side-by-side">
          <Button look="main" onClick={settle('mine')}>
            {say('conflict.keep-mine')}
          </Button>
          <Button onClick={settle('theirs')}>{say('conflict.keep-theirs')}</Button>
        </div>
      </div>
    </dialog>
  );
}
