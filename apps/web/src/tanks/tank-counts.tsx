import type { TankSeason } from '@veligrid/api';
import { scaleLinear } from 'd3-scale';
import type { VNode } from 'preact';
import { AxisY } from '../charts/axes.js';
import { Chart, EDGE, HEIGHT, WIDTH } from '../charts/chart.js';
import { writeAddress } from '../state/address.js';
import { limitsWords, type ShownLimits } from '../words/limits.js';
import { date, dateTime, shortNumber, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

type Counts = TankSeason['counts'];

const shown = (limits: ShownLimits): string => limitsWords(limits, threeFigures);

function Table({ counts }: { readonly counts: Counts }): VNode {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{say('tank.at')}</th>
          <th scope="col">{say('print.batch')}</th>
          <th scope="col">{say('survival.expected')}</th>
          <th scope="col">{say('survival.alive')}</th>
          <th scope="col">{say('survival.unexplained')}</th>
          <th scope="col">{say('survival.says')}</th>
        </tr>
      </thead>
      <tbody>
        {counts.map(({ sample, batch, at, expected, alive, unexplained, verdict }) => (
          <tr key={sample.id}>
            <th scope="row">
              <a href={writeAddress({ screen: 'sign-off', count: sample.id })}>{dateTime(at)}</a>
            </th>
            <td>
              <a href={writeAddress({ screen: 'batch', id: batch.id })}>{batch.name}</a>
            </td>
            <td>{shown(expected)}</td>
            <td>{shown(alive)}</td>
            <td>{shown(unexplained)}</td>
            <td>{say(`verdict.${verdict}`)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Which bar is which. */
const Legend = (): VNode => (
  <p class="side-by-side small chart-legend">
    {(['expected', 'alive'] as const).map((one) => (
      <span key={one} class="side-by-side">
        <svg class="course-chart key-of-bar" viewBox="0 0 18 18" width="18" height="18" aria-hidden="true">
          <rect class={`${one}-bar`} x="3" y="2" width="12" height="14" />
        </svg>
        {say(`survival.${one}`)}
      </span>
    ))}
  </p>
);

interface BarProps {
  readonly middle: number;
  readonly width: number;
  readonly limits: ShownLimits;
  readonly look: string;
  readonly y: (number: number) => number;
}

const Bar = ({ middle, width, limits, look, y }: BarProps): VNode => (
  <>
    <rect
      class={look}
      x={middle - width / 2}
      y={y(limits.estimate)}
      width={width}
      height={Math.max(0, y(0) - y(limits.estimate))}
    />
    <path class="whisker" d={`M${middle} ${y(Math.max(0, limits.low))}V${y(limits.high)}`} />
  </>
);

const LEFT = EDGE.left + 30;

/** Expected as an open bar, alive as a full one beside it, both with limits. */
function Drawing({ counts }: { readonly counts: Counts }): VNode {
  const most = Math.max(1, ...counts.flatMap(({ expected, alive }) => [expected.high, alive.high]));
  const y = scaleLinear([0, most], [HEIGHT - EDGE.bottom, EDGE.top]).nice();
  const room = (WIDTH - LEFT - EDGE.right) / counts.length;
  const width = Math.min(26, room * 0.34);
  return (
    <>
      <Legend />
      <svg class="course-chart" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label={say('tank.chart')}>
        <AxisY scale={y} label={say('balance.animals')} write={shortNumber} />
        {counts.map(({ sample, at, expected, alive }, i) => {
          const middle = LEFT + room * (i + 0.5);
          const words = say('tank.bar', { when: dateTime(at), expected: shown(expected), alive: shown(alive) });
          return (
            <a key={sample.id} href={writeAddress({ screen: 'sign-off', count: sample.id })} aria-label={words}>
              <title>{words}</title>
              <rect class="hit" x={middle - room / 2} y={EDGE.top} width={room} height={HEIGHT - EDGE.top} />
              <Bar middle={middle - width * 0.6} width={width} limits={expected} look="expected-bar" y={y} />
              <Bar middle={middle + width * 0.6} width={width} limits={alive} look="alive-bar" y={y} />
              <text x={middle} y={HEIGHT - EDGE.bottom + 19} text-anchor="middle" aria-hidden="true">
                {date(at)}
              </text>
            </a>
          );
        })}
      </svg>
    </>
  );
}

/** Counts of a tank beside what ought to have been there. */
export function TankCounts({ counts }: { readonly counts: Counts }): VNode {
  if (counts.length === 0) {
    return (
      <section class="sheet stack">
        <h2>{say('tank.counts')}</h2>
        <p>{say('tank.counts-none')}</p>
      </section>
    );
  }
  return (
    <Chart title={say('tank.counts')} drawing={<Drawing counts={counts} />} table={<Table counts={counts} />}>
      <p class="small soft">{say('survival.how')}</p>
    </Chart>
  );
}
