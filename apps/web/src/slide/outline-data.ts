import { STAGE_MARKS, STAGES, type Stage } from '@veligrid/model';
import type { ReviewedObject } from '@veligrid/review';

/** How an outline's line is drawn: whole when counted with its length, dashed without it, dotted when not counted. */
export const LINES = ['whole', 'dashed', 'dotted'] as const;
export type Line = (typeof LINES)[number];

/** Outlines packed for the painter: copied to its thread without touching each corner. */
export interface PackedOutlines {
  /** x and y of every corner of every outline, pixels of the photo. */
  readonly corners: Float32Array;
  /** First corner of each outline, and one past the last: length is one more than the number of outlines. */
  readonly starts: Uint32Array;
  /** Stage as index into STAGES. */
  readonly colours: Uint8Array;
  /** Index into LINES. */
  readonly lines: Uint8Array;
}

/** Colours and signs by stage, in the order of STAGES. */
export const MARKS: { readonly colours: readonly string[]; readonly signs: readonly string[] } = {
  colours: STAGES.map((stage) => STAGE_MARKS[stage].colour),
  signs: STAGES.map((stage) => STAGE_MARKS[stage].sign),
};

/** How an object's line is drawn. */
export const lineOf = ({ counted, measurable }: Pick<ReviewedObject, 'counted' | 'measurable'>): Line =>
  counted ? (measurable ? 'whole' : 'dashed') : 'dotted';

/** Packs outlines for the painter. */
export function packOutlines(objects: readonly ReviewedObject[]): PackedOutlines {
  const total = objects.reduce((sum, { outline }) => sum + outline.length, 0);
  const corners = new Float32Array(2 * total);
  const starts = new Uint32Array(objects.length + 1);
  const colours = new Uint8Array(objects.length);
  const lines = new Uint8Array(objects.length);
  let at = 0;
  objects.forEach((object, i) => {
    starts[i] = at / 2;
    for (const [x, y] of object.outline) {
      corners[at++] = x;
      corners[at++] = y;
    }
    colours[i] = STAGES.indexOf(object.stage);
    lines[i] = LINES.indexOf(lineOf(object));
  });
  starts[objects.length] = at / 2;
  return { corners, starts, colours, lines };
}

/** What of a photo is drawn. */
export interface Shown {
  /** Only these objects, or all. */
  readonly only: ReadonlySet<string> | null;
  /** Stages left out. */
  readonly without: ReadonlySet<Stage>;
}

/** Objects to draw of all. */
export const shownObjects = (objects: readonly ReviewedObject[], { only, without }: Shown): ReviewedObject[] =>
  objects.filter(({ id, stage }) => (only === null || only.has(id)) && !without.has(stage));
