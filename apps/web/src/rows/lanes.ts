import { STAGES, type Stage } from '@veligrid/model';
import type { Larva } from '../state/larvae.js';

/** What larvae are laid out by. */
export const LAYOUTS = ['length', 'stage', 'look'] as const;
export type Layout = (typeof LAYOUTS)[number];

/** One column of larvae below its mark on the ruler. */
export interface Lane {
  readonly key: string;
  readonly head:
    | { readonly kind: 'length'; readonly fromUm: number; readonly toUm: number }
    | { readonly kind: 'stage'; readonly stage: Stage }
    | { readonly kind: 'look'; readonly needs: boolean }
    | { readonly kind: 'no-length' };
  readonly larvae: readonly Larva[];
}

const byLength = (a: Larva, b: Larva): number => (a.object.lengthUm ?? 0) - (b.object.lengthUm ?? 0);

/** Width of the bins so that there are about twenty: 2, 5, 10, 20 or 50 um. */
export function binWidth(lengths: readonly number[]): number {
  const span = lengths.length === 0 ? 0 : Math.max(...lengths) - Math.min(...lengths);
  return [2, 5, 10, 20, 50].find((width) => span / width <= 24) ?? 100;
}

function lengthLanes(larvae: readonly Larva[]): Lane[] {
  const measured = larvae.filter(({ object }) => object.lengthUm !== null && object.measurable);
  const width = binWidth(measured.map(({ object }) => object.lengthUm ?? 0));
  const groups = new Map<number, Larva[]>();
  for (const larva of measured) {
    const bin = Math.floor((larva.object.lengthUm ?? 0) / width);
    groups.set(bin, [...(groups.get(bin) ?? []), larva]);
  }
  const lanes = [...groups]
    .sort(([a], [b]) => a - b)
    .map(([bin, members]): Lane => ({
      key: `um-${bin * width}`,
      head: { kind: 'length', fromUm: bin * width, toUm: (bin + 1) * width },
      larvae: members.sort(byLength),
    }));
  const rest = larvae.filter((larva) => !measured.includes(larva));
  return rest.length === 0 ? lanes : [...lanes, { key: 'no-length', head: { kind: 'no-length' }, larvae: rest }];
}

function stageLanes(larvae: readonly Larva[]): Lane[] {
  return STAGES.flatMap((stage): Lane[] => {
    const members = larvae.filter(({ object }) => object.stage === stage).sort(byLength);
    return members.length === 0 ? [] : [{ key: stage, head: { kind: 'stage', stage }, larvae: members }];
  });
}

function lookLanes(larvae: readonly Larva[]): Lane[] {
  return [true, false].flatMap((needs): Lane[] => {
    const members = larvae.filter(({ needsLook }) => needsLook === needs);
    const sorted = members.sort((a, b) => (a.found?.confidence ?? 1) - (b.found?.confidence ?? 1));
    return members.length === 0
      ? []
      : [{ key: `look-${String(needs)}`, head: { kind: 'look', needs }, larvae: sorted }];
  });
}

/** Lays larvae out in columns. */
export function lanesOf(larvae: readonly Larva[], layout: Layout): Lane[] {
  switch (layout) {
    case 'length':
      return lengthLanes(larvae);
    case 'stage':
      return stageLanes(larvae);
    case 'look':
      return lookLanes(larvae);
  }
}

/** Keys from one larva to another in the order of the columns, both included. */
export function rangeBetween(lanes: readonly Lane[], from: string, to: string): string[] {
  const keys = lanes.flatMap(({ larvae }) => larvae.map(({ key }) => key));
  const [a, b] = [keys.indexOf(from), keys.indexOf(to)];
  return a < 0 || b < 0 ? [to] : keys.slice(Math.min(a, b), Math.max(a, b) + 1);
}

/** Columns and rows that an arrow key goes. */
const STEPS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowDown: [0, 1],
  ArrowUp: [0, -1],
  ArrowRight: [1, 0],
  ArrowLeft: [-1, 0],
};

/** The larva that an arrow key leads to: up and down within a column, left and right to the same height in the next. */
export function neighbour(lanes: readonly Lane[], key: string, arrow: string): string | null {
  const keys = lanes.map(({ larvae }) => larvae.map((larva) => larva.key));
  const lane = keys.findIndex((one) => one.includes(key));
  const at = keys[lane]?.indexOf(key);
  if (at === undefined) return keys[0]?.[0] ?? null;
  const [across, down] = STEPS[arrow] ?? [0, 0];
  const target = keys[lane + across] ?? [];
  return target[Math.min(at + down, target.length - 1)] ?? null;
}
