import type { BatchSeason } from '@veligrid/api';
import { scaleLinear } from 'd3-scale';
import type { VNode } from 'preact';
import { writeAddress } from '../state/address.js';
import { decimals, threeFigures } from '../words/numbers.js';
import { limitsWords } from '../words/limits.js';
import { say } from '../words/say.js';
import { AxisX, AxisY, type Scale } from './axes.js';
import { EDGE, HEIGHT, WIDTH } from './chart.js';
import { Points, type CoursePoint } from './points.js';
import { TankLegend, tankOrder } from './tank-mark.js';

type Growth = BatchSeason['growth'];

function pointsOf({ points }: Growth): CoursePoint[] {
  const order = tankOrder(points.map(({ tank }) => tank));
  return points.flatMap(({ sample, tank, day, meanUm, percentiles, place }) => {
    if (meanUm === null) return [];
    const [p10, p90] = [10, 90].map((percent) => percentiles.find((one) => one.percent === percent)?.lengthUm);
    const words = say('growth.point', {
      day: decimals(day, 1),
      tank: tank?.name ?? '–',
      mean: limitsWords(meanUm, threeFigures),
      place: say(`growth.place.${place}`),
    });
    return [
      {
        key: sample.id,
        day,
        value: meanUm,
        ...(p10 === undefined || p90 === undefined ? {} : { spread: [p10, p90] as const }),
        shape: order.get(tank?.id ?? '') ?? 0,
        href: writeAddress({ screen: 'lengths', count: sample.id, show: null }),
        words,
      },
    ];
  });
}

interface BandProps {
  readonly band: Growth['band'];
  readonly x: Scale;
  readonly y: Scale;
}

function Band({ band, x, y }: BandProps): VNode | null {
  const last = band.at(-1);
  if (last === undefined) return null;
  const line = (edge: 'slowUm' | 'fastUm'): string[] => band.map((one) => `${x(one.day)},${y(one[edge])}`);
  return (
    <g aria-hidden="true">
      <polygon class="band" points={[...line('fastUm'), ...line('slowUm').toReversed()].join(' ')} />
      {(['fastUm', 'slowUm'] as const).map((edge) => (
        <polyline key={edge} class="band-edge" points={line(edge).join(' ')} />
      ))}
      <text class="edge-name" x={x(last.day) - 6} y={y(last.fastUm) - 8} text-anchor="end">
        {say('growth.fast')}
      </text>
      <text class="edge-name" x={x(last.day) - 6} y={y(last.slowUm) + 36} text-anchor="end">
        {say('growth.slow')}
      </text>
    </g>
  );
}

/** Mean lengths by age with their limits, over the band of the species. */
export function GrowthChart({ growth }: { readonly growth: Growth }): VNode {
  const points = pointsOf(growth);
  const highest = Math.max(
    100,
    ...growth.band.map(({ fastUm }) => fastUm),
    ...points.flatMap(({ value, spread }) => [value.high, spread?.[1] ?? 0]),
  );
  const lastDay = Math.max(growth.band.at(-1)?.day ?? 1, ...points.map(({ day }) => day));
  const x = scaleLinear([0, lastDay], [EDGE.left, WIDTH - EDGE.right]);
  const y = scaleLinear([0, highest], [HEIGHT - EDGE.bottom, EDGE.top]).nice();
  return (
    <>
      <TankLegend tanks={growth.points.map(({ tank }) => tank)} />
      <svg class="course-chart" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label={say('growth.title')}>
        <Band band={growth.band} x={x} y={y} />
        <AxisY scale={y} label={say('growth.axis')} write={threeFigures} />
        <AxisX scale={x} label={say('chart.day')} write={threeFigures} />
        <Points points={points} x={x} y={y} />
      </svg>
    </>
  );
}
