import type { Result } from '@veligrid/api';
import type { Stage } from '@veligrid/model';
import type { VNode } from 'preact';
import { addressOf } from '../api/ask.js';
import { StageSign } from '../parts/stage-sign.js';
import { Warnings } from '../parts/warnings.js';
import { writeAddress } from '../state/address.js';
import { limitsWords } from '../words/limits.js';
import { dateTime, decimals, percent, threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';

function Totals({ result: { all, alive } }: { readonly result: Result }): VNode {
  const rows = [
    { name: 'result.all', figures: all },
    ...(alive === null ? [] : [{ name: 'result.alive', figures: alive } as const]),
  ] as const;
  return (
    <table class="totals">
      <thead>
        <tr>
          <th scope="col" />
          <th scope="col">{say('sign.total')}</th>
          <th scope="col">{say('sign.density')}</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(({ name, figures }) => (
          <tr key={name}>
            <th scope="row">{say(name)}</th>
            <td>
              <strong class="great">{threeFigures(figures.total.estimate)}</strong>
              <br />
              {say('result.bracket', { low: threeFigures(figures.total.low), high: threeFigures(figures.total.high) })}
            </td>
            <td>{limitsWords(figures.densityPerMl, threeFigures)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Shares({ result }: { readonly result: Result }): VNode {
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">{say('result.stage')}</th>
          <th scope="col" class="number">
            {say('lengths.number')}
          </th>
          <th scope="col">{say('result.share')}</th>
        </tr>
      </thead>
      <tbody>
        {result.shares.map(({ stage, animals, share }) => (
          <tr key={stage}>
            <th scope="row">
              <span class="sign-and-word">
                <StageSign stage={stage as Stage} /> {sayOr(`stage.${stage}`, stage)}
              </span>
            </th>
            <td class="number">{animals}</td>
            <td>{limitsWords(share, (one) => percent(one))}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Lengths({ result: { lengths } }: { readonly result: Result }): VNode | null {
  if (lengths === null) return null;
  const um = (value: number): string => `${decimals(value, 1)} µm`;
  return (
    <p>
      <strong>{say('lengths.title')}:</strong> {say('result.lengths', { n: lengths.measured, out: lengths.leftOut })}{' '}
      {lengths.mean !== null && say('result.mean', { mean: limitsWords(lengths.mean, um) })}
    </p>
  );
}

const EXPORTS = [
  ['/samples/{sample}/result.csv', 'CSV'],
  ['/samples/{sample}/result.xlsx', 'XLSX'],
  ['/samples/{sample}/result.json', 'JSON'],
] as const;

function Ways({ count, standing }: { readonly count: string; readonly standing: boolean }): VNode {
  return (
    <p class="side-by-side not-printed">
      {standing && (
        <a class="button main" href={writeAddress({ screen: 'after', id: count })}>
          {say('after.go')}
        </a>
      )}
      <a class={standing ? 'button' : 'button main'} href={writeAddress({ screen: 'print', count })}>
        {say('result.print')}
      </a>
      {EXPORTS.map(([path, kind]) => (
        <a key={kind} class="button" href={addressOf(path, { sample: count })} download>
          {say('result.download', { kind })}
        </a>
      ))}
    </p>
  );
}

/** A result that somebody stands for: totals with limits, shares, lengths, audit and cautions. */
export function ResultSheet({ result, count }: { readonly result: Result; readonly count?: string }): VNode {
  const { signedOff, reopened, audit, cautions, countingRule, rulesVersion, decisions, animals } = result;
  return (
    <section class="sheet stack">
      <p class="side-by-side">
        <span class={reopened === null ? 'chip done' : 'chip open'}>
          {say(reopened === null ? 'state.signed-off' : 'result.reopened')}
        </span>
        <span>{say('result.signed', { by: signedOff.by, at: dateTime(signedOff.at) })}</span>
      </p>
      {reopened !== null && (
        <p class="note">
          {say('result.reopened-by', { by: reopened.by, at: dateTime(reopened.at), reason: reopened.reason })}
        </p>
      )}
      <Totals result={result} />
      <p class="soft small">{say('result.what-limits')}</p>
      <Warnings warnings={cautions} small />
      <Shares result={result} />
      <Lengths result={result} />
      {audit !== null && (
        <p>
          {say('result.audit', {
            n: audit.audited,
            of: audit.squares,
            difference: limitsWords(audit.difference, threeFigures),
          })}
        </p>
      )}
      <p class="soft small">
        {say('result.method', {
          animals,
          decisions,
          rule: sayOr(`rule.${countingRule}`, countingRule),
          version: rulesVersion,
        })}
      </p>
      {count !== undefined && <Ways count={count} standing={reopened === null} />}
    </section>
  );
}
