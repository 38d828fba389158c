import type { VNode } from 'preact';
import { say } from '../words/say.js';
import { roundLength } from './round-length.js';
import type { SlideView } from './slide-view.js';

const WIDEST = 160;

/** A bar of a round number of micrometres over the photo. */
export function ScaleBar({ view, umPerPx }: { readonly view: SlideView; readonly umPerPx: number | null }): VNode {
  const sight = view.sight.value;
  if (umPerPx === null) return <div class="scale-bar">{say('slide.no-scale')}</div>;
  if (sight === null) return <div class="scale-bar" />;
  const um = roundLength((WIDEST * umPerPx) / sight.scale);
  const width = (um / umPerPx) * sight.scale;
  return (
    <div class="scale-bar">
      {um >= 1000 ? `${um / 1000} mm` : `${um} µm`}
      <svg width={width} height="8" aria-hidden="true">
        <path d={`M1 0V8M1 4H${width - 1}M${width - 1} 0V8`} stroke="#10211f" stroke-width="2" />
      </svg>
    </div>
  );
}
