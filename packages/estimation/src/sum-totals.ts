import { badArgument, type Warning } from '@veligrid/model';
import { combine, type Contribution } from './budget.js';
import type { CountInput } from './count-input.js';
import { estimateCount, type CountEstimate } from './estimate-count.js';
import { checkLevel, logLimits, twoSided, type Level, type Limits } from './limits.js';
import { sum } from './moments.js';

/** One tank, container or screen class with its count. */
export interface TotalPart {
  readonly name: string;
  readonly count: CountInput;
}

/** Options of a sum. */
export interface SumOptions {
  /** Whether one container or one mark measured all volumes, so that its error is the same in all; false by default. */
  readonly sameContainer?: boolean;
  readonly level?: Level;
}

/** Totals of parts and their sum. */
export interface TotalsEstimate {
  readonly parts: readonly { readonly name: string; readonly estimate: CountEstimate }[];
  readonly total: Limits;
  /** Of the sum; null when nothing was counted. */
  readonly relativeStandardUncertainty: number | null;
  /** Of the sum; null when as good as unlimited. */
  readonly degreesOfFreedom: number | null;
  /** What the sum is uncertain by, each over the sum. */
  readonly contributions: readonly Contribution[];
  /** Those of the parts, with the name of the part in front. */
  readonly warnings: readonly Warning[];
}

/** A source of one part, as a part of the sum. */
interface Weighted extends Contribution {
  readonly part: string;
}

type Kind = 'own' | 'scatter of history' | 'volume counted' | 'container volume';

/** What a source has in common with the same source of other parts. */
function kindOf({ name, source }: Contribution, sameContainer: boolean): Kind {
  if (source === 'history' || source === 'starting') return 'scatter of history';
  if (name.startsWith('volume counted')) return 'volume counted';
  if (name.startsWith('container volume') && sameContainer) return 'container volume';
  return 'own';
}

/** The same source in several parts as one: errors in common add up, those apart add by squares. */
function joined(sources: readonly Weighted[], inCommon: boolean): Contribution[] {
  const [first] = sources;
  if (first === undefined) return [];
  const { name, source, degreesOfFreedom } = first;
  const us = sources.map(({ relativeStandardUncertainty: u }) => u);
  return [{ name, source, degreesOfFreedom, relativeStandardUncertainty: inCommon ? sum(us) : Math.hypot(...us) }];
}

function sourcesOfSum(weighted: readonly Weighted[], sameContainer: boolean): Contribution[] {
  const of = (kind: Kind): Weighted[] => weighted.filter((one) => kindOf(one, sameContainer) === kind);
  return [
    ...of('own').map(({ part, name, ...rest }) => ({ ...rest, name: `${part}: ${name}` })),
    // Fillings scatter each by themselves, but by how much is one figure with one number of degrees of freedom.
    ...joined(of('scatter of history'), false),
    ...joined(of('volume counted'), true),
    ...joined(of('container volume'), true),
  ];
}

/** Limits of the sum; parts in which nothing was counted add to the upper one. */
function limitsOfSum(estimates: readonly CountEstimate[], h: number): Limits {
  const estimate = sum(estimates.map(({ total }) => total.estimate));
  const empty = estimates.filter(({ total }) => total.estimate === 0).map(({ total }) => total.high);
  const { low, high } = logLimits(estimate, h);
  return { estimate, low, high: estimate + Math.hypot(high - estimate, ...empty) };
}

/**
 * Sum over tanks or screen classes, on a log scale. What differs from part to part (counting, mixing, containers) adds
 * by squares; the depth of the one cell or the one pipette, and on demand the one container, is in all parts the same and
 * adds up in full (JCGM 100:2008 5.2.2, correlation 1). Degrees of freedom by Welch and Satterthwaite. Assumes that each
 * animal is in one part only and that all parts were counted with one cell.
 *
 * @param parts one or more
 * @throws VeligridError `bad-argument` for no parts, two of one name, or what `estimateCount` refuses
 */
export function sumTotals(parts: readonly TotalPart[], options: SumOptions = {}): TotalsEstimate {
  const { sameContainer = false, level = 0.95 } = options;
  checkLevel(level);
  const names = parts.map(({ name }) => name);
  if (parts.length === 0) throw badArgument('parts', 'a list of one or more', 'none');
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) throw badArgument('the names of the parts', 'different from each other', twice);
  const named = parts.map(({ name, count }) => ({ name, estimate: estimateCount({ ...count, level }) }));
  const estimates = named.map(({ estimate }) => estimate);
  const all = sum(estimates.map(({ total }) => total.estimate));
  const weighted = named
    .filter(({ estimate }) => estimate.total.estimate > 0)
    .flatMap(({ name: part, estimate: { total, contributions } }) =>
      contributions.map((one) => ({
        ...one,
        part,
        relativeStandardUncertainty: (one.relativeStandardUncertainty * total.estimate) / all,
      })),
    );
  const contributions = sourcesOfSum(weighted, sameContainer);
  const { relativeStandardUncertainty: u, degreesOfFreedom } = combine(contributions);
  const [only] = estimates;
  return {
    parts: named,
    total:
      estimates.length === 1 && only !== undefined
        ? only.total
        : limitsOfSum(estimates, twoSided(level, degreesOfFreedom) * u),
    relativeStandardUncertainty: all === 0 ? null : u,
    degreesOfFreedom: degreesOfFreedom === Infinity ? null : degreesOfFreedom,
    contributions,
    warnings: named.flatMap(({ name, estimate }) =>
      estimate.warnings.map(({ code, message }) => ({ code, message: `${name}: ${message}` })),
    ),
  };
}
