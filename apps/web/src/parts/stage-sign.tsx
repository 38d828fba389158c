import { STAGE_MARKS, type Stage } from '@veligrid/model';
import type { VNode } from 'preact';

/** Colours so pale that dark letters read better on them. */
const DARK_INK = ['#e69f00', '#f0e442', '#cc79a7', '#56b4e9', '#009e73', '#d55e00'];

/** Colour and sign of a stage, as drawn over the photo. */
export function StageSign({ stage }: { readonly stage: Stage }): VNode {
  const { colour, sign } = STAGE_MARKS[stage];
  const ink = DARK_INK.includes(colour) ? '#000' : '#fff';
  return (
    <svg class="stage-sign" viewBox="0 0 34 24" aria-hidden="true">
      <rect x="1" y="1" width="32" height="22" rx="11" fill={colour} stroke="#fff" stroke-width="1.5" />
      <text x="17" y="16.5" text-anchor="middle" font-size="13" font-weight="700" fill={ink}>
        {sign}
      </text>
    </svg>
  );
}
