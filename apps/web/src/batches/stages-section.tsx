import type { BatchSeason } from '@veligrid/api';
import { STAGES } from '@veligrid/model';
import type { VNode } from 'preact';
import { Chart } from '../charts/chart.js';
import { StageChart } from '../charts/stage-chart.js';
import { writeAddress } from '../state/address.js';
import { limitsWords } from '../words/limits.js';
import { shortMoment } from '../words/dates.js';
import { decimals, percent } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';

type Counts = BatchSeason['counts'];

/** Heads of the columns that tell which count a row is of. */
const CountHeads = (): VNode => (
  <>
    <th scope="col">{say('chart.day')}</th>
    <th scope="col">{say('batch.tank')}</th>
    <th scope="col">{say('report.count')}</th>
    <th scope="col" class="number">
      {say('stages.looked-at')}
    </th>
  </>
);

function Table({ counts }: { readonly counts: Counts }): VNode {
  const stages = STAGES.filter((stage) => counts.some(({ shares }) => shares.some((one) => one.stage === stage)));
  return (
    <table class="small">
      <thead>
        <tr>
          <CountHeads />
          {stages.map((stage) => (
            <th key={stage} scope="col">
              {say(`stage.${stage}`)}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {counts.map(({ sample, tank, day, at, animals, shares }) => (
          <tr key={sample.id}>
            <th scope="row">{day === null ? '–' : decimals(day, 1)}</th>
            <td>{tank?.name}</td>
            <td>
              <a href={writeAddress({ screen: 'sign-off', count: sample.id })}>{shortMoment(at)}</a>
            </td>
            <td class="number">{animals}</td>
            {stages.map((stage) => {
              const found = shares.find((one) => one.stage === stage);
              return <td key={stage}>{found === undefined ? '' : limitsWords(found.share, (one) => percent(one))}</td>;
            })}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The same for paper, which has no room for a column for each stage. */
const ListedTable = ({ counts }: { readonly counts: Counts }): VNode => (
  <table class="small">
    <thead>
      <tr>
        <CountHeads />
        <th scope="col">{say('stages.title')}</th>
      </tr>
    </thead>
    <tbody>
      {counts.map(({ sample, tank, day, at, animals, shares }) => (
        <tr key={sample.id}>
          <th scope="row">{day === null ? '–' : decimals(day, 1)}</th>
          <td>{tank?.name}</td>
          <td class="whole">{shortMoment(at)}</td>
          <td class="number">{animals}</td>
          <td>
            {shares
              .map(
                ({ stage, share }) => `${sayOr(`stage.${stage}`, stage)} ${limitsWords(share, (one) => percent(one))}`,
              )
              .join('; ')}
          </td>
        </tr>
      ))}
    </tbody>
  </table>
);

/** Which stages there were at every count. */
export function StagesSection({
  counts,
  onPaper = false,
}: {
  readonly counts: Counts;
  readonly onPaper?: boolean;
}): VNode {
  const staged = counts.filter(({ shares }) => shares.length > 0);
  if (staged.length === 0) {
    return (
      <section class="sheet stack">
        <h2>{say('stages.title')}</h2>
        <p>{say('chart.nothing')}</p>
      </section>
    );
  }
  return (
    <Chart
      title={say('stages.title')}
      onPaper={onPaper}
      drawing={<StageChart counts={staged} />}
      table={onPaper ? <ListedTable counts={staged} /> : <Table counts={staged} />}
    />
  );
}
