import type { BatchSeason } from '@veligrid/api';
import type { VNode } from 'preact';
import { writeAddress, type Place } from '../state/address.js';
import { percent, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

type Pedigree = BatchSeason['pedigree'];
type Part = Pedigree['dams'][number];

/** A share as a bar, for the eye only: its number stands beside it. */
const ShareBar = ({ share }: { readonly share: number }): VNode => (
  <svg class="share-bar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
    <rect width="100" height="10" class="whole" />
    <rect width={100 * share} height="10" class="share" />
  </svg>
);

interface RowProps {
  readonly what: 'batch' | 'cross' | 'dam' | 'sire';
  readonly part: Part;
}

/** Where a part is recorded: a cross stands on the page of its spawn, a parent among the animals. */
function placeOf({ what, part: { id, spawns } }: RowProps): Place {
  if (what === 'batch') return { screen: 'batch', id };
  if (what !== 'cross') return { screen: 'animals', animal: id };
  const [spawn] = spawns;
  return spawn === undefined ? { screen: 'spawns' } : { screen: 'spawn', id: spawn.id };
}

const PartRow = ({ what, part }: RowProps): VNode => (
  <tr>
    <td>{say(`pedigree.${what}`)}</td>
    <th scope="row">
      <a href={writeAddress(placeOf({ what, part }))}>{part.name}</a>
      {part.takenAsEqual && <span class="equal small soft">{say('pedigree.equal')}</span>}
    </th>
    <td>
      {part.spawns.map(({ id, name }) => (
        <a key={id} class="in-line" href={writeAddress({ screen: 'spawn', id })}>
          {name}
        </a>
      ))}
    </td>
    <td class="number">{percent(part.share)}</td>
    <td class="bar-cell">
      <ShareBar share={part.share} />
    </td>
  </tr>
);

/** Where a batch comes from, back to the broodstock. */
export function PedigreeSection({ season: { pedigree, batch } }: { readonly season: BatchSeason }): VNode {
  const { effectiveBreeders, batches, crosses, dams, sires, unknown } = pedigree;
  const rows = [
    ...batches.filter(({ id }) => id !== batch.id || batches.length > 1).map((part) => ['batch', part] as const),
    ...crosses.map((part) => ['cross', part] as const),
    ...dams.map((part) => ['dam', part] as const),
    ...sires.map((part) => ['sire', part] as const),
  ];
  return (
    <section class="sheet stack">
      <h2>{say('pedigree.title')}</h2>
      {effectiveBreeders === null ? (
        <p>{say('pedigree.none')}</p>
      ) : (
        <p>
          <strong>{say('pedigree.breeders', { n: threeFigures(effectiveBreeders) })}</strong>
          <br />
          <span class="small soft">{say('pedigree.how')}</span>
        </p>
      )}
      {rows.length > 0 && (
        <table class="leads">
          <thead>
            <tr>
              <th scope="col">{say('pedigree.what')}</th>
              <th scope="col">{say('pedigree.name')}</th>
              <th scope="col">{say('pedigree.spawn')}</th>
              <th scope="col" class="number">
                {say('pedigree.share')}
              </th>
              <td class="bar-cell" />
            </tr>
          </thead>
          <tbody>
            {rows.map(([what, part]) => (
              <PartRow key={what + part.id} what={what} part={part} />
            ))}
            {unknown > 0 && (
              <tr>
                <td />
                <th scope="row">{say('pedigree.unknown')}</th>
                <td />
                <td class="number">{percent(unknown)}</td>
                <td class="bar-cell">
                  <ShareBar share={unknown} />
                </td>
              </tr>
            )}
          </tbody>
        </table>
      )}
    </section>
  );
}
