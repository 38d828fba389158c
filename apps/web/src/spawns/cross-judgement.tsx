import type { CrossJudged } from '@veligrid/api';
import type { VNode } from 'preact';
import { ScrollX } from '../parts/scroll-x.js';
import { decimals, percent, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

type Equal = NonNullable<CrossJudged['eggs']>;

function Breeders({ judged }: { readonly judged: CrossJudged }): VNode {
  const { sires, dams, effective, inbreedingPerGeneration, sharesKnown } = judged;
  return (
    <p>
      <strong>{say('judge.effective', { n: threeFigures(effective) })}</strong>{' '}
      {say('judge.of', { dams: dams.number, sires: sires.number })}{' '}
      {say('judge.inbreeding', { share: percent(inbreedingPerGeneration) })}{' '}
      {!sharesKnown && say('judge.shares-assumed')}
    </p>
  );
}

const kinshipWords = (kinship: number | null): string => (kinship === null ? '–' : decimals(kinship, 3));

function Pairs({ judged: { pairs, kinshipLimit } }: { readonly judged: CrossJudged }): VNode {
  const isRelated = (kinship: number | null): boolean =>
    kinship !== null && kinshipLimit !== null && kinship >= kinshipLimit;
  return (
    <ScrollX label={say('judge.kinship')}>
      <table>
        <thead>
          <tr>
            <th scope="col">{say('cross.dams')}</th>
            <th scope="col">{say('cross.sires')}</th>
            <th scope="col" class="number">
              {say('judge.kinship')}
            </th>
            <td />
          </tr>
        </thead>
        <tbody>
          {pairs.map(({ dam, sire, kinship, tried }) => (
            <tr key={`${dam} ${sire}`}>
              <td>{dam}</td>
              <td>{sire}</td>
              <td class="number">{kinshipWords(kinship)}</td>
              <td>
                {isRelated(kinship) && <span class="chip bad">{say('judge.related')}</span>}{' '}
                {tried && <span class="chip open">{say('judge.tried')}</span>}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollX>
  );
}

/** mL to take of each, so that each gives the same. */
function EqualShares({ title, equal }: { readonly title: string; readonly equal: Equal }): VNode {
  return (
    <div>
      <h4>{title}</h4>
      <ScrollX label={title}>
        <table>
          <thead>
            <tr>
              <th scope="col">{say('animal.tag')}</th>
              <th scope="col" class="number">
                {say('judge.take')}
              </th>
              <th scope="col" class="number">
                {say('judge.left')}
              </th>
              <th scope="col" class="number">
                {say('spawn.counted')}
              </th>
            </tr>
          </thead>
          <tbody>
            {equal.parts.map(({ animal, ml, leftMl, number }) => (
              <tr key={animal}>
                <th scope="row">{animal}</th>
                <td class="number">{threeFigures(ml)} mL</td>
                <td class="number">{threeFigures(leftMl)} mL</td>
                <td class="number">{number === null ? '–' : threeFigures(number)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
      {equal.total !== null && (
        <p class="small">{say('judge.together', { n: threeFigures(equal.total), ml: threeFigures(equal.totalMl) })}</p>
      )}
      {equal.by === 'volume' && (
        <p class="note small">{say('judge.by-volume', { names: equal.notCounted.join(', ') })}</p>
      )}
    </div>
  );
}

/** What a cross would be worth: breeders, kinship, equal shares. Nothing is recorded by looking. */
export function CrossJudgement({ judged }: { readonly judged: CrossJudged }): VNode {
  const { eggs, sperm, pool, parentsUnknown, pairs } = judged;
  return (
    <section class="stack judged" aria-label={say('judge.title')}>
      <h3>{say('judge.title')}</h3>
      <Breeders judged={judged} />
      {pairs.every(({ kinship }) => kinship === null) ? <p>{say('judge.no-parents')}</p> : <Pairs judged={judged} />}
      {parentsUnknown.length > 0 && pairs.some(({ kinship }) => kinship !== null) && (
        <p class="note small">{say('judge.unknown', { names: parentsUnknown.join(', ') })}</p>
      )}
      <div class="columns">
        {eggs !== null && eggs.parts.length > 1 && <EqualShares title={say('judge.eggs')} equal={eggs} />}
        {sperm !== null && sperm.parts.length > 1 && <EqualShares title={say('judge.sperm')} equal={sperm} />}
        {pool !== null && (
          <div>
            <h4>{say('judge.pool')}</h4>
            <ul>
              {pool.map(({ animal, ml }) => (
                <li key={animal}>{say('judge.pool-part', { animal, ml: threeFigures(ml) })}</li>
              ))}
            </ul>
          </div>
        )}
      </div>
    </section>
  );
}
