import type { Point } from './shapes.js';

/** What a tap on the photo does. Without a tool it selects. */
export const TOOLS = ['add', 'redraw', 'split', 'join', 'ruler'] as const;
export type Tool = (typeof TOOLS)[number];

/** A tool in use. */
export interface Work {
  readonly tool: Tool;
  readonly taps: readonly Point[];
  /** Cross that the arrow keys move, or null when a mouse or finger works. */
  readonly cross: Point | null;
}

/** Taps after which a tool is done by itself; the others wait for "Done". */
const ENOUGH: Readonly<Record<Tool, number>> = { add: Infinity, redraw: Infinity, split: 2, join: 0, ruler: 2 };
/** Taps that "Done" needs. */
const LEAST: Readonly<Record<Tool, number>> = { add: 2, redraw: 3, split: 2, join: 0, ruler: 2 };

/** Begins with a tool; with a cross when it was chosen by key. */
export const begin = (tool: Tool, cross: Point | null): Work => ({ tool, taps: [], cross });

/** A tap more; a ruler that is full begins anew. */
export function tapped(work: Work, point: Point): Work {
  const taps = work.tool === 'ruler' && work.taps.length >= ENOUGH.ruler ? [] : work.taps;
  return { ...work, taps: [...taps, point] };
}

/** Without the last tap. */
export const untapped = (work: Work): Work => ({ ...work, taps: work.taps.slice(0, -1) });

/** Moves the cross by pixels of the photo; it begins where it is first asked for. */
export function crossMoved(work: Work, [dx, dy]: Point, start: Point): Work {
  const [x, y] = work.cross ?? start;
  return { ...work, cross: [x + dx, y + dy] };
}

/** Whether the taps are all that the tool takes. */
export const isFull = ({ tool, taps }: Work): boolean => taps.length >= ENOUGH[tool];

/** Whether "Done" would do something. */
export const mayFinish = ({ tool, taps }: Work): boolean => tool !== 'join' && taps.length >= LEAST[tool];

/** Whether taps draw a line or an outline. */
export const tapsAre = (tool: Tool): 'line' | 'outline' => (tool === 'split' || tool === 'ruler' ? 'line' : 'outline');
