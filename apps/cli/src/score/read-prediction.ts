import { asNumber, asObject, asObjects, asPolygon, asText, type JsonObject } from './json-value.js';
import type { Polygon } from './polygon.js';

/** One egg or larva that was found. */
export interface FoundObject {
  readonly id: string;
  readonly x: number;
  readonly y: number;
  readonly lengthUm: number | null;
  readonly polygon: Polygon | null;
  /** Stage as the count file names it; empty when it names none. */
  readonly stage: string;
  /** Probability that the stage is right, 0..1; null when the file tells none. */
  readonly confidence: number | null;
}

/** What was found on one photo. */
export interface Prediction {
  readonly umPerPx: number | null;
  readonly objects: readonly FoundObject[];
}

/** Stages that are no egg or larva. */
const NOT_A_LARVA: ReadonlySet<unknown> = new Set(['debris', 'bubble', 'fibre', 'ciliate', 'alga']);

function foundObject(one: JsonObject): FoundObject[] {
  const x = asNumber(one['x']);
  const y = asNumber(one['y']);
  if (one['counted'] === false || NOT_A_LARVA.has(one['stage']) || x === null || y === null) return [];
  return [
    {
      id: asText(one['id']),
      x,
      y,
      lengthUm: asNumber(one['lengthUm']),
      polygon: asPolygon(one['outline']),
      stage: asText(one['stage']),
      confidence: asNumber(one['confidence']),
    },
  ];
}

/**
 * Reads a count file: what it counted, and its scale.
 *
 * @returns null when the file is none
 */
export function readPrediction(parsed: unknown): Prediction | null {
  const file = asObject(parsed);
  if (file === null || !Array.isArray(file['detections'])) return null;
  return {
    umPerPx: asNumber(asObject(file['scale'])?.['umPerPx']),
    objects: asObjects(file['detections']).flatMap(foundObject),
  };
}
