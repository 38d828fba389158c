import type { Imaging } from '../../../apps/cli/src/count/count-file.js';
import type { Counting, Detection, PhotoCount } from '@veligrid/model';
import { photoView } from '../../../packages/imaging/src/overlap/photo-view.js';
import { readPhoto, type Page } from '../../../packages/imaging/src/photo/read-photo.js';
import { renderOverlay } from '../../../packages/imaging/src/photo/render-overlay.js';

/** A detection of a given id with an outline of 20 px; lengths follow its number. */
export function detectionOf(number: number, more: Partial<Detection> = {}): Detection {
  const x = 30 + 10 * number;
  return {
    id: `d${String(number)}`,
    x,
    y: 40,
    outline: [
      [x - 10, 30],
      [x + 10, 30],
      [x + 10, 50],
      [x - 10, 50],
    ],
    lengthUm: 60 + number,
    lengthStandardUncertaintyUm: 0.5,
    heightUm: 50,
    axisDeg: 12.5,
    areaUm2: 1600,
    equivalentDiameterUm: 45.135,
    kind: 'egg-or-embryo',
    stage: 'unsure',
    stageProbabilities: {},
    confidence: 0.9,
    square: null,
    flags: [],
    measures: {
      lengthPx: 20,
      heightPx: 20,
      areaPx2: 400,
      perimeterPx: 80,
      maxFeretPx: 28.284,
      minFeretPx: 20,
      maxFeretUm: 85,
      minFeretUm: 60,
      perimeterUm: 240,
      solidity: 1,
      circularity: 0.785,
      hinge: null,
      darkness: 0.4,
      edgeContrast: 12,
      edgeWidthPx: 2.1,
    },
    features: { finder_score: 0.9 },
    counted: true,
    inArea: true,
    inclusionWeight: 1,
    ...more,
  };
}

/** A count of a page: as many detections as its page number and two more, of which one is cut and one a bubble. */
export function countOf(photo: string, page: Pick<Page, 'raster' | 'page' | 'warnings'>): PhotoCount {
  const eggs = Array.from({ length: page.page }, (_, i) => detectionOf(i + 1));
  const cut = detectionOf(page.page + 1, { flags: ['cut'], counted: false });
  const bubble = detectionOf(page.page + 2, { kind: 'bubble', counted: false });
  return {
    photo,
    widthPx: page.raster.width,
    heightPx: page.raster.height,
    method: { name: 'veligrid', version: '0.1.0', finderVersion: '1', rulesVersion: '1' },
    sample: { kind: 'live', species: 'eastern-oyster', speciesVersion: '1' },
    scale: { umPerPx: 3, source: 'given', relativeStandardUncertainty: 0 },
    field: { kind: 'frame', ground: 'light' },
    grid: null,
    counting: {
      rule: 'centroid',
      shape: { kind: 'field', boxPx: [10, 10, 70, 50] },
      areaMm2: 0.0216,
      marginPx: 9,
      drawnField: null,
      flags: ['fields-not-random'],
    },
    detections: [...eggs, cut, bubble],
    warnings: page.warnings,
  };
}

/** Reads and draws as the library does, and counts by `countOf`; a photo called `fault` meets an error of ours. */
export const fakeImaging: Imaging = {
  countPhoto: async (source, options) => {
    const name = options.name ?? source;
    if (name.includes('fault')) throw new TypeError('outline is not a list');
    const counts: PhotoCount[] = [];
    for await (const page of readPhoto(source, { name })) {
      const plain = countOf(name, page);
      const { drawnField } = options;
      const counting: Counting =
        drawnField === undefined ? plain.counting : { ...plain.counting, drawnField, flags: [] };
      const count = { ...plain, counting };
      counts.push(options.timing === true ? { ...count, timingMs: { read: 1.5 } } : count);
    }
    return counts;
  },
  photoView: (raster, umPerPx) => Promise.resolve(photoView(raster, umPerPx)),
  readPhoto,
  renderOverlay,
};
