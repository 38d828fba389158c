import { exactly, productLimits, ratioLimits, times, type Limits } from '@veligrid/estimation';
import { figure, numberOf, type FigureBook } from '../presets/figure-book.js';
import { checkAmount, checkSome } from './amount.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { caution } from './cautions.js';
import { checkAbove0, checkDifferent } from './checks.js';
import { ruleWarning } from './sentences.js';

/** A tank that eggs are poured into. */
export interface PoolTank {
  readonly name: string;
  readonly volumeMl: number;
  /** Eggs per mL wanted in it; the preset by default. */
  readonly perMl?: number;
  /** mL of the pool that were poured, when it is done already. */
  readonly pouredMl?: number;
}

/** A pool of eggs and the tanks it is for. */
export interface EggPoolInput {
  /** Eggs per mL of the pool. */
  readonly densityPerMl: Limits;
  readonly poolMl: number;
  /** Fertilised part, 0 to 1; with it the wanted number per mL is one of fertilised eggs. */
  readonly fertilisedShare?: Limits;
  readonly tanks: readonly PoolTank[];
}

/** What one tank gets. */
export interface PouredTank {
  readonly name: string;
  readonly perMl: number;
  readonly eggs: number;
  /** mL of pool to pour: pour the estimate; the limits hold the mL that would be right. */
  readonly pourMl: Limits;
  /** What the tank then really holds per mL. */
  readonly reachedPerMl: Limits;
  readonly poured: { readonly ml: number; readonly perMl: Limits; readonly eggs: Limits } | null;
}

/** How to share out a pool of eggs. */
export interface EggPoolPlan extends Plan {
  readonly counted: 'eggs' | 'fertilised eggs';
  readonly pool: { readonly eggs: Limits; readonly takenMl: number; readonly leftMl: number };
  readonly tanks: readonly PouredTank[];
}

/** How far from what was wanted a poured tank may be before it is told. */
const OFF = 0.1;

function pour(tank: PoolTank, density: Limits, preset: number): PouredTank {
  const { name, volumeMl, perMl = preset, pouredMl } = tank;
  checkAbove0(`the volume of ${name}`, volumeMl);
  checkAbove0(`perMl of ${name}`, perMl);
  const eggs = perMl * volumeMl;
  const pourMl = ratioLimits(exactly(eggs), density);
  const poured =
    pouredMl === undefined
      ? null
      : { ml: pouredMl, perMl: times(density, pouredMl / volumeMl), eggs: times(density, pouredMl) };
  return { name, perMl, eggs, pourMl, reachedPerMl: times(density, pourMl.estimate / volumeMl), poured };
}

const offTarget = ({ perMl, poured }: PouredTank): boolean =>
  poured !== null &&
  Math.abs(poured.perMl.estimate / perMl - 1) > OFF &&
  (poured.perMl.low > perMl || poured.perMl.high < perMl);

/**
 * mL of an egg pool for each tank: wanted eggs per mL x tank mL / eggs per mL of the pool. The pool's own volume does not
 * enter, only whether it holds enough: a pool volume that is wrong spoils a total but not this.
 *
 * @param book for `hatching.eggs-per-ml`, where a tank does not say
 * @throws VeligridError `bad-argument` for volumes or densities that are not above 0
 */
export function eggPool(input: EggPoolInput, book: FigureBook): EggPoolPlan {
  const { densityPerMl, poolMl, fertilisedShare, tanks } = input;
  checkSome('the density of the pool', densityPerMl);
  checkAbove0('poolMl', poolMl);
  if (fertilisedShare) checkAmount('fertilisedShare', fertilisedShare);
  checkDifferent(
    'tanks',
    tanks.map(({ name }) => name),
  );
  const preset = tanks.some(({ perMl }) => perMl === undefined) ? figure(book, 'hatching.eggs-per-ml') : null;
  const density = fertilisedShare ? productLimits(densityPerMl, fertilisedShare) : densityPerMl;
  checkSome('the density of fertilised eggs', density);
  const poured = tanks.map((tank) => pour(tank, density, preset === null ? 0 : numberOf(preset)));
  const takenMl = poured.reduce((sum, tank) => sum + (tank.poured?.ml ?? tank.pourMl.estimate), 0);
  return {
    counted: fertilisedShare ? 'fertilised eggs' : 'eggs',
    pool: { eggs: times(density, poolMl), takenMl, leftMl: poolMl - takenMl },
    tanks: poured,
    figures: usedFigures([preset]),
    warnings: raised([
      takenMl > poolMl && ruleWarning('pool-too-small', { taken: takenMl, pool: poolMl }),
      ...poured.map(
        (tank) =>
          offTarget(tank) &&
          ruleWarning('poured-off-target', {
            tank: tank.name,
            ml: tank.poured?.ml ?? 0,
            density: tank.poured?.perMl ?? density,
            wanted: tank.perMl,
          }),
      ),
    ]),
    cautions: [caution('fixed-samples')],
  };
}
