/** A JSON object of unknown content. */
export type JsonObject = Readonly<Record<string, unknown>>;

/** The value as an object, or null when it is none. */
export function asObject(value: unknown): JsonObject | null {
  return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as JsonObject) : null;
}

/** The value as a list of objects; what is none is left out. */
export function asObjects(value: unknown): JsonObject[] {
  return Array.isArray(value) ? value.map(asObject).filter((one) => one !== null) : [];
}

/** The value as a finite number, or null. */
export function asNumber(value: unknown): number | null {
  return typeof value === 'number' && Number.isFinite(value) ? value : null;
}

/** The value as text, empty when it is none. */
export function asText(value: unknown): string {
  return typeof value === 'string' ? value : '';
}

/** The value as a pair of numbers, or null. */
export function asPair(value: unknown): readonly [number, number] | null {
  if (!Array.isArray(value)) return null;
  const [x, y] = [asNumber(value[0]), asNumber(value[1])];
  return x === null || y === null ? null : [x, y];
}

/** The value as an outline, or null when it has fewer than three corners. */
export function asPolygon(value: unknown): readonly (readonly [number, number])[] | null {
  if (!Array.isArray(value)) return null;
  const corners = value.map(asPair).filter((corner) => corner !== null);
  return corners.length >= 3 ? corners : null;
}
