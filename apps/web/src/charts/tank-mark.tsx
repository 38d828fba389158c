import type { VNode } from 'preact';
import { say } from '../words/say.js';

/** Shapes that tell tanks apart without colour, round a middle of 0, 0. */
const SHAPES = [
  'M-5.5 0a5.5 5.5 0 1 0 11 0a5.5 5.5 0 1 0 -11 0z',
  'M-5 -5h10v10h-10z',
  'M0 -6.5L6.5 5H-6.5z',
  'M0 -7L7 0L0 7L-7 0z',
  'M0 6.5L6.5 -5H-6.5z',
  'M-2 -6h4v4h4v4h-4v4h-4v-4h-4v-4h4z',
] as const;

/** Places of tanks in the order they are first named, by id. */
export function tankOrder(tanks: readonly ({ readonly id: string } | null)[]): ReadonlyMap<string, number> {
  const ids = [...new Set(tanks.map((tank) => tank?.id ?? ''))];
  return new Map(ids.map((id, i) => [id, i]));
}

/** The shape of a tank. */
export const TankMark = ({ at }: { readonly at: number }): VNode => (
  <path d={SHAPES[at % SHAPES.length] ?? SHAPES[0]} class={at < SHAPES.length ? 'mark-shape' : 'mark-shape open'} />
);

interface LegendProps {
  readonly tanks: readonly ({ readonly id: string; readonly name: string } | null)[];
}

/** Which shape is which tank. */
export function TankLegend({ tanks }: LegendProps): VNode {
  const names = new Map(tanks.map((tank) => [tank?.id ?? '', tank?.name ?? '–']));
  return (
    <p class="side-by-side small chart-legend">
      {[...tankOrder(tanks)].map(([id, at]) => (
        <span key={id} class="side-by-side">
          <svg viewBox="-9 -9 18 18" width="18" height="18" aria-hidden="true">
            <TankMark at={at} />
          </svg>
          {say('chart.tank', { tank: names.get(id) ?? '' })}
        </span>
      ))}
    </p>
  );
}
