import type { Warning } from '@veligrid/model';
import type { VNode } from 'preact';
import { warningWords } from '../words/warning-words.js';

/** Warnings that say that something can't be, or that animals are in trouble; the others are to be known. */
const GRAVE: readonly string[] = [
  'survival-above-1',
  'more-than-stocked',
  'heavy-loss',
  'yield-over-100',
  'below-band',
  'no-growth',
  'overstocked',
  'tanks-too-small',
  'efficiency-over-100',
  'too-few-larvae',
  'related-cross',
];

export const isGrave = ({ code }: Warning): boolean => GRAVE.includes(code);

interface Props {
  readonly warnings: readonly Warning[];
  /** In small letters; default: no. */
  readonly small?: boolean;
}

/** What looks wrong, with what to do, in the language on screen. */
export const Warnings = ({ warnings, small = false }: Props): VNode => (
  <>
    {warnings.map((one) => (
      <p
        key={one.code + one.message}
        class={['note', isGrave(one) && 'bad', small && 'small'].filter(Boolean).join(' ')}
        data-code={one.code}
      >
        {warningWords(one)}
      </p>
    ))}
  </>
);
