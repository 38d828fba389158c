import { basename, join } from 'node:path';
import {
  calibratePhoto,
  readPhoto,
  renderCalibration,
  type CalibrationTarget,
  type PhotoCalibration,
} from '@veligrid/imaging';
import { badArgument, VeligridError } from '@veligrid/model';
import type { Console } from '../console.js';
import { prepareFolder, writeResult } from '../count/write-result.js';
import { EXIT } from '../exit-codes.js';
import { calibrationFile, type CalibrationFile } from './calibration-file.js';
import { calibrationFolder, checkName, saveCalibration } from './calibration-folder.js';
import { calibrationText } from './calibration-text.js';

/** Arguments of `veligrid calibrate`. */
export interface CalibrateArguments {
  readonly photo: string;
  /** Smallest division of a ruler, micrometres. */
  readonly rulerUm?: number;
  /** Distance of neighbouring ruled lines, micrometres. */
  readonly gridUm?: number;
  /** x1,y1,x2,y2 in pixels of the upright picture. */
  readonly points?: readonly number[];
  readonly distanceUm?: number;
  /** How far the ruling itself may be off over the lines seen, micrometres. */
  readonly toleranceUm?: number;
  readonly save?: string;
  readonly microscope?: string;
  readonly objective?: string;
  readonly validDays: number;
  readonly folder?: string;
  readonly out?: string;
  readonly overlay?: boolean;
  readonly json?: boolean;
}

function targetOf({ rulerUm, gridUm, points, distanceUm }: CalibrateArguments): CalibrationTarget {
  const ways = [rulerUm, gridUm, points].filter((way) => way !== undefined).length;
  if (ways !== 1) {
    const message = `Say what of known size is in the picture: exactly one of --ruler-um, --grid-um or --points with --distance-um, not ${String(ways)} of them.`;
    throw new VeligridError('bad-argument', message);
  }
  if ((points === undefined) !== (distanceUm === undefined)) {
    throw new VeligridError('bad-argument', '--points and --distance-um belong together: give both.');
  }
  if (rulerUm !== undefined) return { kind: 'ruler', divisionUm: rulerUm };
  if (gridUm !== undefined) return { kind: 'grid', pitchUm: gridUm };
  return pointsTarget(points ?? [], distanceUm ?? Number.NaN);
}

function pointsTarget(points: readonly number[], distanceUm: number): CalibrationTarget {
  if (points.length !== 4) throw badArgument('--points', 'four numbers x1,y1,x2,y2', points.join(','));
  const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] = points;
  return {
    kind: 'points',
    points: [
      [x1, y1],
      [x2, y2],
    ],
    distanceUm,
  };
}

async function writeOverlay(args: CalibrateArguments, out: string, calibration: PhotoCalibration): Promise<string> {
  const path = join(out, `${basename(args.photo).replace(/\.[^.]+$/, '')}.calibration.jpg`);
  for await (const { raster } of readPhoto(args.photo)) {
    await writeResult(path, await renderCalibration(raster, calibration));
    break;
  }
  return path;
}

/** Refuses what could not be done at the end before the work is begun. */
async function checkPlaces({ save, out, overlay }: CalibrateArguments): Promise<void> {
  if (save !== undefined) checkName(save);
  if (overlay === true && out === undefined) {
    throw new VeligridError('bad-argument', '--overlay needs --out with a folder.');
  }
  if (out !== undefined) await prepareFolder(out);
}

function fileOf(args: CalibrateArguments, calibration: PhotoCalibration, now: Date): CalibrationFile {
  const photo = basename(args.photo);
  return calibrationFile(calibration, {
    name: args.save ?? photo,
    microscope: args.microscope ?? null,
    objective: args.objective ?? null,
    madeAt: now.toISOString(),
    validDays: args.validDays,
    photo,
  });
}

/**
 * Takes the scale of a photo from something of known size in it, tells it, and saves it under a name when wanted.
 *
 * @returns exit code 0
 * @throws VeligridError for wrong arguments (2), a photo that can't be read (3), a scale that can't be relied on (4), no
 *   place for a file (5)
 */
export async function calibrateCommand(
  args: CalibrateArguments,
  console: Console,
  now: () => Date = () => new Date(),
): Promise<number> {
  const target = targetOf(args);
  await checkPlaces(args);
  const calibration = await calibratePhoto(args.photo, target, { toleranceUm: args.toleranceUm ?? 0 });
  if (!calibration.found) {
    throw new VeligridError('refused', `No scale was taken from ${args.photo}. ${calibration.reason}`);
  }
  const file = fileOf(args, calibration, now());
  const { save, out, overlay, json } = args;
  console.out(json === true ? `${JSON.stringify(file, null, 2)}\n` : calibrationText(calibration));
  const tell = json === true ? console.err : console.out;
  if (save !== undefined) {
    const path = await saveCalibration(args.folder ?? calibrationFolder(), file);
    tell(`Saved: ${path}\nUse it: veligrid count PHOTOS --calibration "${save}"\n`);
  }
  if (overlay === true && out !== undefined) {
    tell(`Lines found, to check by eye: ${await writeOverlay(args, out, calibration)}\n`);
  }
  return EXIT.done;
}
