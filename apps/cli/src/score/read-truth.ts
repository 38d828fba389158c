import { COUNTED_KINDS } from '@veligrid/model';
import { asNumber, asObject, asObjects, asPair, asPolygon, asText, type JsonObject } from './json-value.js';
import type { Polygon } from './polygon.js';

/** One egg or larva known to be there. */
export interface TrueObject {
  readonly x: number;
  readonly y: number;
  readonly lengthPx: number;
  /** Micrometres; null when the truth has no scale. */
  readonly lengthUm: number | null;
  readonly polygon: Polygon | null;
  /** Stage or class as the truth names it; empty when it names none. */
  readonly stage: string;
  /** Cut by the edge, or too far out of focus: neither for nor against. */
  readonly ignored: boolean;
}

/** What is known of one photo. */
export interface Truth {
  readonly objects: readonly TrueObject[];
  readonly umPerPx: number | null;
  /** Ruled lines in sight, so that a scale can be asked for. */
  readonly ruled: boolean;
  /** Middle and diameter in pixels of algae, which small detections may lie on. */
  readonly algae: readonly (readonly [number, number])[];
  readonly field: { readonly x: number; readonly y: number; readonly radius: number } | null;
  /** Suite of a drawn slide, null for others. */
  readonly suite: string | null;
}

function drawnObject(one: JsonObject): TrueObject[] {
  const centre = asPair(one['centroid_px']);
  const lengthPx = asNumber(one['length_px']);
  if (centre === null || lengthPx === null) return [];
  const ignored = one['cut_by_frame'] === true || one['hard'] === true;
  const polygon = asPolygon(one['polygon']);
  const stage = asText(one['class']);
  return [{ x: centre[0], y: centre[1], lengthPx, lengthUm: asNumber(one['length_um']), polygon, stage, ignored }];
}

/** Truth of a slide drawn by computer. */
function drawnTruth(file: JsonObject): Truth {
  const field = asObject(file['field']);
  const centre = asPair(field?.['centre_px']);
  const radius = asNumber(field?.['radius_px']);
  const algae = Array.isArray(file['algae_px_d_um']) ? file['algae_px_d_um'] : [];
  return {
    objects: asObjects(file['objects']).flatMap(drawnObject),
    umPerPx: asNumber(file['um_per_px']),
    ruled: asObject(file['grid']) !== null || asObject(file['micrometer']) !== null,
    algae: algae.map(asPair).filter((one) => one !== null),
    field: centre === null || radius === null ? null : { x: centre[0], y: centre[1], radius },
    suite: typeof file['suite'] === 'string' ? file['suite'] : null,
  };
}

function confirmedObject(one: JsonObject): TrueObject[] {
  const x = asNumber(one['x']);
  const y = asNumber(one['y']);
  const lengthPx = asNumber(asObject(one['measures'])?.['lengthPx']);
  const cut = Array.isArray(one['flags']) && one['flags'].includes('cut');
  const larva = COUNTED_KINDS.some((kind) => kind === one['kind']);
  if (x === null || y === null || lengthPx === null || !(one['counted'] === true || (larva && cut))) return [];
  const polygon = asPolygon(one['outline']);
  return [{ x, y, lengthPx, lengthUm: asNumber(one['lengthUm']), polygon, stage: asText(one['stage']), ignored: cut }];
}

/** A count file that a person has confirmed. */
function confirmedTruth(file: JsonObject): Truth {
  const field = asObject(file['field']);
  const centre = asPair(field?.['centrePx']);
  const radius = asNumber(field?.['radiusPx']);
  return {
    objects: asObjects(file['detections']).flatMap(confirmedObject),
    umPerPx: asNumber(asObject(file['scale'])?.['umPerPx']),
    ruled: asObject(file['grid']) !== null,
    algae: [],
    field: centre === null || radius === null ? null : { x: centre[0], y: centre[1], radius },
    suite: null,
  };
}

/**
 * Reads truth from a parsed file: that of a drawn slide (`suite` and `objects`), or a count file confirmed by hand
 * (`detections`).
 *
 * @returns the truth, or null when the file is neither
 */
export function readTruth(parsed: unknown): Truth | null {
  const file = asObject(parsed);
  if (file === null) return null;
  if (Array.isArray(file['objects']) && typeof file['suite'] === 'string') return drawnTruth(file);
  return Array.isArray(file['detections']) ? confirmedTruth(file) : null;
}
