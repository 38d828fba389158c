import type { CalibrationPicture } from '@veligrid/api';
import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { say } from '../words/say.js';
import { beginPoints, crossBy, withPoint, zoomed, type Point, type TwoPoints } from './two-points.js';

interface Props {
  readonly picture: CalibrationPicture;
  readonly state: TwoPoints;
  readonly onChange: (state: TwoPoints) => void;
}

/** Part of the view that an arrow key moves the cross by, and with Shift. */
const STEP = 0.004;
const LONG_STEP = 0.05;
const ZOOM = 1.6;

const ARROWS: Readonly<Record<string, Point>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** The state after a key, or null when the key means nothing here. */
function afterKey(event: KeyboardEvent, { picture, state }: Props): TwoPoints | null {
  const size: Point = [picture.widthPx, picture.heightPx];
  const arrow = ARROWS[event.key];
  const step = event.shiftKey ? LONG_STEP : STEP;
  if (arrow !== undefined) return crossBy(state, [arrow[0] * step, arrow[1] * step], size);
  if (event.key === 'Enter' || event.key === ' ') return withPoint(state, state.cross);
  if (event.key === '+' || event.key === '=') return zoomed(state, ZOOM, size);
  if (event.key === '-') return zoomed(state, 1 / ZOOM, size);
  return event.key === 'Backspace' ? { ...state, points: state.points.slice(0, -1) } : null;
}

/** Where on the picture a tap fell. */
function tapAt(event: MouseEvent, { view: [left, top, width, height] }: TwoPoints): Point {
  const box = (event.currentTarget as SVGSVGElement).getBoundingClientRect();
  const scale = Math.min(box.width / width, box.height / height);
  const x = (event.clientX - box.left - (box.width - width * scale) / 2) / scale;
  const y = (event.clientY - box.top - (box.height - height * scale) / 2) / scale;
  return [left + x, top + y];
}

function Marks({ picture, state }: Omit<Props, 'onChange'>): VNode {
  const unit = state.view[2] / 300;
  const [a, b] = state.points;
  const [x, y] = state.cross;
  return (
    <g fill="none" stroke-width={unit}>
      {picture.found?.lines.map(([[ax, ay], [bx, by]], i) => (
        <path key={i} d={`M${ax} ${ay}L${bx} ${by}`} stroke="#d55e00" />
      ))}
      {a !== undefined && b !== undefined && <path d={`M${a.join(' ')}L${b.join(' ')}`} stroke="#ff4fa3" />}
      {state.points.map(([px, py]) => (
        <circle key={`${px} ${py}`} cx={px} cy={py} r={3 * unit} stroke="#ff4fa3" fill="#fff" />
      ))}
      <path
        d={`M${x - 7 * unit} ${y}h${5 * unit}m${4 * unit} 0h${5 * unit}M${x} ${y - 7 * unit}v${5 * unit}m0 ${4 * unit}v${5 * unit}`}
        stroke="#ff4fa3"
      />
    </g>
  );
}

/** The picture with lines found on it and two points to set by tap or key. */
export function PointPicture({ picture, state, onChange }: Props): VNode {
  const size: Point = [picture.widthPx, picture.heightPx];
  return (
    <div class="stack">
      <div
        class="point-picture"
        role="application"
        tabIndex={0}
        aria-label={say('calibration.picture')}
        aria-describedby="point-keys"
        onKeyDown={(event) => {
          const next = afterKey(event, { picture, state, onChange });
          if (next === null) return;
          event.preventDefault();
          onChange(next);
        }}
      >
        <svg
          viewBox={state.view.join(' ')}
          onClick={(event) => {
            onChange(withPoint(state, tapAt(event, state)));
          }}
        >
          <image href={picture.picture} width={picture.widthPx} height={picture.heightPx} />
          <Marks picture={picture} state={state} />
        </svg>
      </div>
      <p id="point-keys" class="small soft">
        {say('calibration.keys')}
      </p>
      <div class="side-by-side">
        <Button
          label={say('sight.nearer')}
          onClick={() => {
            onChange(zoomed(state, ZOOM, size));
          }}
        >
          +
        </Button>
        <Button
          label={say('sight.further')}
          onClick={() => {
            onChange(zoomed(state, 1 / ZOOM, size));
          }}
        >
          −
        </Button>
        <Button
          onClick={() => {
            onChange(beginPoints(...size));
          }}
        >
          {say('calibration.anew')}
        </Button>
        <span aria-live="polite">{say('tool.point-set', { n: state.points.length })}</span>
      </div>
    </div>
  );
}
