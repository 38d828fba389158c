import { lineCandidates, type CandidateLine } from './line-candidates.js';
import { acrossAt, traceLine, type LinePath, type TracedLine } from './trace-line.js';
import type { WorkingPlane } from './working-plane.js';

/** At most this many candidates are followed, and no more after so many failures in a row. */
const MOST_TRACES = 100;
const MOST_FAILURES = 25;
/** A candidate that keeps within this distance of a line already followed is the same line, working pixels. */
const SAME_LINE = 12;
/** The same for a candidate that could not be followed: it may only have been a poor start. */
const SAME_TRY = 5;
/** Least share of strips that must show a line. */
const LEAST_SUPPORT = 0.5;

/**
 * Lines that run straight through the field, the surest first.
 *
 * @param plane working plane
 */
export function traceLines(plane: WorkingPlane): TracedLine[] {
  const lines: TracedLine[] = [];
  const tried: LinePath[] = [];
  let failures = 0;
  for (const candidate of lineCandidates(plane)) {
    if (tried.length >= MOST_TRACES || failures >= MOST_FAILURES) break;
    const path = pathOf(candidate);
    if (lines.some((line) => meanDistance(line.path, path) < SAME_LINE)) continue;
    if (tried.some((other) => meanDistance(other, path) < SAME_TRY)) continue;
    tried.push(path);
    const traced = traceLine(plane, path);
    failures++;
    if (traced === null || traced.support < LEAST_SUPPORT) continue;
    if (lines.some((line) => meanDistance(line.path, traced.path) < SAME_LINE)) continue;
    lines.push(traced);
    failures = 0;
  }
  return lines;
}

function pathOf(line: CandidateLine): LinePath {
  const { steep, start, slope, from, to } = line;
  return { steep, from, to, curve: [start + (slope * (from + to)) / 2, (slope * (to - from)) / 2, 0] };
}

/** Mean distance across of two paths over the part where both run; Infinity when one is steep and the other flat. */
function meanDistance(one: LinePath, other: LinePath): number {
  if (one.steep !== other.steep) return Infinity;
  const from = Math.max(one.from, other.from);
  const to = Math.min(one.to, other.to);
  if (to <= from) return Infinity;
  let sum = 0;
  for (let k = 0; k <= 4; k++) {
    const along = from + ((to - from) * k) / 4;
    sum += Math.abs(acrossAt(one, along) - acrossAt(other, along));
  }
  return sum / 5;
}
