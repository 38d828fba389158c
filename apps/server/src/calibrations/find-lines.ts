import { randomUUID } from 'node:crypto';
import type { CalibrationPicture } from '@veligrid/api';
import type { CalibrationTarget, NoCalibration, PhotoCalibration } from '@veligrid/imaging';
import type { JsonObject } from '@veligrid/storage';
import type { Call } from '../http/call.js';
import { notThere, ProblemError } from '../http/problem-error.js';
import type { House } from '../house.js';

type Asked = Call<'addCalibrationPicture'>['parts'];

/** A picture that was sent, with what the server itself found on it: accepting refers to this, not to what a browser says. */
interface KeptPicture {
  readonly hash: string;
  readonly sizePx: readonly [width: number, height: number];
  readonly shows: Asked['shows'];
  readonly divisionUm: number | null;
  readonly found: CalibrationPicture['found'];
}

const keyOf = (id: string): string => `calibration-picture:${id}`;

/** What is to be measured; null when a person sets two points. */
function targetOf({ shows, divisionUm }: Asked): CalibrationTarget | null {
  if (shows === 'points') return null;
  if (divisionUm === undefined) {
    throw new ProblemError('bad-request', 'divisionUm: say how many micrometres one division or one square is.');
  }
  return shows === 'grid' ? { kind: 'grid', pitchUm: divisionUm } : { kind: 'ruler', divisionUm };
}

/** The finding as it is answered and kept. */
function foundOf(calibration: PhotoCalibration): NonNullable<CalibrationPicture['found']> {
  const { umPerPx, relativeStandardUncertainty, linesPx, quality, eyepieceRuler, warnings } = calibration;
  return {
    umPerPx,
    relativeStandardUncertainty,
    lines: linesPx.map(([[x1, y1], [x2, y2]]) => [
      [x1, y1],
      [x2, y2],
    ]),
    quality: { ...quality },
    eyepieceRuler: eyepieceRuler === null ? null : { ...eyepieceRuler },
    warnings: [...warnings],
  };
}

const BY_HAND = 'Set two points on the picture whose distance you know.';

/** What a picture gave, and under which id it is kept. */
type Finding = Pick<CalibrationPicture, 'id' | 'found' | 'why'>;

/**
 * Looks for lines on a kept picture and keeps what was found under a fresh id.
 *
 * @param picture hash and size of the picture
 */
export async function findLines(
  { house, parts, by }: Call<'addCalibrationPicture'>,
  picture: Pick<KeptPicture, 'hash' | 'sizePx'>,
): Promise<Finding> {
  const target = targetOf(parts);
  const answer: PhotoCalibration | NoCalibration =
    target === null
      ? { found: false, reason: BY_HAND }
      : await house.findLines(await house.store.files.localPath(picture.hash), target);
  const found = answer.found ? foundOf(answer) : null;
  const id = randomUUID();
  const kept: KeptPicture = { ...picture, shows: parts.shows, divisionUm: parts.divisionUm ?? null, found };
  await house.store.settings.set(keyOf(id), kept as unknown as JsonObject, { by });
  return { id, found, why: answer.found ? null : answer.reason };
}

/** @throws ProblemError `not-found` when no such picture was sent */
export async function readKeptPicture({ store }: House, id: string): Promise<KeptPicture> {
  const kept = await store.settings.get(keyOf(id));
  if (kept === null) throw notThere('picture for calibration');
  return kept as unknown as KeptPicture;
}

/** What the scale rests on, in words. */
export function measuredOnWords({ shows, divisionUm, found }: KeptPicture): string {
  const lines = String(found?.quality.lines ?? 0);
  const um = String(divisionUm ?? 0);
  return shows === 'grid' ? `${lines} ruled lines ${um} um apart` : `${lines} lines of a ruler, ${um} um a division`;
}
