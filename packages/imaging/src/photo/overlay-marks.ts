import type { Detection } from '@veligrid/model';

/** Flags that keep an object out of length figures. */
const NOT_FOR_LENGTH: ReadonlySet<string> = new Set(['cut', 'out-of-focus', 'edge-on', 'not-rounded']);

/** How a detection stands: counted with its length, counted without it, or not counted. */
export type Standing = 'measured' | 'counted-only' | 'not-counted';

/** Tells how a detection stands. */
export function standingOf(detection: Pick<Detection, 'counted' | 'flags'>): Standing {
  if (!detection.counted) return 'not-counted';
  return detection.flags.some((flag) => NOT_FOR_LENGTH.has(flag)) ? 'counted-only' : 'measured';
}
