import type { VNode } from 'preact';
import type { ShownLimits } from '../words/limits.js';
import type { Scale } from './axes.js';
import { TankMark } from './tank-mark.js';

/** A point of a course with the limits between which it lies. */
export interface CoursePoint {
  readonly key: string;
  readonly day: number;
  readonly value: ShownLimits;
  /** A wider spread to show behind it. */
  readonly spread?: readonly [low: number, high: number];
  /** Place of its tank among the shapes. */
  readonly shape: number;
  readonly href: string;
  /** What it says to a screen reader. */
  readonly words: string;
}

interface Props {
  readonly points: readonly CoursePoint[];
  readonly x: Scale;
  readonly y: Scale;
}

const byShape = (points: readonly CoursePoint[]): CoursePoint[][] => {
  const lines = new Map<number, CoursePoint[]>();
  for (const point of points) lines.set(point.shape, [...(lines.get(point.shape) ?? []), point]);
  return [...lines.values()];
};

/** Points joined tank by tank; each leads to its count. */
export function Points({ points, x, y }: Props): VNode {
  return (
    <>
      {byShape(points).map((line) => (
        <polyline
          key={line[0]?.shape}
          class="course"
          points={line.map(({ day, value }) => `${x(day)},${y(value.estimate)}`).join(' ')}
        />
      ))}
      {points.map(({ key, day, value, spread, shape, href, words }) => (
        <a key={key} href={href} aria-label={words}>
          <title>{words}</title>
          {spread !== undefined && <path class="spread" d={`M${x(day)} ${y(spread[0])}V${y(spread[1])}`} />}
          <path
            class="whisker"
            d={`M${x(day)} ${y(value.low)}V${y(value.high)}M${x(day) - 5} ${y(value.low)}h10M${x(day) - 5} ${y(value.high)}h10`}
          />
          <circle class="hit" cx={x(day)} cy={y(value.estimate)} r="16" />
          <g transform={`translate(${x(day)} ${y(value.estimate)})`}>
            <TankMark at={shape} />
          </g>
        </a>
      ))}
    </>
  );
}
