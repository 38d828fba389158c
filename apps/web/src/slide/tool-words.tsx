import type { VNode } from 'preact';
import { decimals } from '../words/numbers.js';
import { say } from '../words/say.js';
import { finish, finishJoin } from './acts.js';
import type { SlideState } from './slide-state.js';
import { mayFinish, untapped, type Work } from './tools.js';

/** What the ruler shows: micrometres, or pixels without a scale. */
function measured({ taps }: Work, umPerPx: number | null): string | null {
  const [a, b] = taps;
  if (a === undefined || b === undefined) return null;
  const px = Math.hypot(a[0] - b[0], a[1] - b[1]);
  return umPerPx === null ? `${decimals(px, 1)} px` : `${decimals(px * umPerPx, 1)} µm`;
}

/** Which larva or photo the tool is about to change, and what to do next. */
function advice(state: SlideState, work: Work): string {
  if (work.tool === 'ruler') {
    const length = measured(work, state.count.value?.scale.umPerPx ?? null);
    return length === null ? say('tool.ruler.how') : say('tool.ruler.is', { length });
  }
  const id = state.selectedId.value ?? '';
  if (work.tool === 'join') return say('tool.join.how', { id, n: state.pickedIds.value.length });
  return work.tool === 'add' ? say('tool.add.how') : say(`tool.${work.tool}.how`, { id });
}

/** Over the photo while a tool is in use: what to tap, and the buttons that end it. */
export function ToolWords({ state }: { readonly state: SlideState }): VNode | null {
  const work = state.work.value;
  if (work === null) return null;
  const joining = work.tool === 'join';
  const ready = joining ? state.pickedIds.value.length > 0 : mayFinish(work);
  return (
    <div class="told">
      <p aria-live="polite">
        <strong>{say(`tool.${work.tool}`)}.</strong> {advice(state, work)}
      </p>
      {work.tool !== 'ruler' && (
        <button
          type="button"
          class="button main"
          disabled={!ready}
          onClick={() => {
            if (joining) finishJoin(state);
            else finish(state);
          }}
        >
          {say('tool.done')}
        </button>
      )}
      {work.taps.length > 0 && (
        <button
          type="button"
          class="button"
          onClick={() => {
            state.work.value = untapped(work);
          }}
        >
          {say('tool.back')}
        </button>
      )}
      <button
        type="button"
        class="button"
        onClick={() => {
          state.putAway();
        }}
      >
        {say(work.tool === 'ruler' ? 'tool.away' : 'tool.cancel')}
      </button>
    </div>
  );
}
