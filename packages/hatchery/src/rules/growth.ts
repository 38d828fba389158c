import { badArgument, shown, type Warning } from '@veligrid/model';
import { exactly, fitLine, lineAt, differenceLimits, times, type Level, type Limits } from '@veligrid/estimation';
import { figure, numberOf, type FigureBook } from '../presets/figure-book.js';
import { checkSome } from './amount.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { speciesBand, type SpeciesBand } from './growth-band.js';
import { ruleWarning } from './sentences.js';

/** Mean length on one day. */
export interface MeasuredDay {
  /** Days after fertilisation, rising. */
  readonly day: number;
  readonly meanLengthUm: Limits;
}

/** Lengths of one batch. */
export interface GrowthQuestion {
  readonly measurements: readonly MeasuredDay[];
  /** Mean temperature since fertilisation, C. */
  readonly temperatureC?: number;
  readonly level?: Level;
}

type Place = 'below' | 'within' | 'above' | 'no band';

/** Growth of a batch beside its species and its own past. */
export interface GrowthPlan extends Plan {
  /** Where each mean length lies to the band of its age; `below` and `above` only when its limits do so wholly. */
  readonly days: readonly {
    readonly day: number;
    readonly meanLengthUm: Limits;
    readonly slowUm: number | null;
    readonly fastUm: number | null;
    readonly place: Place;
  }[];
  readonly temperatureC: number;
  /** Temperatures between which the band holds as it stands. */
  readonly bandFromC: number;
  readonly bandToC: number;
  /** How many days of the band one day counts for. */
  readonly pace: number;
  /** What to know of the temperature that was used; null when it lies within the band's. */
  readonly temperatureNote: string | null;
  /** Since the measurement before; null for a single one. */
  readonly sinceLast: { readonly days: number; readonly umPerDay: Limits } | null;
  /** What the earlier measurements lead one to expect of the latest; null for fewer than three of them. */
  readonly ownPast: { readonly expectedUm: Limits; readonly umPerDay: number; readonly place: Place } | null;
}

const placeOf = (value: Limits, low: number, high: number): Place =>
  value.high < low ? 'below' : value.low > high ? 'above' : 'within';

function check({ measurements, temperatureC = 20 }: GrowthQuestion): void {
  if (measurements.length === 0) throw badArgument('measurements', 'a list of one or more', 'none');
  if (!(temperatureC > 0 && temperatureC < 45)) {
    throw badArgument('temperatureC', 'a temperature in C above 0 and below 45', temperatureC);
  }
  for (const [i, { day, meanLengthUm }] of measurements.entries()) {
    checkSome(`measurements[${i}].meanLengthUm`, meanLengthUm);
    const before = measurements[i - 1];
    if (!(day > (before?.day ?? 0))) {
      throw badArgument(`measurements[${i}].day`, `a day above ${before?.day ?? 0}, as days rise`, day);
    }
  }
}

/** The latest beside a straight line through all before it. */
function ownPast(measurements: readonly MeasuredDay[], level: Level): GrowthPlan['ownPast'] {
  const latest = measurements.at(-1);
  const before = measurements.slice(0, -1);
  if (latest === undefined || before.length < 3) return null;
  const line = fitLine(
    before.map(({ day }) => day),
    before.map(({ meanLengthUm }) => meanLengthUm.estimate),
  );
  const expectedUm = lineAt(line, latest.day, 'new point', level);
  return {
    expectedUm,
    umPerDay: line.slope,
    place: placeOf(latest.meanLengthUm, expectedUm.low, expectedUm.high),
  };
}

function sinceLast(measurements: readonly MeasuredDay[]): GrowthPlan['sinceLast'] {
  const [before, latest] = measurements.slice(-2);
  if (before === undefined || latest === undefined) return null;
  const days = latest.day - before.day;
  return { days, umPerDay: times(differenceLimits(latest.meanLengthUm, before.meanLengthUm), 1 / days) };
}

function bandWarning(latest: GrowthPlan['days'][number], band: SpeciesBand): Warning | false {
  const { day, meanLengthUm, slowUm, fastUm, place } = latest;
  if (place !== 'below' && place !== 'above') return false;
  const { temperatureC: degrees, fromC: coldest, toC: warmest, pace } = band;
  const edge = (place === 'below' ? slowUm : fastUm) ?? 0;
  const values = { length: meanLengthUm, day, edge, degrees, coldest, warmest };
  return pace < 1 ? ruleWarning(`${place}-band.slowed`, { ...values, pace }) : ruleWarning(`${place}-band`, values);
}

function temperatureNote(temperatureC: number | undefined, { fromC, toC }: SpeciesBand): string | null {
  const range = `${shown(fromC)} to ${shown(toC)} C`;
  if (temperatureC === undefined) return `No temperature was given: the band is used as it stands from ${range}.`;
  if (temperatureC < fromC) return `Colder than the ${range} for which the band stands: it is slowed down.`;
  return temperatureC > toC ? `Warmer than the ${range} for which the band stands: it is used as it stands.` : null;
}

function pastWarning(past: GrowthPlan['ownPast']): Warning | false {
  if (past === null || (past.place !== 'below' && past.place !== 'above')) return false;
  const slower = past.place === 'below';
  return ruleWarning(slower ? 'slower-than-own-past' : 'faster-than-own-past', { expected: past.expectedUm });
}

const stalled = (since: GrowthPlan['sinceLast'], { meanLengthUm }: MeasuredDay, settingUm: number): Warning | false =>
  since !== null &&
  since.umPerDay.high <= 0 &&
  meanLengthUm.estimate < settingUm &&
  ruleWarning('no-growth', { growth: since.umPerDay });

/**
 * Growth beside the species band (mean length by age and temperature) and the batch's own past (straight line through
 * the earlier measurements, limits of a new one). Warns only when the limits of the latest mean length lie wholly outside.
 *
 * @param book as `speciesBand`, and for `setting.length-um`
 * @throws VeligridError `bad-argument` for days that do not rise, lengths or temperature out of range
 */
export function growth(question: GrowthQuestion, book: FigureBook): GrowthPlan {
  check(question);
  const { measurements, temperatureC, level = 0.95 } = question;
  const band = speciesBand(temperatureC ?? null, book);
  const setting = figure(book, 'setting.length-um');
  const days = measurements.map(({ day, meanLengthUm }): GrowthPlan['days'][number] => {
    const edges = band.at(day);
    return {
      day,
      meanLengthUm,
      slowUm: edges?.slowUm ?? null,
      fastUm: edges?.fastUm ?? null,
      place: edges === null ? 'no band' : placeOf(meanLengthUm, edges.slowUm, edges.fastUm),
    };
  });
  const latest = days.at(-1) ?? { day: 0, meanLengthUm: exactly(0), slowUm: null, fastUm: null, place: 'no band' };
  const past = ownPast(measurements, level);
  const since = sinceLast(measurements);
  return {
    days,
    temperatureC: band.temperatureC,
    bandFromC: band.fromC,
    bandToC: band.toC,
    pace: band.pace,
    temperatureNote: temperatureNote(temperatureC, band),
    sinceLast: since,
    ownPast: past,
    figures: usedFigures([...band.figures, setting]),
    warnings: raised([bandWarning(latest, band), pastWarning(past), stalled(since, latest, numberOf(setting))]),
    cautions: [],
  };
}
