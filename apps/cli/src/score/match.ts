import { assign } from './assignment.js';
import { contains } from './polygon.js';
import type { FoundObject, Prediction } from './read-prediction.js';
import type { TrueObject, Truth } from './read-truth.js';

/** A true object and what found it. */
export interface Pair {
  readonly truth: TrueObject;
  readonly found: FoundObject;
}

/** Which detections belong to which objects. */
export interface Match {
  /** Objects found, without the ignored ones. */
  readonly pairs: readonly Pair[];
  /** Objects not found, without the ignored ones. */
  readonly missed: readonly TrueObject[];
  /** Detections of what is not there. */
  readonly falseFinds: readonly FoundObject[];
}

/** A detection belongs to an object within this part of its length. */
const REACH = 0.5;
/** Added to the cost of an ignored object, so that at equal distance another is preferred. */
const IGNORED_COST = 0.25;
const APART = 10;
/** A detection this near to an ignored object, over its length, counts neither way. */
const IGNORED_REACH = 0.6;
/** Detections smaller than this, or of unknown size, may be algae, within this distance of one and this many pixels. */
const ALGA_UM = 20;
const ALGA_REACH_UM = 10;
const ALGA_REACH_PX = 3;
/** Beyond this part of the radius of a round field nothing counts. */
const FIELD_PART = 0.985;

const distance = (a: { x: number; y: number }, b: { x: number; y: number }): number => Math.hypot(a.x - b.x, a.y - b.y);

function costOf(truth: TrueObject, found: FoundObject): number {
  const apart = distance(truth, found);
  if (apart > REACH * truth.lengthPx) return APART;
  return apart / truth.lengthPx + (truth.ignored ? IGNORED_COST : 0);
}

/** Groups of objects and detections that are joined by possible matches; each can be assigned by itself. */
function groups(
  objects: readonly TrueObject[],
  found: readonly FoundObject[],
): { rows: number[]; columns: number[] }[] {
  const parent = Array.from({ length: objects.length + found.length }, (_, i) => i);
  const rootOf = (start: number): number => {
    let node = start;
    while (parent[node] !== node) node = parent[node] ?? node;
    for (let at = start; at !== node;) {
      const next = parent[at] ?? node;
      parent[at] = node;
      at = next;
    }
    return node;
  };
  objects.forEach((truth, row) => {
    found.forEach((one, column) => {
      if (costOf(truth, one) < APART) parent[rootOf(row)] = rootOf(objects.length + column);
    });
  });
  const byRoot = new Map<number, { rows: number[]; columns: number[] }>();
  parent.forEach((_, node) => {
    const group = byRoot.get(rootOf(node)) ?? { rows: [], columns: [] };
    byRoot.set(rootOf(node), group);
    if (node < objects.length) group.rows.push(node);
    else group.columns.push(node - objects.length);
  });
  return [...byRoot.values()].filter(({ rows, columns }) => rows.length > 0 && columns.length > 0);
}

/** Whether a detection without an object lies where nothing counts. */
function liesAside(found: FoundObject, { objects, algae, field, umPerPx }: Truth): boolean {
  const onIgnored = objects.some(
    (truth) =>
      truth.ignored &&
      ((truth.polygon !== null && contains(truth.polygon, found.x, found.y)) ||
        distance(truth, found) < IGNORED_REACH * truth.lengthPx),
  );
  if (onIgnored) return true;
  if ((found.lengthUm === null || found.lengthUm < ALGA_UM) && umPerPx !== null) {
    const reach = ALGA_REACH_UM / umPerPx + ALGA_REACH_PX;
    if (algae.some(([x, y]) => Math.hypot(found.x - x, found.y - y) < reach)) return true;
  }
  return field !== null && distance(field, found) > FIELD_PART * field.radius;
}

/**
 * Matches detections with true objects, one to one, by the least total distance over length; each within half a length
 * of its object.
 *
 * @param truth what is there
 * @param prediction what was found
 */
export function matchPhoto(truth: Truth, prediction: Prediction): Match {
  const { objects } = truth;
  const found = prediction.objects;
  const columnOf = new Map<number, number>();
  for (const { rows, columns } of groups(objects, found)) {
    const cost = rows.map((row) => columns.map((column) => pairCost(objects[row], found[column])));
    assign(cost).forEach((at, i) => {
      const [row, column] = [rows[i], columns[at]];
      if (row !== undefined && column !== undefined && (cost[i]?.[at] ?? APART) < APART) columnOf.set(row, column);
    });
  }
  const used = new Set(columnOf.values());
  const pairs = objects.flatMap((one, row): Pair[] => {
    const match = found[columnOf.get(row) ?? -1];
    return match === undefined || one.ignored ? [] : [{ truth: one, found: match }];
  });
  return {
    pairs,
    missed: objects.filter((one, row) => !one.ignored && !columnOf.has(row)),
    falseFinds: found.filter((one, column) => !used.has(column) && !liesAside(one, truth)),
  };
}

const pairCost = (truth: TrueObject | undefined, found: FoundObject | undefined): number =>
  truth === undefined || found === undefined ? APART : costOf(truth, found);
