import { PrintButton } from '../print/print-button.js';
import type { BatchSeason } from '@veligrid/api';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { valueWords } from '../figures/figure-value.js';
import { figureName, figureSource, figureUnit } from '../figures/figure-words.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { session } from '../state/session.js';
import { limitsWords } from '../words/limits.js';
import { shortMoment } from '../words/dates.js';
import { dateTime, decimals, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';
import { BalanceSection } from './balance-section.js';
import { BatchHead } from './batch-screen.js';
import { GrowthSection } from './growth-section.js';
import { NowTable } from './now-section.js';
import { PedigreeSection } from './pedigree-section.js';
import { StagesSection } from './stages-section.js';
import { SurvivalSection } from './survival-section.js';
import { isCare, TimelineTable } from './timeline.js';

/** Every signed-off count, with who stands for it. */
function SignedCounts({ counts }: Pick<BatchSeason, 'counts'>): VNode {
  return (
    <section class="stack">
      <h2>{say('report.counts')}</h2>
      <table class="small signed-counts">
        <thead>
          <tr>
            <th scope="col">{say('report.count')}</th>
            <th scope="col">{say('chart.day')}</th>
            <th scope="col">{say('batch.tank')}</th>
            <th scope="col" class="number">
              {say('stages.looked-at')}
            </th>
            <th scope="col" class="number">
              {say('survival.alive')}
            </th>
            <th scope="col" class="number">
              {say('batch.per-ml')}
            </th>
            <th scope="col">{say('report.signed')}</th>
          </tr>
        </thead>
        <tbody>
          {counts.map(({ sample, at, day, tank, animals, alive, densityPerMl, photos, fixed, signedOff }) => (
            <tr key={sample.id}>
              <th scope="row">
                {shortMoment(at)}
                {fixed && `, ${say('report.fixed')}`}
                <br />
                {photos === 0 ? say('detail.by-eye') : say('detail.photos', { n: photos })}
              </th>
              <td>{day === null ? '–' : decimals(day, 1)}</td>
              <td>{tank?.name}</td>
              <td class="number">{animals}</td>
              <td class="number">{limitsWords(alive, threeFigures)}</td>
              <td class="number">{limitsWords(densityPerMl, threeFigures)}</td>
              <td>
                {signedOff.by}
                <br />
                {shortMoment(signedOff.at)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** Figures of the trade that were used, with their sources. */
function Figures({ figures }: Pick<BatchSeason, 'figures'>): VNode {
  return (
    <section class="stack">
      <h2>{say('report.figures')}</h2>
      <table class="small">
        <thead>
          <tr>
            <th scope="col">{say('report.figure')}</th>
            <th scope="col">{say('report.value')}</th>
            <th scope="col">{say('report.source')}</th>
          </tr>
        </thead>
        <tbody>
          {figures.map((figure) => (
            <tr key={figure.name}>
              <th scope="row">{figureName(figure)}</th>
              <td>{`${valueWords(figure.value)} (${figureUnit(figure)})`}</td>
              <td>{`${figureSource(figure)} [${figure.name}; ${figure.preset} ${figure.version}]`}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Paper({ season }: { readonly season: BatchSeason }): VNode {
  const { batch, now, survival, counts, balance, timeline, figures } = season;
  const known = session.value;
  return (
    <article class="report">
      <header>
        <h1>{say('report.title', { name: batch.name })}</h1>
        <p>{known?.settings.hatchery}</p>
      </header>
      {known?.demo === true && <p class="demo">{say('app.demo')}</p>}
      <div class="stack">
        <BatchHead season={season} />
        <section class="stack">
          <h2>{say('batch.where')}</h2>
          {now.length === 0 ? <p>{say('batch.nowhere')}</p> : <NowTable now={now} />}
        </section>
        <GrowthSection season={season} onPaper />
        <SurvivalSection survival={survival} timeline={timeline} onPaper />
        <StagesSection counts={counts} onPaper />
        <BalanceSection balance={balance} timeline={timeline} />
        <PedigreeSection season={season} />
        <SignedCounts counts={counts} />
        <section class="stack">
          <h2>{say('timeline.title')}</h2>
          <TimelineTable timeline={timeline.filter((one) => !isCare(one))} without={null} />
          <p class="small">{say('report.care')}</p>
        </section>
        <Figures figures={figures} />
        <p class="small">{say('batch.limits-note')}</p>
        <p class="small">{say('caution.estimate-not-certificate')}</p>
        <p class="signature">
          {say('report.made', { by: known?.who ?? '', when: dateTime(new Date().toISOString()) })}
        </p>
      </div>
    </article>
  );
}

/** The report of a batch, for the binder or the buyer. */
export function BatchReport({ id }: { readonly id: string }): VNode {
  const { value, trouble } = useAnswer(
    () => ask<'getBatchSeason'>('get', '/season/batches/{batch}', { at: { batch: id } }),
    [id],
  );
  return (
    <div class="paper">
      <PrintButton />
      <Trouble text={trouble} />
      {value === null ? (
        <p role="status">{say('app.loading')}</p>
      ) : (
        <ScrollX label={say('report.title', { name: value.batch.name })}>
          <Paper season={value} />
        </ScrollX>
      )}
    </div>
  );
}
