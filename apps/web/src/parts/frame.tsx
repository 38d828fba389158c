import type { ComponentChildren, VNode } from 'preact';
import { silent } from '../api/reach.js';
import { message, putAway } from '../state/announce.js';
import { place } from '../state/place.js';
import type { Place } from '../state/address.js';
import { session } from '../state/session.js';
import { say } from '../words/say.js';
import { Button } from './button.js';
import { Head } from './head.js';

/** Screens that fill the window and scroll inside. */
const TALL: readonly Place['screen'][] = ['slide'];

function MessageBar(): VNode {
  const now = message.value;
  return (
    <div role="status" aria-live="polite">
      {silent.value && now === null && <p class="message trouble">{say('app.away')}</p>}
      {now !== null && (
        <div key={now.id} class={now.tone === 'trouble' ? 'message trouble' : 'message'}>
          <span>{now.text}</span>
          <Button onClick={putAway} label={say('message.close')}>
            ×
          </Button>
        </div>
      )}
    </div>
  );
}

/** What stands round every screen. */
export function Frame({ children }: { readonly children: ComponentChildren }): VNode {
  return (
    <div class="frame" data-tall={TALL.includes(place.value.screen) ? 'yes' : 'no'}>
      <div>
        <a
          class="skip"
          href="#content"
          onClick={(event) => {
            toContent(event);
          }}
        >
          {say('app.skip')}
        </a>
        <Head />
        {session.value?.demo === true && <p class="demo">{say('app.demo')}</p>}
      </div>
      {children}
      <MessageBar />
    </div>
  );
}

/** The address says which screen is open, so the link moves the focus without changing it. */
function toContent(event: Event): void {
  event.preventDefault();
  document.querySelector<HTMLElement>('#content')?.focus();
}

/** What a screen shows below the head; the steps of a count come before it. */
export function Content({ children }: { readonly children: ComponentChildren }): VNode {
  return (
    <main id="content" tabIndex={-1}>
      {children}
    </main>
  );
}
