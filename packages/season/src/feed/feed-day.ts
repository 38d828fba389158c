import type { Limits } from '@veligrid/estimation';
import { feedSheet, figure, numberOf, stageAtLength, type FeedSheet, type Figure } from '@veligrid/hatchery';
import { loadSpecies, speciesNames } from '@veligrid/imaging';
import type { RationFields } from '@veligrid/model';
import type { SeasonEntry } from '@veligrid/storage';
import type { Named } from '../history/house-names.js';
import { houseDay, type HouseDay } from '../morning/day-bounds.js';
import { dayRecord, lasting, type DayRecord } from '../morning/day-record.js';
import { culturesAt, type CultureMorning } from '../morning/morning-of.js';
import type { Rhythm } from '../morning/rhythm.js';
import { algaOf } from '../plan/alga-of.js';
import { tankLine, type TankLine } from '../morning/tank-line.js';
import type { Desk } from '../record/desk.js';
import { leftCells, type LeftCells } from './left-cells.js';

/** Algae that were given to a tank on the day. */
export interface FeedGiven {
  readonly id: string;
  readonly version: number;
  readonly at: string;
  readonly by: string;
  readonly litres: number;
}

/** One culture for one tank. */
export interface FeedDose {
  readonly culture: Named;
  /** What the sheet hands out; null when it was given without the sheet asking for it. */
  readonly litres: number | null;
  /** What the tank asks for, which may be more than there is. */
  readonly askedLitres: number | null;
  readonly given: readonly FeedGiven[];
}

/** One tank of the sheet. */
export interface FeedTank {
  readonly tank: Named;
  readonly batch: Named;
  readonly ageDays: number | null;
  readonly volumeMl: number;
  readonly present: Limits;
  readonly length: TankLine['length'];
  readonly stage: string;
  readonly left: LeftCells | null;
  readonly targetCellsPerMl: number;
  readonly reachedCellsPerMl: Limits;
  readonly partOfTarget: number;
  readonly cellsPerLarvaPerDay: Limits | null;
  readonly doses: readonly FeedDose[];
}

/** One culture of the sheet. */
export interface FeedCulture extends CultureMorning {
  /** In it at the beginning of the round, by its last reading less what was given since; null when not known. */
  readonly litres: number | null;
  readonly askedLitres: number;
  readonly handedLitres: number;
  /** Tanks that got less than they asked for. */
  readonly runShort: readonly string[];
  /** Why nothing of it is handed out; null when some can be. */
  readonly leftOut: 'no-reading' | 'no-litres' | 'unknown-alga' | null;
}

/** What every tank is fed on a day. */
export interface FeedDay {
  readonly day: string;
  readonly zone: string;
  readonly tanks: readonly FeedTank[];
  /** Tanks with larvae that are not on the sheet, with the reason. */
  readonly notFed: readonly {
    readonly tank: Named;
    readonly why: 'too-young' | 'no-volume' | 'no-stage' | 'no-figure' | 'no-culture';
  }[];
  readonly cultures: readonly FeedCulture[];
  readonly warnings: FeedSheet['warnings'];
  /** Figures that were used, with their sources. */
  readonly figures: readonly Figure[];
}

type Rations = readonly SeasonEntry<RationFields>[];

const FED_STAGES: readonly string[] = ['d-larva', 'umbo', 'eyed', 'pediveliger'];
const LITRE_ML = 1000;

/** What was given of a culture between its last reading and the round of the day. */
function goneSince(all: Rations, { culture, reading }: CultureMorning, { begins }: HouseDay): number {
  if (reading === null) return 0;
  // a reading of this morning counts what is there now: what was given before it on this day is added back
  const [from, until, sign] = reading.at < begins ? [reading.at, begins, 1] : [begins, reading.at, -1];
  return all
    .filter(({ cultureId, happenedAt }) => cultureId === culture.id && happenedAt >= from && happenedAt < until)
    .reduce((sum, { litres }) => sum + sign * litres, 0);
}

interface Stocked {
  readonly culture: CultureMorning;
  readonly alga: string | null;
  readonly litres: number | null;
  readonly leftOut: FeedCulture['leftOut'];
}

function stockOf(record: DayRecord, cultures: readonly CultureMorning[]): Stocked[] {
  const all = [...record.rations.values()].flat();
  const [book] = record.books.values();
  return cultures.map((culture) => {
    const { reading } = culture;
    const read = reading?.litres ?? null;
    const litres = read === null ? null : Math.max(0, read - goneSince(all, culture, record.day));
    const alga = book === undefined ? null : algaOf(culture.alga, book);
    const leftOut =
      reading === null ? 'no-reading' : litres === null ? 'no-litres' : alga === null ? 'unknown-alga' : null;
    return { culture, alga, litres, leftOut };
  });
}

type Known = Pick<FeedTank, 'tank' | 'volumeMl' | 'stage' | 'targetCellsPerMl'> & {
  readonly line: TankLine;
  readonly target: Figure;
};

/** Stage by mean length where larvae were measured, else what most of the last count were. */
async function stageOf({ length, lastCount, species }: TankLine): Promise<string | null> {
  if (length !== null && (await speciesNames()).includes(species)) {
    const { sizes } = await loadSpecies(species);
    return stageAtLength(sizes, length.mean.estimate);
  }
  const stage = lastCount?.stage ?? null;
  return stage !== null && FED_STAGES.includes(stage) ? stage : null;
}

async function knownOf(line: TankLine, record: DayRecord): Promise<Known | FeedDay['notFed'][number]['why']> {
  if (line.due.some(({ what, state, last }) => what === 'feed' && state === 'later' && last === null))
    return 'too-young';
  if (line.volumeMl === null) return 'no-volume';
  const stage = await stageOf(line);
  if (stage === null) return 'no-stage';
  const book = record.books.get(line.species);
  const name = `ration.${stage}.cells-per-ml`;
  if (book?.has(name) !== true) return 'no-figure';
  const target = figure(book, name);
  return { tank: line.tank, volumeMl: line.volumeMl, stage, targetCellsPerMl: numberOf(target), line, target };
}

const givenOf = (rations: Rations, cultureId: string): FeedGiven[] =>
  rations
    .filter((one) => one.cultureId === cultureId)
    .map(({ id, version, happenedAt, by, litres }) => ({ id, version, at: happenedAt, by, litres }));

function sheetOf(
  tanks: readonly Known[],
  stock: readonly Stocked[],
  left: ReadonlyMap<string, LeftCells>,
  record: DayRecord,
): FeedSheet | null {
  const cultures = stock.flatMap(({ culture: { culture, reading }, alga, litres, leftOut }) => {
    if (leftOut !== null || reading === null || litres === null || alga === null) return [];
    const cellsPerMl = { estimate: reading.cellsPerMl, low: reading.cellsPerMl, high: reading.cellsPerMl };
    return [{ name: culture.name, alga, cellsPerMl, litres }];
  });
  const [first] = tanks;
  const book = first === undefined ? undefined : record.books.get(first.line.species);
  if (cultures.length === 0 || book === undefined) return null;
  return feedSheet(
    {
      tanks: tanks.map(({ tank, volumeMl, targetCellsPerMl, line: { length, present } }) => ({
        name: tank.name,
        volumeMl,
        targetCellsPerMl,
        ...(length === null ? {} : { meanLengthUm: length.mean.estimate }),
        ...(present.estimate > 0 ? { larvae: present } : {}),
        ...(left.has(tank.id) ? { leftCellsPerMl: left.get(tank.id)?.cellsPerMl ?? 0 } : {}),
      })),
      cultures,
    },
    book,
  );
}

function tankOf(
  { tank, volumeMl, stage, targetCellsPerMl, line }: Known,
  row: FeedSheet['tanks'][number],
  { stock, left, rations }: { stock: readonly Stocked[]; left: LeftCells | null; rations: Rations },
): FeedTank {
  const doses = stock.flatMap(({ culture: { culture } }): FeedDose[] => {
    const dose = row.doses.find((one) => one.culture === culture.name);
    const given = givenOf(rations, culture.id);
    if (dose === undefined && given.length === 0) return [];
    return [
      {
        culture,
        litres: dose === undefined ? null : dose.givenMl / LITRE_ML,
        askedLitres: dose === undefined ? null : dose.askedMl / LITRE_ML,
        given,
      },
    ];
  });
  const { reachedCellsPerMl, partOfTarget, cellsPerLarvaPerDay } = row;
  const { batch, ageDays, present, length } = line;
  return {
    ...{ tank, batch, ageDays, volumeMl, present, length, stage, left },
    ...{ targetCellsPerMl, reachedCellsPerMl, partOfTarget, cellsPerLarvaPerDay, doses },
  };
}

function cultureOf({ culture, litres, leftOut }: Stocked, sheet: FeedSheet | null): FeedCulture {
  const row = sheet?.cultures.find(({ name }) => name === culture.culture.name);
  return {
    ...culture,
    litres,
    askedLitres: (row?.askedMl ?? 0) / LITRE_ML,
    handedLitres: (row?.givenMl ?? 0) / LITRE_ML,
    runShort: row?.runShort ?? [],
    leftOut,
  };
}

/** The feed sheet of a day, with what was given already. */
export async function feedDay(
  desk: Desk,
  { day, zone }: { readonly day: string; readonly zone: string },
  rhythm: Rhythm,
): Promise<FeedDay> {
  const record = await dayRecord(desk, houseDay(day, zone), rhythm);
  const stays = new Map(lasting(record.ledger).map((stay) => [stay.tankId, stay]));
  const asked = [];
  for (const tank of record.tanks.toSorted((a, b) => a.name.localeCompare(b.name, 'en', { numeric: true }))) {
    const stay = stays.get(tank.id);
    if (stay !== undefined) asked.push({ tank: tank, known: await knownOf(tankLine(record, tank, stay), record) });
  }
  const tanks = asked.flatMap(({ known }) => (typeof known === 'string' ? [] : [known]));
  const left = await leftCells(desk.parts, day);
  const stock = stockOf(record, await culturesAt(desk, record.at));
  const sheet = tanks.length === 0 ? null : sheetOf(tanks, stock, left, record);
  const today = (tankId: string): Rations =>
    (record.rations.get(tankId) ?? []).filter(({ happenedAt }) => happenedAt >= record.day.begins);
  return {
    day,
    zone,
    tanks: tanks.flatMap((known, i) => {
      const row = sheet?.tanks[i];
      const more = { stock, left: left.get(known.tank.id) ?? null, rations: today(known.tank.id) };
      return row === undefined ? [] : [tankOf(known, row, more)];
    }),
    notFed: asked.flatMap(({ tank: { id, name }, known }) => {
      const why = typeof known === 'string' ? known : sheet === null ? 'no-culture' : null;
      return why === null ? [] : [{ tank: { id, name }, why }];
    }),
    cultures: stock.map((one) => cultureOf(one, sheet)),
    warnings: sheet?.warnings ?? [],
    figures: [
      ...new Map(
        [...tanks.map(({ target }) => target), ...(sheet?.figures ?? [])].map((f) => [f.preset + f.name, f]),
      ).values(),
    ],
  };
}
