import { stringify } from 'csv-stringify/sync';
import type { Detection, PhotoCount } from '@veligrid/model';

/** Columns with what stands in each; lengths in micrometres are empty without a scale. */
const COLUMNS: readonly (readonly [string, (one: Detection, count: PhotoCount, page: number) => unknown])[] = [
  ['photo', (_, count) => count.photo],
  ['page', (_, __, page) => page],
  ['id', (one) => one.id],
  ['kind', (one) => one.kind],
  ['stage', (one) => one.stage],
  ['form', (one) => one.form ?? ''],
  ['counted', (one) => (one.counted ? 'yes' : 'no')],
  ['in_area', (one) => (one.inArea ? 'yes' : 'no')],
  ['counting_rule', (_, count) => count.counting.rule],
  ['signed_off', () => 'no'],
  ['length_um', (one) => one.lengthUm],
  ['length_standard_uncertainty_um', (one) => one.lengthStandardUncertaintyUm],
  ['height_um', (one) => one.heightUm],
  ['area_um2', (one) => one.areaUm2],
  ['equivalent_diameter_um', (one) => one.equivalentDiameterUm],
  ['axis_deg', (one) => one.axisDeg],
  ['x_px', (one) => one.x],
  ['y_px', (one) => one.y],
  ['length_px', (one) => one.measures.lengthPx],
  ['confidence', (one) => one.confidence],
  ['square', (one) => one.square],
  ['inclusion_weight', (one) => one.inclusionWeight],
  ['flags', (one) => one.flags.join(';')],
  ['scale_um_per_px', (_, count) => count.scale.umPerPx],
  ['scale_source', (_, count) => count.scale.source],
];

/** Text that a spreadsheet would run as a formula is written as text. */
const options = { escape_formulas: true } as const;

/** Heading line of the CSV. */
export function csvHeading(): string {
  return stringify([COLUMNS.map(([name]) => name)], options);
}

/**
 * One line per detection, in tidy form.
 *
 * @param count of one page
 * @param page from 1
 */
export function csvRows(count: PhotoCount, page: number): string {
  return stringify(
    count.detections.map((one) => COLUMNS.map(([, cell]) => cell(one, count, page))),
    options,
  );
}
