import type { Json, JsonObject, Parts } from '@veligrid/storage';

/** Cells that were counted in a tank before it was fed, with who counted them. */
export interface LeftCells {
  /** As T-Iso cells. */
  readonly cellsPerMl: number;
  readonly by: string;
  readonly at: string;
}

const keyOf = (day: string): string => `feed-left:${day}`;

const isObject = (value: Json | undefined): value is JsonObject =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function leftOf(value: Json | undefined): LeftCells | null {
  if (!isObject(value)) return null;
  const { cellsPerMl, by, at } = value;
  return typeof cellsPerMl === 'number' && typeof by === 'string' && typeof at === 'string'
    ? { cellsPerMl, by, at }
    : null;
}

/** What was left in tanks before the round of a day, by tank. */
export async function leftCells({ settings }: Pick<Parts, 'settings'>, day: string): Promise<Map<string, LeftCells>> {
  const kept = await settings.get(keyOf(day));
  if (!isObject(kept)) return new Map();
  const found = Object.entries(kept).map(([tankId, value]) => [tankId, leftOf(value)] as const);
  return new Map(found.flatMap(([tankId, left]) => (left === null ? [] : [[tankId, left]])));
}

/** Notes what is left in a tank before the round of a day; null takes the note away. What was said before is kept. */
export async function noteLeftCells(
  { settings }: Pick<Parts, 'settings'>,
  { day, tankId, cellsPerMl }: { readonly day: string; readonly tankId: string; readonly cellsPerMl: number | null },
  { by, at }: Pick<LeftCells, 'by' | 'at'>,
): Promise<void> {
  const before = await leftCells({ settings }, day);
  const all = new Map<string, Json>([...before].map(([id, one]) => [id, { ...one }]));
  if (cellsPerMl === null) all.delete(tankId);
  else all.set(tankId, { cellsPerMl, by, at });
  await settings.set(keyOf(day), Object.fromEntries(all), { by });
}
