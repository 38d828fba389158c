import { badArgument, type Warning } from '@veligrid/model';
import { differenceLimits, exactly, sumLimits, times, type Limits } from '@veligrid/estimation';
import { figure, numberOf, type Figure, type FigureBook } from '../presets/figure-book.js';
import { checkAmount } from './amount.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { checkAbove0, checkDifferent } from './checks.js';
import { orPreset } from './or-preset.js';
import { ruleWarning } from './sentences.js';

/** A tank for larvae. */
export interface StockedTank {
  readonly name: string;
  readonly volumeMl: number;
  /** Larvae in it now. */
  readonly larvae?: Limits;
  /** Litres an hour that flow through; static when left out. */
  readonly flowLitresPerHour?: number;
}

/** Larvae of one stage and the tanks for them. */
export interface StockingQuestion {
  /** `d-larva`, `umbo`, `eyed` or `pediveliger`. */
  readonly stage: string;
  /** Larvae per mL wanted in static tanks; the preset of the stage by default. */
  readonly perMl?: number;
  /** Larvae to be shared out; left out when the tanks say what they hold. */
  readonly larvae?: Limits;
  readonly tanks: readonly StockedTank[];
}

/** What one tank holds and should hold. */
export interface StockingTank {
  readonly name: string;
  /** Exchanges of its volume in a day; null for a static tank. */
  readonly turnoversPerDay: number | null;
  /** Most larvae for it at this stage. */
  readonly holds: number;
  /** Larvae to put in, or that it holds. */
  readonly larvae: Limits;
  readonly densityPerMl: Limits;
  /** Larvae above what it should hold, 0 or more. */
  readonly takeOut: Limits;
}

/** Where larvae go, and what has to be thinned. */
export interface StockingPlan extends Plan {
  readonly stage: string;
  readonly perMl: number;
  readonly tanks: readonly StockingTank[];
  /** Larvae in all. */
  readonly larvae: Limits;
  readonly holds: number;
  /** Larvae for which there is no room, 0 or more. */
  readonly surplus: Limits;
  /** Volume of static water that all larvae would need. */
  readonly neededMl: Limits;
  /** The same tanks at every stage of the presets. */
  readonly taper: readonly { readonly stage: string; readonly perMl: number; readonly holds: number }[];
}

const HOURS = 24;

/** Exchanges of the volume in a day: litres an hour x 24 / litres. */
const turnoversPerDay = (volumeMl: number, litresPerHour: number): number => (litresPerHour * HOURS * 1000) / volumeMl;

const notBelow0 = ({ estimate, low, high }: Limits): Limits => ({
  estimate: Math.max(0, estimate),
  low: Math.max(0, low),
  high: Math.max(0, high),
});

interface Wanted {
  readonly perMl: number;
  /** Larvae per mL for each exchange a day. */
  readonly perTurnover: number;
}

function holdsOf({ volumeMl, flowLitresPerHour }: StockedTank, { perMl, perTurnover }: Wanted): number {
  return flowLitresPerHour === undefined
    ? perMl * volumeMl
    : perTurnover * turnoversPerDay(volumeMl, flowLitresPerHour) * volumeMl;
}

function check({ larvae, tanks, perMl = 1 }: StockingQuestion): void {
  checkAbove0('perMl', perMl);
  checkDifferent(
    'tanks',
    tanks.map(({ name }) => name),
  );
  for (const tank of tanks) {
    checkAbove0(`the volume of ${tank.name}`, tank.volumeMl);
    if (tank.flowLitresPerHour !== undefined) checkAbove0(`the flow of ${tank.name}`, tank.flowLitresPerHour);
    if (tank.larvae) checkAmount(`larvae of ${tank.name}`, tank.larvae);
  }
  if (larvae) checkAmount('larvae', larvae);
  const inTanks = tanks.filter((tank) => tank.larvae !== undefined).length;
  if (larvae !== undefined && inTanks > 0) {
    throw badArgument('larvae', 'given once, for all together or tank by tank', 'both');
  }
  if (larvae === undefined && inTanks === 0) {
    throw badArgument('larvae', 'given, for all together or tank by tank', 'none');
  }
}

/** Every stage of the book with its density, in the order of the book. */
function taperOf(book: FigureBook): readonly Figure[] {
  return [...book.values()].filter(({ name }) => /^stocking\..+\.per-ml$/.test(name));
}

const overstocked = ({ densityPerMl, holds, larvae, name }: StockingTank): Warning | false =>
  larvae.low > holds * (1 + 1e-9) && ruleWarning('overstocked', { tank: name, density: densityPerMl, holds });

/**
 * Larvae per tank by stage: larvae per mL x mL, or in flowing water larvae per mL per exchange a day x exchanges x mL.
 * Larvae to be shared out go to the tanks in proportion to what each holds; what finds no room is surplus.
 *
 * @param book for `stocking.STAGE.per-ml` and `flow-through.larvae-per-ml-per-turnover`
 * @throws VeligridError `bad-argument` for volumes out of range, or larvae given twice or not at all
 */
export function stocking(input: StockingQuestion, book: FigureBook): StockingPlan {
  check(input);
  const { stage, tanks, larvae } = input;
  const density = orPreset(input.perMl, `stocking.${stage}.per-ml`, book);
  const flowing = tanks.some(({ flowLitresPerHour }) => flowLitresPerHour !== undefined);
  const flow = flowing ? figure(book, 'flow-through.larvae-per-ml-per-turnover') : null;
  const wanted: Wanted = {
    perMl: density.value,
    perTurnover: flow === null ? 0 : numberOf(flow),
  };
  const capacities = tanks.map((tank) => holdsOf(tank, wanted));
  const holds = capacities.reduce((a, b) => a + b, 0);
  const all = larvae ?? sumLimits(tanks.map((tank) => tank.larvae ?? exactly(0)));
  const part = larvae === undefined ? 0 : Math.min(1, all.estimate > 0 ? holds / all.estimate : 1) / holds;
  const rows = tanks.map((tank, i): StockingTank => {
    const room = capacities[i] ?? 0;
    const inIt = larvae === undefined ? (tank.larvae ?? exactly(0)) : times(all, part * room);
    return {
      name: tank.name,
      turnoversPerDay:
        tank.flowLitresPerHour === undefined ? null : turnoversPerDay(tank.volumeMl, tank.flowLitresPerHour),
      holds: room,
      larvae: inIt,
      densityPerMl: times(inIt, 1 / tank.volumeMl),
      takeOut: larvae === undefined ? notBelow0(differenceLimits(inIt, exactly(room))) : exactly(0),
    };
  });
  const surplus = notBelow0(differenceLimits(all, exactly(holds)));
  const taper = taperOf(book);
  return {
    stage,
    perMl: wanted.perMl,
    tanks: rows,
    larvae: all,
    holds,
    surplus,
    neededMl: times(all, 1 / wanted.perMl),
    taper: taper.map((one) => ({
      stage: one.name.split('.')[1] ?? '',
      perMl: numberOf(one),
      holds: tanks.reduce(
        (sum, tank) => sum + holdsOf(tank, { perMl: numberOf(one), perTurnover: wanted.perTurnover }),
        0,
      ),
    })),
    figures: usedFigures([density.preset, flow, ...taper]),
    warnings: raised([
      larvae !== undefined && surplus.estimate > 0 && ruleWarning('tanks-too-small', { holds, surplus }),
      ...(larvae === undefined ? rows.map(overstocked) : []),
    ]),
    cautions: [],
  };
}
