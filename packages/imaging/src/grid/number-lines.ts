import type { TracedLine } from './trace-line.js';

/** Lines of one family may differ in direction by this much through tilt, radians. */
const SPREAD = (6 * Math.PI) / 180;
/** A line counts as the next one when it lies within this share of a pitch of where it is expected, per step. */
const NEXT_TOLERANCE = 0.12;
/** Most lines in a row that may be missing. */
const MOST_MISSING = 3;
/** Price of a line that should be there and is not, in lines. */
const MISSING_PRICE = 0.6;

/** Lines sorted into two families and numbered. */
export interface NumberedFamilies {
  /** Direction of the first axis, radians clockwise from x, -pi/4..pi/4. */
  readonly rotation: number;
  /** Mean distance of neighbours, pixels. */
  readonly pitchPx: number;
  readonly members: readonly { readonly line: TracedLine; readonly first: boolean; readonly number: number }[];
}

interface Placed {
  readonly line: TracedLine;
  /** Where the line crosses the family's axis through the middle of all lines, pixels. */
  readonly offset: number;
}

/**
 * Sorts lines into two families at right angles and numbers them: the pitch, the same for both families, that explains most lines with the
 * fewest missing.
 *
 * @param lines traced lines
 * @param range least and greatest pitch, pixels
 * @returns null when no two lines of one family are a pitch apart
 */
export function numberLines(
  lines: readonly TracedLine[],
  range: { readonly leastPx: number; readonly mostPx: number },
): NumberedFamilies | null {
  const rotation = commonRotation(lines);
  if (rotation === null) return null;
  const middle = middleOf(lines);
  const families = [rotation, rotation + Math.PI / 2].map((axis) => placeAlong(lines, axis, middle));
  let best: NumberedFamilies | null = null;
  let bestScore = 1;
  for (const pitchPx of pitchesToTry(families, range)) {
    const walks = families.map((family) => bestWalk(family, pitchPx));
    // a family with a single line says nothing for or against a pitch
    const score = walks.reduce((sum, walk) => sum + walk.score, 0);
    if (score <= bestScore + 1e-9 || !walks.some((walk) => walk.numbers.size >= 2)) continue;
    bestScore = score;
    const members = walks.flatMap((walk, i) =>
      [...walk.numbers].map(([placed, number]) => ({ line: placed.line, first: i === 0, number })),
    );
    best = { rotation, pitchPx, members };
  }
  return best;
}

/** Direction of a line's normal, radians; the first axis crosses lines that run down the picture. */
function normalOf(line: TracedLine): number {
  const { path } = line;
  const slope = (2 * path.curve[1]) / (path.to - path.from);
  return path.steep ? Math.atan2(-slope, 1) : Math.atan2(1, -slope);
}

/** Difference of two directions that are the same after a quarter turn, -pi/4..pi/4. */
function quarterTurnDifference(one: number, other: number): number {
  const quarter = Math.PI / 2;
  const turns = (one - other) / quarter;
  return (turns - Math.round(turns)) * quarter;
}

/** Direction, up to quarter turns, shared by the greatest length of lines. */
function commonRotation(lines: readonly TracedLine[]): number | null {
  let best: number | null = null;
  let bestWeight = 0;
  for (const line of lines) {
    const centre = normalOf(line);
    let weight = 0;
    let turn = 0;
    for (const other of lines) {
      const difference = quarterTurnDifference(normalOf(other), centre);
      if (Math.abs(difference) > SPREAD) continue;
      const share = other.support * other.lengthPx;
      weight += share;
      turn += share * difference;
    }
    if (weight <= bestWeight) continue;
    bestWeight = weight;
    best = quarterTurnDifference(centre + turn / weight, 0);
  }
  return best;
}

function middleOf(lines: readonly TracedLine[]): [number, number] {
  let x = 0;
  let y = 0;
  let count = 0;
  for (const { points } of lines) {
    for (let i = 0; i < points.length; i += 2, count++) {
      x += points[i];
      y += points[i + 1];
    }
  }
  return [x / count, y / count];
}

/** Lines across an axis, with their places along it, in order. */
function placeAlong(lines: readonly TracedLine[], axis: number, middle: readonly [number, number]): Placed[] {
  const placed: Placed[] = [];
  const [ax, ay] = [Math.cos(axis), Math.sin(axis)];
  for (const line of lines) {
    const turn = Math.abs(normalOf(line) - axis) % Math.PI;
    if (Math.min(turn, Math.PI - turn) > SPREAD) continue;
    // the straight line through all points: its mean and its direction
    const { points } = line;
    const [x, y] = middleOf([line]);
    const last = points.length - 2;
    const dx = points[last] - points[0];
    const dy = points[last + 1] - points[1];
    // where (x, y) + s (dx, dy) meets middle + offset (ax, ay)
    const determinant = dx * ay - dy * ax;
    placed.push({ line, offset: (dx * (y - middle[1]) - dy * (x - middle[0])) / determinant });
  }
  return placed.sort((one, other) => one.offset - other.offset);
}

/** Distances of lines up to three apart, and a half and a third of them, greatest first. */
function pitchesToTry(
  families: readonly (readonly Placed[])[],
  range: { readonly leastPx: number; readonly mostPx: number },
): number[] {
  const pitches: number[] = [];
  for (const family of families) {
    for (let i = 0; i < family.length; i++) {
      for (let j = i + 1; j <= Math.min(family.length - 1, i + 3); j++) {
        for (const parts of [1, 2, 3]) {
          const pitch = (family[j].offset - family[i].offset) / parts;
          if (pitch >= range.leastPx && pitch <= range.mostPx) pitches.push(pitch);
        }
      }
    }
  }
  return pitches.sort((one, other) => other - one);
}

interface Walk {
  readonly numbers: ReadonlyMap<Placed, number>;
  readonly score: number;
}

/** The walk from the line that gives the best score. */
function bestWalk(family: readonly Placed[], pitchPx: number): Walk {
  let best: Walk = { numbers: new Map(), score: 0 };
  for (let start = 0; start < family.length; start++) {
    const walk = walkFrom(family, start, pitchPx);
    if (walk.score > best.score) best = walk;
  }
  return best;
}

/** Numbers lines up and down from one line, letting the pitch drift as tilt makes it. */
function walkFrom(family: readonly Placed[], start: number, pitchPx: number): Walk {
  const numbers = new Map<Placed, number>([[family[start], 0]]);
  let missing = 0;
  for (const sign of [1, -1]) {
    let gap = pitchPx;
    let number = 0;
    let { offset } = family[start];
    for (let steps = 1; steps <= MOST_MISSING + 1; steps++) {
      const next = nearest(family, offset + sign * steps * gap);
      if (Math.abs(next.offset - offset - sign * steps * gap) > NEXT_TOLERANCE * gap * Math.sqrt(steps)) continue;
      if (numbers.has(next)) continue;
      number += sign * steps;
      numbers.set(next, number);
      missing += steps - 1;
      gap = (gap + Math.abs(next.offset - offset) / steps) / 2;
      ({ offset } = next);
      steps = 0;
    }
  }
  const weight = [...numbers.keys()].reduce((sum, { line }) => sum + line.support, 0);
  return { numbers, score: weight - MISSING_PRICE * missing };
}

function nearest(family: readonly Placed[], offset: number): Placed {
  let best = family[0];
  for (const placed of family) if (Math.abs(placed.offset - offset) < Math.abs(best.offset - offset)) best = placed;
  return best;
}
