import { COUNTED_KINDS, KINDS, type Field, type Kind } from '@veligrid/model';
import { insideField } from '../field/inside-field.js';
import type { Found } from '../found.js';
import { resizedPicture, type Rows } from '../photo/resized-picture.js';
import type { Outline, Raster } from '../raster.js';
import { readFinderModel, type FinderModel } from './finder-model.js';
import { keepStrongest } from './keep-strongest.js';
import { fitGround } from './level-ground.js';
import { loadNetwork, type Network, type NetworkOptions } from './network.js';
import { readPeaks, type Peak } from './peaks.js';
import { cutTile, isEmptyTile, planTiles } from './tiles.js';

/** A finder ready for photos. One photo at a time per finder. */
export interface Finder {
  readonly version: string;
  readonly runtime: Network['runtime'];
  /** Scale that the network was trained at, micrometres per pixel. */
  readonly workingUm: number;
  /**
   * Proposes every object of a picture.
   *
   * @param raster the picture
   * @param field what lies outside is ignored
   * @param umPerPx scale of the picture, above 0; a wrong one costs finds
   */
  readonly find: (raster: Raster, field: Field, umPerPx: number) => Promise<Found[]>;
  readonly release: () => Promise<void>;
}

const logit = (p: number): number => Math.log(Math.max(1e-6, p) / Math.max(1e-6, 1 - p));

function kindProbabilities(peak: Peak, model: FinderModel): Record<Kind, number> {
  const sums = Object.fromEntries(KINDS.map((kind) => [kind, 0])) as Record<Kind, number>;
  for (const [k, p] of peak.classes.entries()) sums[model.kindOf[model.classes[k]]] += p;
  return sums;
}

/** Kind of the likelier group (counted or not) first, then the likeliest in it. */
function likeliest(sums: Readonly<Record<Kind, number>>): { kind: Kind; group: number } {
  const counted = COUNTED_KINDS.reduce((sum, kind) => sum + sums[kind], 0);
  const group = KINDS.filter((kind) => COUNTED_KINDS.includes(kind) === counted >= 0.5);
  const kind = group.reduce((best, k) => (sums[k] > sums[best] ? k : best), group[0]);
  return { kind, group: Math.max(counted, 1 - counted) };
}

function toFound(peak: Peak, model: FinderModel, ratio: readonly [number, number]): Found {
  const sums = kindProbabilities(peak, model);
  const { kind, group } = likeliest(sums);
  const stretch = model.calibration.spokes[kind] ?? 1;
  const n = peak.spokes.length;
  const outline: Outline = new Float64Array(2 * n);
  for (let k = 0; k < n; k++) {
    const a = (2 * Math.PI * k) / n;
    outline[2 * k] = (peak.x + stretch * peak.spokes[k] * Math.cos(a) + 0.5) * ratio[0] - 0.5;
    outline[2 * k + 1] = (peak.y + stretch * peak.spokes[k] * Math.sin(a) + 0.5) * ratio[1] - 0.5;
  }
  const { offset, centre, kind: weight } = model.calibration;
  const score = 1 / (1 + Math.exp(-(offset + centre * logit(peak.centre) + weight * logit(group))));
  const shelled = kind === 'shelled-larva' || kind === 'empty-or-dead';
  return {
    x: (peak.x + 0.5) * ratio[0] - 0.5,
    y: (peak.y + 0.5) * ratio[1] - 0.5,
    outline,
    score,
    kind,
    kindProbabilities: sums,
    classProbabilities: Object.fromEntries(model.classes.slice(0, -1).map((name, k) => [name, peak.classes[k]])),
    hingeAxisRad: shelled ? peak.axis : null,
  };
}

async function findIn(
  raster: Raster,
  field: Field,
  umPerPx: number,
  tools: { model: FinderModel; network: Network },
): Promise<Found[]> {
  const { model, network } = tools;
  const width = Math.max(8, Math.round((raster.width * umPerPx) / model.workingUm));
  const height = Math.max(8, Math.round((raster.height * umPerPx) / model.workingUm));
  const ratio = [raster.width / width, raster.height / height] as const;
  const picture = await resizedPicture(raster, width, height);
  const inField = (x: number, y: number): boolean =>
    insideField(field, (x + 0.5) * ratio[0] - 0.5, (y + 0.5) * ratio[1] - 0.5);
  const ground = await fitGround(picture, inField);
  const peaks: Peak[] = [];
  let rows: Rows | null = null;
  for (const tile of planTiles(width, height)) {
    if (rows?.top !== tile.top) rows = await picture.rows(tile.top, tile.top + tile.height);
    const cut = cutTile(rows, tile, ground, inField);
    if (isEmptyTile(cut, ground.divisor)) continue;
    const data = await network.run(cut.data, [1, 3, cut.height, cut.width]);
    const cells = { columns: cut.width / model.cell, rows: cut.height / model.cell, data };
    peaks.push(...readPeaks(cells, tile, model));
  }
  return keepStrongest(peaks)
    .map((peak) => toFound(peak, model, ratio))
    .filter((found) => found.score >= model.leastScore && insideField(field, found.x, found.y))
    .sort((a, b) => a.y - b.y || a.x - b.x);
}

/** Loads the committed finder. */
export async function loadFinder(options: NetworkOptions = {}): Promise<Finder> {
  const model = await readFinderModel();
  const network = await loadNetwork(model.network, options);
  return {
    version: model.version,
    runtime: network.runtime,
    workingUm: model.workingUm,
    find: (raster, field, umPerPx) => findIn(raster, field, umPerPx, { model, network }),
    release: () => network.release(),
  };
}
