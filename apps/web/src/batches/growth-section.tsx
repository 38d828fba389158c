import type { BatchSeason } from '@veligrid/api';
import type { VNode } from 'preact';
import { Chart } from '../charts/chart.js';
import { GrowthChart } from '../charts/growth-chart.js';
import { writeAddress } from '../state/address.js';
import { temperatureWords } from '../words/amounts.js';
import { limitsWords } from '../words/limits.js';
import { decimals, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

type Growth = BatchSeason['growth'];

function Table({ growth }: { readonly growth: Growth }): VNode {
  const edge = (day: number, which: 'slowUm' | 'fastUm'): string => {
    const nearest = growth.band.findLast((one) => one.day <= day + 0.25);
    return nearest === undefined ? '–' : threeFigures(nearest[which]);
  };
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{say('chart.day')}</th>
          <th scope="col">{say('batch.tank')}</th>
          <th scope="col" class="number">
            {say('growth.measured')}
          </th>
          <th scope="col">{say('growth.axis')}</th>
          <th scope="col">{say('growth.spread')}</th>
          <th scope="col">{`${say('growth.slow')} – ${say('growth.fast')}`}</th>
          <th scope="col">{say('growth.beside')}</th>
        </tr>
      </thead>
      <tbody>
        {growth.points.map(({ sample, tank, day, measured, meanUm, percentiles, place }) => {
          const of = (percent: number): string => {
            const um = percentiles.find((one) => one.percent === percent)?.lengthUm;
            return um === undefined ? '–' : threeFigures(um);
          };
          return (
            <tr key={sample.id}>
              <th scope="row">
                <a href={writeAddress({ screen: 'lengths', count: sample.id, show: null })}>{decimals(day, 1)}</a>
              </th>
              <td>{tank?.name}</td>
              <td class="number">{measured}</td>
              <td>{meanUm === null ? '–' : limitsWords(meanUm, threeFigures)}</td>
              <td>{`${of(10)} – ${of(90)}`}</td>
              <td>{`${edge(day, 'slowUm')} – ${edge(day, 'fastUm')}`}</td>
              <td>{say(`growth.place.${place}`)}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

/** What to know of the band and the water. */
function bandWords({ bandAt, temperatureC }: Growth): string | null {
  if (bandAt === null) return null;
  const filled = {
    from: temperatureWords(bandAt.fromC),
    to: temperatureWords(bandAt.toC),
    mean: temperatureC === null ? '' : temperatureWords(temperatureC),
    pace: decimals(bandAt.pace, 2),
  };
  if (temperatureC === null) return say('growth.no-temperature', filled);
  return say(bandAt.pace < 1 ? 'growth.slowed' : 'growth.as-it-stands', filled);
}

/** How long the larvae were, count by count, beside the band of their species. */
export function GrowthSection({
  season,
  onPaper = false,
}: {
  readonly season: BatchSeason;
  readonly onPaper?: boolean;
}): VNode {
  const { growth, batch } = season;
  if (growth.points.length === 0) {
    return (
      <section class="sheet stack">
        <h2>{say('growth.title')}</h2>
        <p>{say(batch.spawnedAt === null ? 'growth.no-day' : 'chart.nothing')}</p>
      </section>
    );
  }
  return (
    <Chart
      title={say('growth.title')}
      onPaper={onPaper}
      drawing={<GrowthChart growth={growth} />}
      table={<Table growth={growth} />}
    >
      <p class="small soft">
        {say('growth.thin')} {bandWords(growth)}
      </p>
    </Chart>
  );
}
