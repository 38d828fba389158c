import { readFile } from 'node:fs/promises';
import { loadNetwork, type NetworkOptions } from '../find/network.js';
import type { Outline, Raster } from '../raster.js';
import { lumaLevels, type LumaLevels } from './luma-levels.js';
import { ANGLES, COS, cutBand, DEPTHS, radiiOf, SIN, WRAP, type Radii } from './rim-band.js';

/** Puts outlines on the rim of shell or egg at full scale. */
export interface Refiner {
  /**
   * @param coarse closed outlines that are within about a tenth of the true size
   * @returns outlines of `ANGLES` points in the same order; one whose middle lies outside itself comes back as it is
   */
  readonly refine: (raster: Raster, coarse: readonly Outline[]) => Promise<Outline[]>;
  readonly release: () => Promise<void>;
}

/** The network answers in units of this share of the coarse radius. */
const UNIT = 0.1;
/** Spread of the coarse outline, in the same unit: where the rim is less certain than this, the coarse outline has a say. */
const COARSE_SPREAD = 0.35;
/** An object whose size changed by more than this share is looked at again from where it ended. */
const LARGE_CHANGE = 0.02;
/** Objects a run of the network takes. */
const BATCH = 32;
/** Halvings of the picture kept for large objects. */
const LEVELS = 4;
const ROWS = ANGLES + 2 * WRAP;

/** Radii where the network sees the rim, weighed against the coarse ones by its own spread (Laplace). */
function moved(radii: Radii, answer: Float32Array, place: number): Radii {
  const radius = radii.radius.map((coarse, k) => {
    const offset = answer[2 * place * ANGLES + k];
    const spread = Math.exp(Math.min(3, Math.max(-5, answer[(2 * place + 1) * ANGLES + k])));
    const trust = COARSE_SPREAD ** 2 / (COARSE_SPREAD ** 2 + spread ** 2);
    return coarse * Math.max(0.3, 1 + UNIT * trust * offset);
  });
  return { ...radii, radius };
}

function toOutline({ x, y, radius }: Radii): Outline {
  const outline = new Float64Array(2 * ANGLES);
  for (let k = 0; k < ANGLES; k++) {
    outline[2 * k] = x + radius[k] * COS[k];
    outline[2 * k + 1] = y + radius[k] * SIN[k];
  }
  return outline;
}

const sum = (values: Float64Array): number => values.reduce((a, b) => a + b, 0);
const changed = (before: Radii, after: Radii): boolean =>
  Math.abs(sum(after.radius) / sum(before.radius) - 1) > LARGE_CHANGE;

/** Loads the committed refiner. */
export async function loadRefiner(options: NetworkOptions = {}): Promise<Refiner> {
  const network = await loadNetwork(await readFile(new URL('../../models/refiner.onnx', import.meta.url)), options);

  async function look(levels: LumaLevels, places: readonly Radii[]): Promise<Radii[]> {
    const seen: Radii[] = [];
    for (let from = 0; from < places.length; from += BATCH) {
      const batch = places.slice(from, from + BATCH);
      const bands = new Float32Array(batch.length * ROWS * DEPTHS);
      for (const [place, radii] of batch.entries()) cutBand(levels, radii, bands, place);
      const answer = await network.run(bands, [batch.length, 1, ROWS, DEPTHS]);
      seen.push(...batch.map((radii, place) => moved(radii, answer, place)));
    }
    return seen;
  }

  return {
    refine: async (raster, coarse) => {
      const refined = [...coarse];
      const start = coarse.map(radiiOf).flatMap((radii, k) => (radii === null ? [] : [{ k, radii }]));
      if (start.length === 0) return refined;
      const levels = lumaLevels(raster, LEVELS);
      const places = start.map(({ radii }) => radii);
      const first = await look(levels, places);
      for (const [n, radii] of first.entries()) refined[start[n].k] = toOutline(radii);
      const again = start.flatMap(({ k }, n) => {
        const radii = changed(places[n], first[n]) ? radiiOf(refined[k]) : null;
        return radii === null ? [] : [{ k, radii }];
      });
      const second = await look(
        levels,
        again.map(({ radii }) => radii),
      );
      for (const [n, radii] of second.entries()) refined[again[n].k] = toOutline(radii);
      return refined;
    },
    release: () => network.release(),
  };
}
