import { STAGES } from '@veligrid/model';
import type { VNode } from 'preact';
import { StageSign } from '../parts/stage-sign.js';
import { say } from '../words/say.js';
import type { LengthData } from './length-data.js';

/** Colour, sign and name of every stage that a histogram shows, in order of development. */
export function StageLegend({ data }: { readonly data: LengthData }): VNode {
  const shown = new Set(data.bars.flatMap((bar) => bar.stages.map(({ stage }) => stage)));
  const stages = STAGES.filter((stage) => shown.has(stage));
  return (
    <p class="side-by-side">
      {stages.map((stage) => (
        <span key={stage} class="side-by-side">
          <StageSign stage={stage} /> {say(`stage.${stage}`)}
        </span>
      ))}
    </p>
  );
}
