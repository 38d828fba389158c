import { badArgument } from '@veligrid/model';

/** One dilution or concentration, given by volumes: to more is a dilution, to less a concentration. */
export interface Step {
  /** Volume taken of what came before, in mL. */
  readonly takenMl: number;
  /** Final volume it was brought to, in mL; never the volume added. */
  readonly madeUpToMl: number;
}

function checkVolume(name: string, value: number): void {
  if (!(value > 0 && value < Infinity)) throw badArgument(name, 'a number above 0', value);
}

/** How much of the container one mL of the slide stands for: the product of taken over made up to. */
export function concentrationOf(steps: readonly Step[]): number {
  return steps.reduce((part, { takenMl, madeUpToMl }, i) => {
    checkVolume(`takenMl of step ${i + 1}`, takenMl);
    checkVolume(`madeUpToMl of step ${i + 1}`, madeUpToMl);
    return part * (takenMl / madeUpToMl);
  }, 1);
}

/** Volume of one square in mL: 1 mm x 1 mm x 1 mm = 1 uL in a Sedgwick-Rafter cell. */
export interface Cell {
  /** Side of a square in mm; 1 by default. */
  readonly sideMm?: number;
  /** Depth of the cell in mm; 1 by default. Glued cells are often deeper: weigh what the full cell holds. */
  readonly depthMm?: number;
}

/**
 * Volume of a number of ruled squares in mL.
 *
 * @param squares how many were counted, 1 or more; partial squares don't count
 */
export function squaresVolumeMl(squares: number, { sideMm = 1, depthMm = 1 }: Cell = {}): number {
  if (!Number.isInteger(squares) || squares < 1) throw badArgument('squares', 'a whole number of 1 or more', squares);
  checkVolume('sideMm', sideMm);
  checkVolume('depthMm', depthMm);
  return (squares * sideMm ** 2 * depthMm) / 1000;
}

/** What was looked at where there are no squares; lengths in mm. */
export type Area =
  | { readonly kind: 'frame'; readonly widthMm: number; readonly heightMm: number }
  | { readonly kind: 'round'; readonly diameterMm: number };

/**
 * Volume of a number of fields in mL: area times depth times fields (Barsanti and Gualtieri 2006, eq. 6.2 and, with a
 * strip as frame, 6.3).
 *
 * @param fields how many fields or strips, 1 or more
 */
export function fieldsVolumeMl(area: Area, depthMm: number, fields = 1): number {
  const mm2 = area.kind === 'frame' ? area.widthMm * area.heightMm : (Math.PI / 4) * area.diameterMm ** 2;
  checkVolume('the area of the field', mm2);
  checkVolume('depthMm', depthMm);
  if (!Number.isInteger(fields) || fields < 1) throw badArgument('fields', 'a whole number of 1 or more', fields);
  return (mm2 * depthMm * fields) / 1000;
}

/** How far a count is off, as a factor, when edges are handled wrongly (whole frame of w x h, round objects d). */
export function edgeBias(
  object: number,
  frame: { readonly width: number; readonly height: number },
): {
  readonly allTouching: number;
  readonly onlyWhole: number;
} {
  const { width, height } = frame;
  return {
    allTouching: ((width + object) * (height + object)) / (width * height),
    onlyWhole: (Math.max(0, width - object) * Math.max(0, height - object)) / (width * height),
  };
}
