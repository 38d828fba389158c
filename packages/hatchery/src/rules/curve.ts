import { badArgument } from '@veligrid/model';

type Points = readonly (readonly [number, number])[];

/** The neighbours of x among points by rising x; the outermost pair beyond the ends. */
function segment(points: Points, x: number): readonly [readonly [number, number], readonly [number, number]] {
  const found = points.findIndex(([at]) => at >= x);
  const after = found === -1 ? points.length - 1 : Math.max(1, found);
  const [p, q] = [points[after - 1], points[after]];
  if (p === undefined || q === undefined) throw badArgument('the curve', 'two points or more', points.length);
  return [p, q];
}

/** Height of straight lines between points at x; beyond the ends that of the end. */
export function heightAt(points: Points, x: number): number {
  const [[x0, y0], [x1, y1]] = segment(points, x);
  const part = Math.min(1, Math.max(0, (x - x0) / (x1 - x0)));
  return y0 + part * (y1 - y0);
}

/** Where straight lines between rising points reach y; null when they do not. */
export function whereHeight(points: Points, y: number): number | null {
  const i = points.findIndex(([, height]) => height >= y);
  const [p, q] = [points[i - 1], points[i]];
  if (q === undefined) return null;
  if (p === undefined) return q[0];
  return p[0] + ((y - p[1]) / (q[1] - p[1])) * (q[0] - p[0]);
}

/** Exponent b of y = a x^b through two points with all numbers above 0. */
export const exponentBetween = ([x0, y0]: readonly [number, number], [x1, y1]: readonly [number, number]): number =>
  Math.log(y1 / y0) / Math.log(x1 / x0);

/** Power laws y = a x^b between neighbouring points, carried on beyond the ends; for what rises with length. */
export function powerAt(points: Points, x: number): number {
  const [p, q] = segment(points, x);
  return p[1] * (x / p[0]) ** exponentBetween(p, q);
}
