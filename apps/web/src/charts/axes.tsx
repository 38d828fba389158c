import type { ScaleLinear } from 'd3-scale';
import type { VNode } from 'preact';
import { EDGE, HEIGHT, WIDTH } from './chart.js';

export type Scale = ScaleLinear<number, number>;

interface Props {
  readonly scale: Scale;
  readonly label: string;
  readonly write: (value: number) => string;
}

/** Lines across with their numbers, and what they say. */
export function AxisY({ scale, label, write }: Props): VNode {
  return (
    <g aria-hidden="true">
      {scale.ticks(5).map((tick) => (
        <g key={tick}>
          <path d={`M${EDGE.left} ${scale(tick)}H${WIDTH - EDGE.right}`} class="grid" />
          <text x={EDGE.left - 8} y={scale(tick) + 4} text-anchor="end">
            {write(tick)}
          </text>
        </g>
      ))}
      <text transform={`translate(14 ${(EDGE.top + HEIGHT - EDGE.bottom) / 2}) rotate(-90)`} text-anchor="middle">
        {label}
      </text>
    </g>
  );
}

/** Numbers along the bottom, and what they say. */
export function AxisX({ scale, label, write }: Props): VNode {
  const floor = HEIGHT - EDGE.bottom;
  return (
    <g aria-hidden="true">
      <path d={`M${EDGE.left} ${floor}H${WIDTH - EDGE.right}`} class="axis" />
      {scale.ticks(10).map((tick) => (
        <g key={tick}>
          <path d={`M${scale(tick)} ${floor}v5`} class="axis" />
          <text x={scale(tick)} y={floor + 19} text-anchor="middle">
            {write(tick)}
          </text>
        </g>
      ))}
      <text x={(EDGE.left + WIDTH - EDGE.right) / 2} y={HEIGHT - 6} text-anchor="middle">
        {label}
      </text>
    </g>
  );
}
