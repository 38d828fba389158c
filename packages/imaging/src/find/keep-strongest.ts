import type { Peak } from './peaks.js';

/** A peak is dropped when its middle lies within this share of an accepted outline's spokes ... */
const MIDDLE_LIMIT = 0.72;
/** ... or when more than this share of the smaller of the two lies inside the other. */
const OVERLAP_LIMIT = 0.45;
/** Radii (share of the spoke) at which overlap is sampled; each stands for a ring of equal area. */
const RINGS = [0.354, 0.612, 0.791, 0.935];

function spokeAt(peak: Peak, dx: number, dy: number): number {
  const n = peak.spokes.length;
  const turn = ((Math.atan2(dy, dx) / (2 * Math.PI)) * n + n) % n;
  const k = Math.floor(turn) % n;
  const t = turn - Math.floor(turn);
  return peak.spokes[k] * (1 - t) + peak.spokes[(k + 1) % n] * t;
}

function area(peak: Peak): number {
  return peak.spokes.reduce((sum, r) => sum + r * r, 0) * (Math.PI / peak.spokes.length);
}

const reach = (peak: Peak): number => peak.spokes.reduce((a, b) => Math.max(a, b), 0);

/** Share of `small` that lies inside `large`, 0..1, weighted by area. */
function shareInside(small: Peak, large: Peak): number {
  const n = small.spokes.length;
  let inside = 0;
  let total = 0;
  for (let k = 0; k < n; k++) {
    const a = (2 * Math.PI * k) / n;
    const weight = small.spokes[k] ** 2;
    for (const ring of RINGS) {
      const dx = small.x + ring * small.spokes[k] * Math.cos(a) - large.x;
      const dy = small.y + ring * small.spokes[k] * Math.sin(a) - large.y;
      total += weight;
      if (Math.hypot(dx, dy) < spokeAt(large, dx, dy)) inside += weight;
    }
  }
  return total === 0 ? 0 : inside / total;
}

function isSame(a: Peak, b: Peak): boolean {
  const dx = a.x - b.x;
  const dy = a.y - b.y;
  const apart = Math.hypot(dx, dy);
  if (apart > reach(a) + reach(b)) return false;
  if (apart < MIDDLE_LIMIT * Math.max(spokeAt(b, dx, dy), spokeAt(a, -dx, -dy))) return true;
  return (area(a) < area(b) ? shareInside(a, b) : shareInside(b, a)) > OVERLAP_LIMIT;
}

/** Strongest peaks first; every peak that shows an object already taken is dropped. Order of the input has no effect. */
export function keepStrongest(peaks: readonly Peak[]): Peak[] {
  const order = [...peaks].sort((a, b) => b.centre - a.centre || a.y - b.y || a.x - b.x);
  const cell = Math.max(8, ...order.map(reach)) * 2;
  const taken = new Map<string, Peak[]>();
  const kept: Peak[] = [];
  for (const peak of order) {
    const column = Math.floor(peak.x / cell);
    const row = Math.floor(peak.y / cell);
    const near: Peak[] = [];
    for (let r = row - 1; r <= row + 1; r++) {
      for (let c = column - 1; c <= column + 1; c++) near.push(...(taken.get(`${r},${c}`) ?? []));
    }
    if (near.some((other) => isSame(peak, other))) continue;
    kept.push(peak);
    const key = `${row},${column}`;
    taken.set(key, [...(taken.get(key) ?? []), peak]);
  }
  return kept;
}
