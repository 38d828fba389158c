import type { Limits } from '@veligrid/estimation';
import { balanceOf, numberOf, speciesBand, type FigureBook, type Stay } from '@veligrid/hatchery';
import { ageAt } from '../batch/counted-samples.js';
import type { SurvivalInterval } from '../batch/survival-of.js';
import type { KeptResult } from '../record/recorded.js';
import type { DayRecord, SeenSample } from './day-record.js';

/** Something that wants a look. */
export interface Flag {
  readonly code:
    | 'more-than-came-in'
    | 'heavy-loss'
    | 'loss'
    | 'not-signed-off'
    | 'below-band'
    | 'ready-to-set'
    | 'no-volume'
    | 'no-batch-age';
  /** `bad` says that something is wrong; `look` asks for a look. */
  readonly tone: 'bad' | 'look';
  /** Numbers that the words name. */
  readonly numbers: Readonly<Record<string, number>>;
  /** Sample that it rests on; null for none. */
  readonly sampleId: string | null;
}

/** What a tank's flags are worked out from. */
export interface Looked {
  readonly record: DayRecord;
  readonly stay: Stay;
  readonly book: FigureBook;
  readonly spawnedAt: string | null;
  readonly volumeMl: number | null;
  /** Samples of the tank since these larvae came, oldest first. */
  readonly samples: readonly SeenSample[];
  readonly interval: SurvivalInterval | null;
}

const flag = (
  code: Flag['code'],
  tone: Flag['tone'],
  numbers: Flag['numbers'] = {},
  sampleId: string | null = null,
): Flag => ({ code, tone, numbers, sampleId });

const number = (book: FigureBook, name: string): number | null => {
  const found = book.get(name);
  return found === undefined ? null : numberOf(found);
};

/** Day from which animals are larvae; embryos are lost faster. */
const FIRST_LARVAE_DAYS = 1;

/** Survival a day below which losses are beyond the usual; null where no figure says. */
function usualPerDay(book: FigureBook): number | null {
  const [low, days] = [number(book, 'survival.d-to-set.low'), number(book, 'survival.least-days')];
  return low === null || days === null ? null : low ** (1 / days);
}

/** Animals that are alive beyond what came in, by the last count or by all of them; null when none are. */
function tooMany({ verdict, unexplained }: SurvivalInterval, stay: Stay): number | null {
  if (verdict === 'more-than-came-in') return -unexplained.estimate;
  const all = balanceOf([stay]);
  return all.verdict === 'more-than-came-in' && all.unexplained !== null ? -all.unexplained.estimate : null;
}

/** Usual survival a day where even the upper limit of larvae lies below it; null else. */
function beatenUsual({ fromDay, survivalPerDay }: SurvivalInterval, book: FigureBook): number | null {
  const usual = usualPerDay(book);
  if (usual === null || fromDay === null || fromDay < FIRST_LARVAE_DAYS || survivalPerDay === null) return null;
  return survivalPerDay.high < usual ? usual : null;
}

/** What the last interval says of losses. */
function lossFlags({ interval, stay, book }: Looked): Flag[] {
  if (interval === null) return [];
  const { verdict, unexplained, toSample } = interval;
  const more = tooMany(interval, stay);
  if (more !== null) return [flag('more-than-came-in', 'bad', { animals: more }, toSample.id)];
  if (verdict !== 'loss') return [];
  const { estimate: animals, low, high } = unexplained;
  const usual = beatenUsual(interval, book);
  return [
    usual === null
      ? flag('loss', 'look', { animals, low, high }, toSample.id)
      : flag('heavy-loss', 'bad', { animals, low, high, usualPercent: 100 * usual }, toSample.id),
  ];
}

/** Mean of the temperatures noted for a tank or the whole house; null when none was. */
function meanTemperature({ record, stay, spawnedAt }: Looked, until: string): number | null {
  const read = record.water.flatMap(({ tankId, happenedAt, temperatureC }) =>
    temperatureC !== null &&
    (tankId === null || tankId === stay.tankId) &&
    happenedAt >= (spawnedAt ?? stay.beganAt) &&
    happenedAt <= until
      ? [temperatureC]
      : [],
  );
  return read.length === 0 ? null : read.reduce((sum, one) => sum + one, 0) / read.length;
}

function growthFlags(looked: Looked, last: Measured | null): Flag[] {
  const { book, spawnedAt } = looked;
  const day = last === null ? null : ageAt(spawnedAt, last.takenAt);
  if (last === null || day === null || day <= 0 || !book.has('growth.fast')) return [];
  const temperatureC = meanTemperature(looked, last.takenAt);
  const band = speciesBand(temperatureC, book);
  const edges = band.at(day);
  if (edges === null || last.mean.high >= edges.slowUm) return [];
  const numbers = { lengthUm: last.mean.estimate, slowUm: edges.slowUm, temperatureC: band.temperatureC };
  return [flag('below-band', 'bad', numbers, last.id)];
}

/** Stages that look for a place to set. */
const SETTING: readonly string[] = ['eyed', 'pediveliger'];

const settingShare = ({ shares }: KeptResult): Limits | null =>
  shares.find(({ stage }) => SETTING.includes(stage))?.share ?? null;

/** Larvae that have reached what they are set at. */
function readyFlags({ book, samples }: Looked, length: Measured | null): Flag[] {
  const last = samples.findLast(({ result }) => result !== null);
  const share = last?.result ? settingShare(last.result) : null;
  const [wanted, lengthUm] = [number(book, 'readiness.share-above'), number(book, 'setting.length-um')];
  if (last && share !== null && wanted !== null && share.low >= wanted) {
    return [flag('ready-to-set', 'bad', { percent: 100 * share.estimate }, last.id)];
  }
  if (length === null || lengthUm === null || length.mean.low < lengthUm) return [];
  return [flag('ready-to-set', 'bad', { lengthUm: length.mean.estimate }, length.id)];
}

/** The last mean length that was measured. */
export interface Measured {
  readonly id: string;
  readonly takenAt: string;
  readonly mean: Limits;
}

/** The last sample with a mean length; null when none was measured. */
export function lastMeasured(samples: readonly SeenSample[]): Measured | null {
  const last = samples.findLast(({ result }) => result?.lengths?.mean);
  const mean = last?.result?.lengths?.mean;
  return last && mean ? { id: last.id, takenAt: last.takenAt, mean } : null;
}

/** Everything about a tank that wants a look, what is wrong first. */
export function flagsOf(looked: Looked): Flag[] {
  const { samples, spawnedAt, volumeMl } = looked;
  const measured = lastMeasured(samples);
  const open = samples.filter(({ result }) => result === null);
  return [
    ...lossFlags(looked),
    ...growthFlags(looked, measured),
    ...readyFlags(looked, measured),
    ...open.map(({ id }) => flag('not-signed-off', 'look', {}, id)),
    ...(volumeMl === null ? [flag('no-volume', 'look')] : []),
    ...(spawnedAt === null ? [flag('no-batch-age', 'look')] : []),
  ].toSorted((a, b) => (a.tone === b.tone ? 0 : a.tone === 'bad' ? -1 : 1));
}
