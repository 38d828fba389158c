/** A point in the picture, pixels. */
export type Point = readonly [number, number];

/** Two points being set, the cross that keys move, and the part of the picture in view. */
export interface TwoPoints {
  readonly points: readonly Point[];
  readonly cross: Point;
  /** Left, top, width and height of the part in view, pixels of the picture. */
  readonly view: readonly [number, number, number, number];
}

/** Nothing set yet; all of the picture in view. */
export const beginPoints = (width: number, height: number): TwoPoints => ({
  points: [],
  cross: [width / 2, height / 2],
  view: [0, 0, width, height],
});

/** A point more; a third begins anew. */
export function withPoint(state: TwoPoints, point: Point): TwoPoints {
  const points = state.points.length >= 2 ? [point] : [...state.points, point];
  return { ...state, points, cross: point };
}

/** Nearer (above 1) or further away, about the cross; never more than the picture. */
export function zoomed(state: TwoPoints, factor: number, [width, height]: Point): TwoPoints {
  const [x, y] = state.cross;
  const [, , viewWidth] = state.view;
  const nextWidth = Math.min(width, Math.max(40, viewWidth / factor));
  const nextHeight = (nextWidth * height) / width;
  const left = Math.min(width - nextWidth, Math.max(0, x - nextWidth / 2));
  const top = Math.min(height - nextHeight, Math.max(0, y - nextHeight / 2));
  return { ...state, view: [left, top, nextWidth, nextHeight] };
}

/** Moves the cross by parts of the view; the view follows it. */
export function crossBy(state: TwoPoints, [dx, dy]: Point, [width, height]: Point): TwoPoints {
  const [left, top, viewWidth, viewHeight] = state.view;
  const x = Math.min(width, Math.max(0, state.cross[0] + dx * viewWidth));
  const y = Math.min(height, Math.max(0, state.cross[1] + dy * viewWidth));
  const inView = x >= left && x <= left + viewWidth && y >= top && y <= top + viewHeight;
  const moved: TwoPoints = { ...state, cross: [x, y] };
  return inView ? moved : zoomed(moved, 1, [width, height]);
}

/** Pixels between the two points; null before both are set. */
export function distancePx({ points: [a, b] }: TwoPoints): number | null {
  return a === undefined || b === undefined ? null : Math.hypot(a[0] - b[0], a[1] - b[1]);
}
