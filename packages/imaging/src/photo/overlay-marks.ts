import type { Detection, Kind } from '@veligrid/model';

/** How a kind is shown: colour, a letter so that colour is never the only sign, and its name in the legend. */
export interface KindMark {
  readonly colour: string;
  readonly letter: string;
  readonly name: string;
}

/** Colours that people with any common colour vision tell apart (Okabe and Ito 2008, jfly.uni-koeln.de/color). */
export const KIND_MARKS: Readonly<Record<Kind, KindMark>> = {
  'egg-or-embryo': { colour: '#e69f00', letter: 'E', name: 'egg or embryo' },
  'shelled-larva': { colour: '#0072b2', letter: 'L', name: 'shelled larva' },
  'empty-or-dead': { colour: '#d55e00', letter: 'X', name: 'empty or dead' },
  bubble: { colour: '#56b4e9', letter: 'B', name: 'bubble' },
  ciliate: { colour: '#cc79a7', letter: 'C', name: 'ciliate' },
  fibre: { colour: '#f0e442', letter: 'F', name: 'fibre' },
  debris: { colour: '#000000', letter: 'D', name: 'debris' },
  alga: { colour: '#009e73', letter: 'A', name: 'alga' },
};

/** Flags that keep an object out of length figures. */
const NOT_FOR_LENGTH: ReadonlySet<string> = new Set(['cut', 'out-of-focus', 'edge-on']);

/** How a detection stands: counted with its length, counted without it, or not counted. */
export type Standing = 'measured' | 'counted-only' | 'not-counted';

/** Tells how a detection stands. */
export function standingOf(detection: Pick<Detection, 'counted' | 'flags'>): Standing {
  if (!detection.counted) return 'not-counted';
  return detection.flags.some((flag) => NOT_FOR_LENGTH.has(flag)) ? 'counted-only' : 'measured';
}
