import type { PlanAnswer, SettingOfBatch } from '@veligrid/api';
import type { VNode } from 'preact';
import { Cautions } from '../parts/cautions.js';
import { Warnings } from '../parts/warnings.js';
import { session } from '../state/session.js';
import { limitsWords } from '../words/limits.js';
import { dateTime, decimals, threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';

/** An answer about packing. */
type Packing = Extract<PlanAnswer, { readonly kind: 'packing' }>;

interface Props {
  readonly batch: SettingOfBatch['batch'];
  readonly tanks: SettingOfBatch['tanks'];
  readonly packing: Packing;
  /** Larvae wanted in a package. */
  readonly perPackage: number;
  /** Packages asked for; null for all that can be filled. */
  readonly wanted: number | null;
}

/** More packages than fit one sheet are not listed one by one. */
const MOST_LISTED = 40;

/** The unit of what is filled in: `mL of drained larvae`. */
const unitWords = (unit: string): string => sayOr(`unit.${unit.replaceAll(' ', '-')}`, unit);

/** The unit alone: `mL`. */
const plainUnit = (unit: string): string => unit.split(' ')[0] ?? '';

function Facts({ batch, tanks, packing, perPackage, wanted }: Props): VNode {
  const facts: readonly (readonly [string, string])[] = [
    [say('begin.batch'), batch.name],
    [say('spawn.species'), sayOr(`species.${batch.species}`, batch.species)],
    [say('pack.from'), tanks.map(({ tank }) => tank.name).join(', ')],
    [say('pack.per-package'), threeFigures(perPackage)],
    [say('pack.fill', { unit: unitWords(packing.unit) }), decimals(packing.perPackage, 1)],
    [say('pack.holds'), limitsWords(packing.larvaePerPackage, threeFigures)],
    [say('pack.for-sure', { unit: unitWords(packing.unit) }), decimals(packing.perPackageForSure, 1)],
    [say('pack.possible'), limitsWords(packing.packages, threeFigures)],
    ...(wanted === null ? [] : [[say('pack.packages'), threeFigures(wanted)] as const]),
    [say('pack.left'), limitsWords(packing.left, threeFigures)],
  ];
  return (
    <dl class="about-count">
      {facts.map(([name, value]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}

function Packages({ packing, number }: { readonly packing: Packing; readonly number: number }): VNode {
  return (
    <ol class="packages">
      {Array.from({ length: Math.min(number, MOST_LISTED) }, (_, i) => (
        <li key={i}>
          <span class="box" aria-hidden="true" /> {decimals(packing.perPackage, 1)} {plainUnit(packing.unit)}
        </li>
      ))}
    </ol>
  );
}

/** The packing list of a shipment, on one sheet of paper. */
export function PackingSheet(props: Props): VNode {
  const { packing, wanted } = props;
  const number = wanted ?? packing.packages.estimate;
  return (
    <div class="paper">
      <article class="stack">
        <header>
          <h2>{say('pack.sheet', { batch: props.batch.name })}</h2>
          <span>
            {[session.value?.settings.hatchery ?? '', dateTime(new Date().toISOString())]
              .filter((one) => one !== '')
              .join(' · ')}
          </span>
        </header>
        <Facts {...props} />
        <Warnings warnings={packing.warnings} small />
        <h3>{say('pack.list')}</h3>
        {number < 1 && <p>{say('pack.no-whole')}</p>}
        {number > MOST_LISTED && <p>{say('pack.more', { n: number, most: MOST_LISTED })}</p>}
        <Packages packing={packing} number={number} />
        <Cautions cautions={packing.cautions} />
        <p class="signature">{say('pack.signature')}</p>
      </article>
    </div>
  );
}
