import type { NewSample } from '@veligrid/api';
import { localTime, readNumber, toMl, type VolumeUnit } from '../words/numbers.js';
import type { Word } from '../words/say.js';

/** One dilution or concentration as typed: milliliters taken and made up to. */
export interface StepText {
  readonly takenMl: string;
  readonly madeUpToMl: string;
}

/** What is typed to begin a count. */
export interface NewCountText {
  readonly tank: string;
  readonly batch: string;
  readonly takenAt: string;
  readonly condition: 'live' | 'chilled' | 'fixed';
  readonly fixative: string;
  readonly container: string;
  readonly containerUnit: VolumeUnit;
  readonly fillings: string;
  readonly steps: readonly StepText[];
  readonly cell: NewSample['cell']['kind'];
  readonly wholeSlideMl: string;
  readonly scale: 'ruled-lines' | 'given' | 'calibration';
  readonly umPerPx: string;
  readonly calibration: string;
  readonly ageHours: string;
  readonly draw: string;
  readonly note: string;
}

/** Fields with what is wrong with them. */
export type Wrong = Readonly<Partial<Record<keyof NewCountText, Word>>>;

/** A number in a range, or what is wrong. */
function within(text: string, low: number, high: number): number | null {
  const value = readNumber(text);
  return value !== null && value >= low && value <= high ? value : null;
}

const isBlank = (text: string): boolean => text.trim() === '';

/** Steps left empty are no steps. */
const usedSteps = (steps: readonly StepText[]): readonly StepText[] =>
  steps.filter(({ takenMl, madeUpToMl }) => !isBlank(takenMl) || !isBlank(madeUpToMl));

const SMALL = [1e-6, 1e7] as const;

/** Steps as numbers; null when one can't be read. */
export function stepsOf(steps: readonly StepText[]): { takenMl: number; madeUpToMl: number }[] | null {
  const read = usedSteps(steps).map(({ takenMl, madeUpToMl }) => ({
    takenMl: within(takenMl, ...SMALL),
    madeUpToMl: within(madeUpToMl, ...SMALL),
  }));
  const good = read.filter(
    (step): step is { takenMl: number; madeUpToMl: number } => step.takenMl !== null && step.madeUpToMl !== null,
  );
  return good.length === read.length ? good : null;
}

/** An empty field is fine, a filled one must be a number in range. */
const optional = (text: string, low: number, high: number): boolean =>
  isBlank(text) || within(text, low, high) !== null;

/** What is wrong with what was typed; nothing when a count can begin. */
export function wrongWith(text: NewCountText): Wrong {
  const checks: readonly [keyof NewCountText, boolean, Word][] = [
    ['tank', isBlank(text.tank), 'wrong.tank'],
    ['fixative', text.condition === 'fixed' && isBlank(text.fixative), 'wrong.fixative'],
    ['container', within(text.container, 1e-6, 1e12) === null, 'wrong.volume'],
    ['fillings', within(text.fillings, 1, 100) === null || !/^\d+$/.test(text.fillings.trim()), 'wrong.fillings'],
    ['steps', stepsOf(text.steps) === null, 'wrong.steps'],
    ['wholeSlideMl', text.cell === 'none' && within(text.wholeSlideMl, ...SMALL) === null, 'wrong.volume'],
    ['umPerPx', text.scale === 'given' && within(text.umPerPx, 0.05, 50) === null, 'wrong.scale'],
    ['calibration', text.scale === 'calibration' && isBlank(text.calibration), 'wrong.calibration'],
    ['ageHours', !optional(text.ageHours, 0, 10_000), 'wrong.age'],
    ['draw', !optional(text.draw, 1, 50), 'wrong.draw'],
    ['takenAt', Number.isNaN(Date.parse(text.takenAt)), 'wrong.time'],
  ];
  return Object.fromEntries(checks.filter(([, bad]) => bad).map(([field, , word]) => [field, word]));
}

function conditionOf({ condition, fixative }: NewCountText): NewSample['condition'] {
  return condition === 'fixed' ? { kind: condition, fixative: fixative.trim() } : { kind: condition };
}

function scaleOf({ scale, umPerPx, calibration }: NewCountText): NewSample['scale'] {
  if (scale === 'given') return { kind: 'given', umPerPx: readNumber(umPerPx) ?? 0 };
  return scale === 'calibration' ? { kind: scale, calibration } : { kind: scale };
}

/**
 * The count that the text asks for; call it only when nothing is wrong.
 *
 * @param tank identifier of the tank
 */
export function newSampleOf(text: NewCountText, tank: string): NewSample {
  const steps = stepsOf(text.steps) ?? [];
  const whole = isBlank(text.wholeSlideMl) ? null : readNumber(text.wholeSlideMl);
  const draw = readNumber(text.draw);
  return {
    tank,
    ...(text.batch === '' ? {} : { batch: text.batch }),
    takenAt: new Date(text.takenAt).toISOString(),
    condition: conditionOf(text),
    containerMl: toMl(readNumber(text.container) ?? 0, text.containerUnit),
    fillings: Array.from({ length: Number(text.fillings) }, () => ({ steps, wholeSlideMl: whole })),
    cell: { kind: text.cell },
    scale: scaleOf(text),
    ageHours: isBlank(text.ageHours) ? null : readNumber(text.ageHours),
    note: text.note.trim(),
    draw: draw === null ? null : { photos: draw },
  };
}

/** What stands in the form before anybody types. */
export const startingText = (now: Date, containerUnit: VolumeUnit): NewCountText => ({
  tank: '',
  batch: '',
  takenAt: localTime(now),
  condition: 'live',
  fixative: '',
  container: '',
  containerUnit,
  fillings: '1',
  steps: [],
  cell: 'sedgwick-rafter',
  wholeSlideMl: '',
  scale: 'ruled-lines',
  umPerPx: '',
  calibration: '',
  ageHours: '',
  draw: '',
  note: '',
});
