import type { BodyOf, Filling, Sample } from '@veligrid/api';
import { fromMl, readNumber, toMl, type VolumeUnit } from '../words/numbers.js';
import type { Word } from '../words/say.js';
import { stepsOf, type StepText } from './new-count.js';

/** One filling as typed. */
export interface FillingText {
  readonly steps: readonly StepText[];
  /** Null when squares or fields give the volume. */
  readonly wholeSlideMl: string | null;
}

/** What is typed to correct what was noted of a sample. */
export interface CorrectionText {
  readonly container: string;
  readonly note: string;
  readonly fillings: readonly FillingText[];
  readonly why: string;
}

/** A number without the rounding errors of a change of units. */
const typed = (value: number): string => String(Number(value.toPrecision(10)));

const fillingText = ({ steps, wholeSlideMl }: Filling): FillingText => ({
  steps: steps.map(({ takenMl, madeUpToMl }) => ({ takenMl: typed(takenMl), madeUpToMl: typed(madeUpToMl) })),
  wholeSlideMl: wholeSlideMl === null ? null : typed(wholeSlideMl),
});

/** What stands in the form before anybody types. */
export const correctionText = ({ containerMl, note, fillings }: Sample, unit: VolumeUnit): CorrectionText => ({
  container: typed(fromMl(containerMl, unit)),
  note,
  fillings: fillings.map(fillingText),
  why: '',
});

function fillingOf({ steps, wholeSlideMl }: FillingText): Filling | null {
  const read = stepsOf(steps);
  const whole = wholeSlideMl === null ? null : readNumber(wholeSlideMl);
  const wrong = read === null || (wholeSlideMl !== null && !(whole !== null && whole > 0));
  return wrong ? null : { steps: read, wholeSlideMl: whole };
}

/** The change that the text asks for, or the word for what is wrong with it. */
export function correctionOf(text: CorrectionText, unit: VolumeUnit): BodyOf<'changeSample'> | Word {
  const container = readNumber(text.container);
  if (container === null || container <= 0) return 'wrong.volume';
  const fillings = text.fillings.map(fillingOf);
  const good = fillings.filter((one) => one !== null);
  if (good.length < fillings.length) return 'wrong.steps';
  if (text.why.trim() === '') return 'wrong.why';
  return { containerMl: toMl(container, unit), note: text.note.trim(), fillings: good, why: text.why.trim() };
}
