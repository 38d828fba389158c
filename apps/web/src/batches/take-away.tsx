import type { VNode } from 'preact';
import { addressOf } from '../api/ask.js';
import { mayManage } from '../state/session.js';
import { say } from '../words/say.js';

/** Everything that is kept as one file, for managers. */
export function TakeAway(): VNode | null {
  if (!mayManage.value) return null;
  const address = addressOf('/export.zip');
  return (
    <details class="sheet">
      <summary>{say('takeaway.title')}</summary>
      <div class="stack">
        <p>{say('takeaway.how')}</p>
        <div class="side-by-side">
          <a class="button" href={address} download>
            {say('takeaway.tables')}
          </a>
          <a class="button" href={`${address}?pictures=yes`} download>
            {say('takeaway.all')}
          </a>
        </div>
      </div>
    </details>
  );
}
