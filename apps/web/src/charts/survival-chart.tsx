import type { BatchSeason } from '@veligrid/api';
import { scaleLinear } from 'd3-scale';
import type { VNode } from 'preact';
import { writeAddress } from '../state/address.js';
import { limitsWords } from '../words/limits.js';
import { decimals, percent, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';
import { AxisX, AxisY } from './axes.js';
import { EDGE, HEIGHT, WIDTH } from './chart.js';
import { Points, type CoursePoint } from './points.js';
import { TankLegend, tankOrder } from './tank-mark.js';

type Survival = BatchSeason['survival'];

function pointsOf({ points }: Survival): CoursePoint[] {
  const order = tankOrder(points.map(({ tank }) => tank));
  return points.flatMap(({ sample, tank, day, ofStocked }) => {
    if (day === null) return [];
    const words = say('survival.point', {
      day: decimals(day, 1),
      tank: tank.name,
      survival: limitsWords(ofStocked, (one) => percent(one)),
    });
    const href = writeAddress({ screen: 'sign-off', count: sample.id });
    return [{ key: sample.id, day, value: ofStocked, shape: order.get(tank.id) ?? 0, href, words }];
  });
}

/** Part of those stocked that was alive at each count, with limits. */
export function SurvivalChart({ survival }: { readonly survival: Survival }): VNode {
  const points = pointsOf(survival);
  const lastDay = Math.max(1, ...points.map(({ day }) => day));
  const highest = Math.max(1, ...points.map(({ value }) => value.high));
  const x = scaleLinear([0, Math.ceil(lastDay + 0.5)], [EDGE.left, WIDTH - EDGE.right]);
  const y = scaleLinear([0, highest], [HEIGHT - EDGE.bottom, EDGE.top]).nice();
  return (
    <>
      <TankLegend tanks={survival.points.map(({ tank }) => tank)} />
      <svg class="course-chart" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label={say('survival.title')}>
        <AxisY scale={y} label={say('survival.axis')} write={(share) => threeFigures(100 * share)} />
        <path d={`M${EDGE.left} ${y(1)}H${WIDTH - EDGE.right}`} class="all-line" />
        <AxisX scale={x} label={say('chart.day')} write={threeFigures} />
        <Points points={points} x={x} y={y} />
      </svg>
    </>
  );
}
