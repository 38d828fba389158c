import { readFile } from 'node:fs/promises';
import { loadNetwork, type NetworkOptions } from '../find/network.js';
import type { Outline, Raster } from '../raster.js';
import { lumaLevels, type LumaLevels } from './luma-levels.js';
import { ANGLES, COS, cutBand, DEPTHS, radiiOf, SIN, WRAP, type Radii } from './rim-band.js';

/** A rim at full scale. */
export interface RefinedOutline {
  /** `ANGLES` points; the coarse outline where no rim could be looked for. */
  readonly outline: Outline;
  /** Mean standard uncertainty of a point across the rim, pixels; null where no rim could be looked for. */
  readonly pointUncertaintyPx: number | null;
}

/** Puts outlines on the rim of shell or egg at full scale. */
export interface Refiner {
  /** @param coarse closed outlines that are within about a tenth of the true size */
  readonly refine: (raster: Raster, coarse: readonly Outline[]) => Promise<RefinedOutline[]>;
  readonly release: () => Promise<void>;
}

/** The network answers in units of this share of the coarse radius. */
const UNIT = 0.1;
/** Spread of the coarse outline, in the same unit: where the rim is less certain than this, the coarse outline has a say. */
const COARSE_SPREAD = 0.35;
/** Objects a run of the network takes. */
const BATCH = 64;
/** Halvings of the picture kept for large objects. */
const LEVELS = 4;
/** Standard deviation over the spread of a Laplace distribution. */
const LAPLACE = Math.SQRT2;
/** Looks at each rim: the second starts where the first ended, so that the coarse outline's error leaves no trace. */
const PASSES = 2;
const ROWS = ANGLES + 2 * WRAP;

/** One step of refinement from what the network says of one object: new radii and the mean spread. */
function moved(radii: Radii, answer: Float32Array, place: number): { radii: Radii; spreadPx: number } {
  const radius = new Float64Array(ANGLES);
  let spreadPx = 0;
  for (let k = 0; k < ANGLES; k++) {
    const offset = answer[2 * place * ANGLES + k];
    const spread = Math.exp(Math.min(3, Math.max(-5, answer[(2 * place + 1) * ANGLES + k])));
    const trust = COARSE_SPREAD ** 2 / (COARSE_SPREAD ** 2 + spread ** 2);
    radius[k] = radii.radius[k] * Math.max(0.3, 1 + UNIT * trust * offset);
    spreadPx += (LAPLACE * UNIT * spread * radii.radius[k]) / ANGLES;
  }
  return { radii: { ...radii, radius }, spreadPx };
}

function toOutline({ x, y, radius }: Radii): Outline {
  const outline = new Float64Array(2 * ANGLES);
  for (let k = 0; k < ANGLES; k++) {
    outline[2 * k] = x + radius[k] * COS[k];
    outline[2 * k + 1] = y + radius[k] * SIN[k];
  }
  return outline;
}

/** Radii seen from the new centroid; as they are where that lies outside. */
const recentred = (steps: readonly { radii: Radii }[]): Radii[] =>
  steps.map(({ radii }) => radiiOf(toOutline(radii)) ?? radii);

/** Loads the committed refiner. */
export async function loadRefiner(options: NetworkOptions = {}): Promise<Refiner> {
  const network = await loadNetwork(await readFile(new URL('../../models/refiner.onnx', import.meta.url)), options);

  async function step(levels: LumaLevels, places: readonly Radii[]): Promise<{ radii: Radii; spreadPx: number }[]> {
    const bands = new Float32Array(places.length * ROWS * DEPTHS);
    for (const [place, radii] of places.entries()) cutBand(levels, radii, bands, place);
    const answer = await network.run(bands, [places.length, 1, ROWS, DEPTHS]);
    return places.map((radii, place) => moved(radii, answer, place));
  }

  async function refineBatch(levels: LumaLevels, coarse: readonly Outline[]): Promise<RefinedOutline[]> {
    const all = coarse.map(radiiOf);
    const known = all.filter((radii) => radii !== null);
    if (known.length === 0) return coarse.map((outline) => ({ outline, pointUncertaintyPx: null }));
    let steps = await step(levels, known);
    for (let pass = 1; pass < PASSES; pass++) steps = await step(levels, recentred(steps));
    let place = 0;
    return all.map((radii, k) => {
      if (radii === null) return { outline: coarse[k], pointUncertaintyPx: null };
      const last = steps[place++];
      return { outline: toOutline(last.radii), pointUncertaintyPx: last.spreadPx };
    });
  }

  return {
    refine: async (raster, coarse) => {
      const levels = lumaLevels(raster, LEVELS);
      const refined: RefinedOutline[] = [];
      for (let from = 0; from < coarse.length; from += BATCH) {
        refined.push(...(await refineBatch(levels, coarse.slice(from, from + BATCH))));
      }
      return refined;
    },
    release: () => network.release(),
  };
}
