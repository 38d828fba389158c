import type { BatchSeason } from '@veligrid/api';
import { STAGE_MARKS, STAGES, type Stage } from '@veligrid/model';
import { scaleLinear } from 'd3-scale';
import type { VNode } from 'preact';
import { StageSign } from '../parts/stage-sign.js';
import { writeAddress } from '../state/address.js';
import { decimals, percent, threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { AxisY } from './axes.js';
import { EDGE, HEIGHT, WIDTH } from './chart.js';

type Count = BatchSeason['counts'][number];

const isStage = (name: string): name is Stage => (STAGES as readonly string[]).includes(name);
const placeOf = (name: string): number => (STAGES as readonly string[]).indexOf(name);

/** Shares of a count from the bottom up, in order of development. */
function partsOf({ shares }: Count): { stage: string; from: number; to: number }[] {
  let below = 0;
  return shares
    .toSorted((a, b) => placeOf(a.stage) - placeOf(b.stage))
    .map(({ stage, share }) => {
      const part = { stage, from: below, to: below + share.estimate };
      below = part.to;
      return part;
    });
}

/** Its larvae in rows by stage; without photos its result. */
const placeOfCount = ({ photos, sample }: Count): string =>
  writeAddress(
    photos > 0 ? { screen: 'rows', count: sample.id, show: null } : { screen: 'sign-off', count: sample.id },
  );

const barWords = (count: Count): string =>
  say('stages.bar', {
    day: count.day === null ? '–' : decimals(count.day, 1),
    tank: count.tank?.name ?? '–',
    shares: count.shares
      .map(({ stage, share }) => `${sayOr(`stage.${stage}`, stage)} ${percent(share.estimate)}`)
      .join(', '),
  });

/** Dashes and dots over the colours, so that stages of one colour differ without letters too. */
function Patterns(): VNode {
  return (
    <defs>
      <pattern id="stage-dots" width="8" height="8" patternUnits="userSpaceOnUse">
        <circle cx="3" cy="3" r="1.3" fill="#000" opacity="0.55" />
      </pattern>
      <pattern id="stage-lines" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path d="M0 0V7" stroke="#000" stroke-width="1.6" opacity="0.45" />
      </pattern>
    </defs>
  );
}

const OVER = [null, 'url(#stage-dots)', 'url(#stage-lines)'] as const;

/** What is drawn over the colour of a stage: others of the same colour get something else. */
function overOf(stage: string): string | null {
  const same = STAGES.filter((one) => isStage(stage) && STAGE_MARKS[one].colour === STAGE_MARKS[stage].colour);
  return OVER[same.findIndex((one) => one === stage) % OVER.length] ?? null;
}

interface BarProps {
  readonly count: Count;
  readonly left: number;
  readonly width: number;
  readonly y: (share: number) => number;
}

function Bar({ count, left, width, y }: BarProps): VNode {
  const middle = left + width / 2;
  return (
    <>
      <a href={placeOfCount(count)} aria-label={barWords(count)}>
        <title>{barWords(count)}</title>
        <rect class="hit" x={left - 2} y={EDGE.top} width={width + 4} height={HEIGHT - EDGE.top - EDGE.bottom + 40} />
        {partsOf(count).map(({ stage, from, to }) => {
          const box = { x: left, y: y(to), width, height: Math.max(0, y(from) - y(to)) };
          const over = overOf(stage);
          return (
            <g key={stage}>
              <rect {...box} class="part" fill={isStage(stage) ? STAGE_MARKS[stage].colour : '#888'} />
              {over !== null && <rect {...box} fill={over} />}
            </g>
          );
        })}
      </a>
      <g aria-hidden="true" class="part-signs">
        {partsOf(count)
          .filter(({ from, to }) => y(from) - y(to) > 13)
          .map(({ stage, from, to }) => (
            <text key={stage} x={middle} y={(y(from) + y(to)) / 2 + 4} text-anchor="middle" class="part-sign">
              {isStage(stage) ? STAGE_MARKS[stage].sign : '?'}
            </text>
          ))}
        <text x={middle} y={HEIGHT - EDGE.bottom + 18} text-anchor="middle">
          {count.day === null ? '–' : threeFigures(Math.round(10 * count.day) / 10)}
        </text>
        <text x={middle} y={HEIGHT - EDGE.bottom + 33} text-anchor="middle" class="soft-text">
          {count.tank?.name ?? ''}
        </text>
      </g>
    </>
  );
}

/** Stages of every count, one bar each, with letters and patterns beside the colours. */
export function StageChart({ counts }: { readonly counts: readonly Count[] }): VNode {
  const shown = counts.filter(({ shares }) => shares.length > 0);
  const y = scaleLinear([0, 1], [HEIGHT - EDGE.bottom, EDGE.top]);
  const room = (WIDTH - EDGE.left - EDGE.right) / Math.max(1, shown.length);
  const width = Math.min(46, room * 0.78);
  const stages = STAGES.filter((stage) => shown.some(({ shares }) => shares.some((one) => one.stage === stage)));
  return (
    <>
      <p class="side-by-side small chart-legend">
        {stages.map((stage) => (
          <span key={stage} class="side-by-side">
            <StageSign stage={stage} /> {say(`stage.${stage}`)}
          </span>
        ))}
      </p>
      <svg class="course-chart" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label={say('stages.title')}>
        <Patterns />
        <AxisY scale={y} label={say('stages.axis')} write={(share) => threeFigures(100 * share)} />
        {shown.map((count, i) => (
          <Bar
            key={count.sample.id}
            count={count}
            left={EDGE.left + room * (i + 0.5) - width / 2}
            width={width}
            y={y}
          />
        ))}
        <text x={(EDGE.left + WIDTH - EDGE.right) / 2} y={HEIGHT - 1} text-anchor="middle" aria-hidden="true">
          {say('chart.day')}
        </text>
      </svg>
    </>
  );
}
