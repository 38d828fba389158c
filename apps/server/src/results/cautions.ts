import { ageWarnings } from '@veligrid/jobs';
import type { Warning } from '@veligrid/model';
import type { House } from '../house.js';
import { readSettings } from '../people/settings.js';
import { auditOf } from '../review/audit-handlers.js';
import { countedIn, type Current } from './current.js';
import { resultCaution } from './result-sentences.js';

/** Share of `unsure` from which it is said. */
const MANY_UNSURE = 0.1;

async function calibrationCaution(house: House, { of }: Current): Promise<Warning[]> {
  const { scale } = of.answer;
  if (scale.kind !== 'calibration') return [];
  const calibration = await house.store.calibrations.get(scale.calibration);
  const { calibrationDays } = await readSettings(house);
  return calibration === null ? [] : ageWarnings(calibration.measuredAt, calibrationDays, of.answer.takenAt);
}

async function auditCaution(house: House, { counts, used }: Current): Promise<Warning[]> {
  const ids = new Set(used.map(({ count }) => count.photo));
  const audits = await Promise.all(counts.filter(({ photo }) => ids.has(photo)).map((count) => auditOf(house, count)));
  const squares = audits.flatMap((audit) => audit.squares);
  const open = squares.filter(({ tally }) => tally === null).length;
  if (open === 0) return [];
  return [resultCaution('audit-not-done', { open, all: squares.length })];
}

function photoCautions({ of, used }: Current): Warning[] {
  const left = of.photos.filter(({ id }) => !used.some(({ count }) => count.photo === id));
  const photos = left.map(({ name }) => name).join(', ');
  return left.length === 0 ? [] : [resultCaution('photos-left-out', { photos })];
}

function objectCautions({ of, used }: Current): Warning[] {
  const objects = used.flatMap(countedIn);
  const unsure = objects.filter(({ stage }) => stage === 'unsure').length;
  const many = objects.length > 0 && unsure / objects.length >= MANY_UNSURE;
  return [
    ...(many ? [resultCaution('many-unsure', { unsure, all: objects.length })] : []),
    ...(of.answer.condition.kind === 'fixed' ? [resultCaution('dead-not-judged.in-result', {})] : []),
  ];
}

/** Each kind once, the first of it. */
const eachOnce = (warnings: readonly Warning[]): Warning[] =>
  [...new Map(warnings.toReversed().map((one) => [one.code, one])).values()].toReversed();

/** What a reader of the figures must know, in words. */
export async function cautionsOf(house: House, current: Current): Promise<Warning[]> {
  return eachOnce([
    ...photoCautions(current),
    ...objectCautions(current),
    ...(await calibrationCaution(house, current)),
    ...(await auditCaution(house, current)),
    ...current.used.flatMap(({ count }) => count.warnings),
  ]);
}
