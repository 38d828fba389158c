import { badArgument, type Warning } from '@veligrid/model';
import { exactly, ratioLimits, sumLimits, times, type Limits } from '@veligrid/estimation';
import { figure, numberOf, type Figure, type FigureBook } from '../presets/figure-book.js';
import { cellEquivalent, type CellEquivalent, type Equivalence } from './algae-equivalents.js';
import { mixVolumesMl } from './algae-mix.js';
import { checkSome } from './amount.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { checkAbove0, checkDifferent, checkFrom0 } from './checks.js';
import { sharesOf, tooLarge } from './ration.js';
import { shareOut, type Sharing } from './share-out.js';
import { ruleWarning } from './sentences.js';

/** A culture with what there is of it. */
export interface CultureStock {
  readonly name: string;
  readonly alga: string;
  readonly cellsPerMl: Limits;
  readonly litres: number;
}

/** A tank to be fed today. */
export interface FedTank {
  readonly name: string;
  readonly volumeMl: number;
  /** T-Iso cells per mL wanted; else the preset of the stage. */
  readonly targetCellsPerMl?: number;
  readonly stage?: string;
  readonly leftCellsPerMl?: number;
  readonly how?: 'added' | 'topped-up';
  readonly meanLengthUm?: number;
  readonly larvae?: Limits;
  /** Cultures for this tank; all that its larvae can take, in equal parts, by default. */
  readonly mix?: readonly { readonly culture: string; readonly share?: number }[];
}

/** All tanks and all cultures of one day. */
export interface FeedSheetQuestion {
  readonly tanks: readonly FedTank[];
  readonly cultures: readonly CultureStock[];
  readonly sharing?: Sharing;
  readonly equivalence?: Equivalence;
}

/** mL of one culture for one tank. */
export interface SheetDose {
  readonly culture: string;
  readonly askedMl: number;
  readonly givenMl: number;
}

/** One line of the sheet. */
export interface SheetTank {
  readonly name: string;
  readonly targetCellsPerMl: number;
  readonly doses: readonly SheetDose[];
  /** T-Iso cells per mL after feeding. */
  readonly reachedCellsPerMl: Limits;
  readonly partOfTarget: number;
  readonly cellsPerLarvaPerDay: Limits | null;
}

/** One culture after the round. */
export interface SheetCulture {
  readonly name: string;
  readonly litres: number;
  readonly askedMl: number;
  readonly givenMl: number;
  readonly leftMl: number;
  /** Tanks that got less than they asked for. */
  readonly runShort: readonly string[];
}

/** The sheet of a day. */
export interface FeedSheet extends Plan {
  readonly sharing: Sharing;
  readonly sharingInWords: string;
  readonly equivalence: Equivalence;
  readonly tanks: readonly SheetTank[];
  readonly cultures: readonly SheetCulture[];
}

const IN_WORDS: Readonly<Record<Sharing, string>> = {
  'equal-parts': 'Where a culture does not suffice, every tank gets the same part of what it asked for.',
  'in-order': 'Where a culture does not suffice, tanks are fed in the order of the list until it is empty.',
};

interface Asking {
  readonly tank: FedTank;
  readonly target: number;
  readonly preset: Figure | null;
  /** mL asked of each culture in the order of the stock; null when the mix is too thin. */
  readonly ml: readonly number[] | null;
  readonly barred: readonly Figure[];
}

/** Part of the food that each culture gives to a tank, in the order of the stock. */
function partsOf(tank: FedTank, stock: readonly CultureStock[], barred: readonly string[]): number[] {
  if (tank.mix === undefined) {
    const fit = stock.filter(({ alga, litres }) => !barred.includes(alga) && litres > 0);
    return stock.map((one) => (fit.includes(one) ? 1 / fit.length : 0));
  }
  const unknown = tank.mix.find(({ culture }) => !stock.some(({ name }) => name === culture));
  if (unknown !== undefined) {
    throw badArgument(
      `the mix of ${tank.name}`,
      `one of the cultures ${stock.map(({ name }) => name).join(', ')}`,
      unknown.culture,
    );
  }
  checkDifferent(
    `the mix of ${tank.name}`,
    tank.mix.map(({ culture }) => culture),
  );
  const shares = sharesOf(tank.mix);
  return stock.map(({ name }) => shares[tank.mix?.findIndex(({ culture }) => culture === name) ?? -1] ?? 0);
}

function targetOf(tank: FedTank, book: FigureBook): Pick<Asking, 'target' | 'preset'> {
  if (tank.targetCellsPerMl !== undefined) return { target: tank.targetCellsPerMl, preset: null };
  if (tank.stage === undefined) {
    throw badArgument(`targetCellsPerMl of ${tank.name}`, 'given, or the stage for the preset', undefined);
  }
  const preset = figure(book, `ration.${tank.stage}.cells-per-ml`);
  return { target: numberOf(preset), preset };
}

function ask(tank: FedTank, stock: readonly CultureStock[], tIso: readonly number[], book: FigureBook): Asking {
  const { name, volumeMl, leftCellsPerMl = 0, how = 'added', meanLengthUm } = tank;
  checkAbove0(`the volume of ${name}`, volumeMl);
  checkFrom0(`what is left in ${name}`, leftCellsPerMl);
  const { target, preset } = targetOf(tank, book);
  checkAbove0(`the target of ${name}`, target);
  const barred = tooLarge(stock, meanLengthUm, book);
  const parts = partsOf(
    tank,
    stock,
    barred.map((one) => one.name.split('.')[1] ?? ''),
  );
  const used = parts.some((part) => part > 0);
  const mix = parts.map((share, i) => ({
    name: stock[i]?.name ?? '',
    share,
    equivalentsPerMl: (tIso[i] ?? 1) * (stock[i]?.cellsPerMl.estimate ?? 1),
  }));
  const question = { targetPerMl: target, leftPerMl: leftCellsPerMl, volumeMl, how };
  return { tank, target, preset, barred, ml: used ? mixVolumesMl(mix, question) : null };
}

function rowOf(
  asking: Asking,
  stock: readonly CultureStock[],
  tIso: readonly number[],
  given: readonly number[],
): SheetTank {
  const { tank, target, ml } = asking;
  const { volumeMl, leftCellsPerMl = 0, how = 'added', larvae } = tank;
  const poured = given.reduce((a, b) => a + b, 0);
  const water = how === 'added' ? volumeMl + poured : volumeMl;
  const food = stock.map(({ cellsPerMl }, i) => times(cellsPerMl, (tIso[i] ?? 1) * (given[i] ?? 0)));
  const cells = sumLimits([exactly(leftCellsPerMl * volumeMl), ...food]);
  const reached = times(cells, 1 / water);
  return {
    name: tank.name,
    targetCellsPerMl: target,
    doses: stock
      .map(({ name }, i) => ({ culture: name, askedMl: ml?.[i] ?? 0, givenMl: given[i] ?? 0 }))
      .filter(({ askedMl }) => askedMl > 0),
    reachedCellsPerMl: reached,
    partOfTarget: reached.estimate / target,
    cellsPerLarvaPerDay: larvae ? ratioLimits(cells, larvae) : null,
  };
}

function check({ tanks, cultures }: FeedSheetQuestion): void {
  if (tanks.length === 0) throw badArgument('tanks', 'a list of one or more', 'none');
  if (cultures.length === 0) throw badArgument('cultures', 'a list of one or more', 'none');
  checkDifferent(
    'tanks',
    tanks.map(({ name }) => name),
  );
  checkDifferent(
    'cultures',
    cultures.map(({ name }) => name),
  );
  for (const { name, cellsPerMl, litres } of cultures) {
    checkSome(`cellsPerMl of ${name}`, cellsPerMl);
    checkFrom0(`litres of ${name}`, litres);
  }
  for (const { name, larvae } of tanks) if (larvae) checkSome(`larvae of ${name}`, larvae);
}

function sheetWarnings(
  askings: readonly Asking[],
  rows: readonly SheetTank[],
  cultures: readonly SheetCulture[],
): Warning[] {
  return raised([
    ...cultures.map(
      ({ name, askedMl, givenMl, runShort }) =>
        runShort.length > 0 &&
        ruleWarning('culture-short', { culture: name, asked: askedMl, given: givenMl, tanks: runShort.join(', ') }),
    ),
    ...rows.map(
      ({ name, partOfTarget }, i) =>
        partOfTarget < 0.995 &&
        askings[i]?.ml !== null &&
        ruleWarning('tank-short', { tank: name, part: 100 * partOfTarget }),
    ),
    ...askings.map(
      ({ tank, ml, target }) => ml === null && ruleWarning('culture-too-thin', { tank: tank.name, target }),
    ),
    ...askings.flatMap(({ tank, barred }) =>
      barred.map((one) => {
        const values = { tank: tank.name, alga: one.name.split('.')[1] ?? '', length: numberOf(one) };
        return ruleWarning('alga-too-large.in-tank', values);
      }),
    ),
  ]);
}

/**
 * Feed sheet of a day: each tank asks for mL of its mix by `mixVolumesMl`, and no more of a culture is handed out than
 * there is. Scarce culture is shared as `sharing` says; the sheet names who runs short and what every tank reaches.
 *
 * @param book for `ration.STAGE.cells-per-ml` and `algae.*`
 * @throws VeligridError `bad-argument` for volumes, densities or mixes out of range
 */
export function feedSheet(question: FeedSheetQuestion, book: FigureBook): FeedSheet {
  check(question);
  const { tanks, cultures, sharing = 'equal-parts', equivalence = 'weight' } = question;
  const equivalents: CellEquivalent[] = cultures.map(({ alga }) => cellEquivalent(alga, equivalence, book));
  const tIso = equivalents.map((one) => one.tIso);
  const askings = tanks.map((tank) => ask(tank, cultures, tIso, book));
  const given = cultures.map(({ litres }, i) =>
    shareOut(
      askings.map(({ ml }) => ml?.[i] ?? 0),
      litres * 1000,
      sharing,
    ),
  );
  const rows = askings.map((asking, t) =>
    rowOf(
      asking,
      cultures,
      tIso,
      given.map((one) => one[t] ?? 0),
    ),
  );
  const after = cultures.map(({ name, litres }, i): SheetCulture => {
    const asked = askings.map(({ ml }) => ml?.[i] ?? 0);
    const handed = given[i] ?? [];
    const givenMl = handed.reduce((a, b) => a + b, 0);
    return {
      name,
      litres,
      askedMl: asked.reduce((a, b) => a + b, 0),
      givenMl,
      leftMl: litres * 1000 - givenMl,
      runShort: tanks.filter((_, t) => (handed[t] ?? 0) < (asked[t] ?? 0)).map((tank) => tank.name),
    };
  });
  return {
    sharing,
    sharingInWords: IN_WORDS[sharing],
    equivalence,
    tanks: rows,
    cultures: after,
    figures: usedFigures([
      ...askings.flatMap(({ preset, barred }) => [preset, ...barred]),
      ...equivalents.flatMap((one) => one.figures),
    ]),
    warnings: sheetWarnings(askings, rows, after),
    cautions: [],
  };
}
