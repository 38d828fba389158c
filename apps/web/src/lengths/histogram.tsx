import { STAGE_MARKS, type Stage } from '@veligrid/model';
import { scaleLinear } from 'd3-scale';
import type { VNode } from 'preact';
import { writeAddress } from '../state/address.js';
import { writeFilter } from '../state/larvae.js';
import { say } from '../words/say.js';
import { keptFrom, type Bar, type LengthData } from './length-data.js';

interface Props {
  readonly data: LengthData;
  readonly count: string;
  /** Screens drawn as lines, micrometres. */
  readonly screens: readonly number[];
}

const WIDTH = 900;
const HEIGHT = 360;
const EDGE = { left: 46, right: 16, top: 34, bottom: 46 };

/** What a bar says to a screen reader. */
function barWords(bar: Bar): string {
  const parts = bar.stages.map(({ stage, number }) => `${say(`stage.${stage}`)} ${number}`);
  return `${bar.fromUm}–${bar.toUm} µm: ${parts.join(', ')}. ${say('look.show')}`;
}

interface BarProps {
  readonly bar: Bar;
  readonly count: string;
  readonly x: (um: number) => number;
  readonly y: (number: number) => number;
}

/** Parts of a bar from the bottom up, in pixels of the drawing. */
function partsOf(bar: Bar, y: (number: number) => number): { stage: Stage; top: number; height: number }[] {
  let below = 0;
  return bar.stages.map(({ stage, number }) => {
    const [bottom, top] = [y(below), y(below + number)];
    below += number;
    return { stage, top, height: bottom - top };
  });
}

/** One bar: a link to its larvae, stacked by stage. */
function BarMark({ bar, count, x, y }: BarProps): VNode {
  const left = x(bar.fromUm) + 1.5;
  const width = Math.max(2, x(bar.toUm) - x(bar.fromUm) - 3);
  const show = writeFilter({ kind: 'length', fromUm: bar.fromUm, toUm: bar.toUm });
  const hit = { x: left - 1.5, y: EDGE.top, width: width + 3, height: HEIGHT - EDGE.top - EDGE.bottom };
  return (
    <>
      <a href={writeAddress({ screen: 'rows', count, show })} aria-label={barWords(bar)}>
        <rect class="hit" {...hit} fill="transparent" />
        {partsOf(bar, y).map(({ stage, top, height }) => (
          <rect
            key={stage}
            x={left}
            y={top}
            width={width}
            height={height}
            fill={STAGE_MARKS[stage].colour}
            class="part"
          />
        ))}
      </a>
      <g aria-hidden="true" class="part-signs">
        {partsOf(bar, y)
          .filter(({ height }) => height > 15 && width > 16)
          .map(({ stage, top, height }) => (
            <text key={stage} x={left + width / 2} y={top + height / 2 + 4} text-anchor="middle" class="part-sign">
              {STAGE_MARKS[stage].sign}
            </text>
          ))}
      </g>
    </>
  );
}

/** Lengths by stage; each bar leads to its larvae. */
export function Histogram({ data, count, screens }: Props): VNode {
  const [first, last] = [data.bars[0], data.bars.at(-1)];
  const most = Math.max(1, ...data.bars.map(({ number }) => number));
  const x = scaleLinear([first?.fromUm ?? 0, last?.toUm ?? 1], [EDGE.left, WIDTH - EDGE.right]);
  const y = scaleLinear([0, most], [HEIGHT - EDGE.bottom, EDGE.top]).nice();
  const [low, high] = [first?.fromUm ?? 0, last?.toUm ?? 1];
  const drawn = screens.filter((um) => keptFrom(um) >= low && keptFrom(um) <= high);
  return (
    <svg class="histogram" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label={say('lengths.chart')}>
      {y
        .ticks(5)
        .filter(Number.isInteger)
        .map((tick) => (
          <g key={tick}>
            <path d={`M${EDGE.left} ${y(tick)}H${WIDTH - EDGE.right}`} class="grid" />
            <text x={EDGE.left - 8} y={y(tick) + 4} text-anchor="end">
              {tick}
            </text>
          </g>
        ))}
      {data.bars.map((bar) => (
        <BarMark key={bar.fromUm} bar={bar} count={count} x={x} y={y} />
      ))}
      {x.ticks(8).map((tick) => (
        <text key={tick} x={x(tick)} y={HEIGHT - EDGE.bottom + 20} text-anchor="middle">
          {tick}
        </text>
      ))}
      <text x={(EDGE.left + WIDTH - EDGE.right) / 2} y={HEIGHT - 6} text-anchor="middle">
        {say('lengths.axis')}
      </text>
      {drawn.map((um) => (
        <g key={um}>
          <path d={`M${x(keptFrom(um))} ${EDGE.top - 8}V${HEIGHT - EDGE.bottom}`} class="screen-line" />
          <text x={x(keptFrom(um))} y={EDGE.top - 14} text-anchor="middle" class="screen-name">
            {say('lengths.screen', { um })}
          </text>
        </g>
      ))}
    </svg>
  );
}
