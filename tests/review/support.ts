import type { Choice, Decision } from '@veligrid/review';
import type { Detection, Flag, PhotoCount } from '@veligrid/model';

/** A square outline of a side around a middle. */
export const box = (x: number, y: number, side = 10): [number, number][] => [
  [x - side / 2, y - side / 2],
  [x + side / 2, y - side / 2],
  [x + side / 2, y + side / 2],
  [x - side / 2, y + side / 2],
];

/** A found larva at a place. */
export function found(id: string, x: number, y: number, flags: readonly Flag[] = []): Detection {
  return {
    id,
    x,
    y,
    outline: box(x, y),
    lengthUm: 80,
    lengthStandardUncertaintyUm: 1,
    heightUm: 70,
    axisDeg: 0,
    areaUm2: 4000,
    equivalentDiameterUm: 71,
    kind: 'shelled-larva',
    stage: 'unsure',
    stageProbabilities: {},
    confidence: 0.9,
    square: x < 100 ? 'A1' : 'B1',
    flags,
    measures: {
      lengthPx: 10,
      heightPx: 10,
      areaPx2: 100,
      perimeterPx: 40,
      maxFeretPx: 14,
      minFeretPx: 10,
      maxFeretUm: null,
      minFeretUm: null,
      perimeterUm: null,
      solidity: 1,
      circularity: 0.78,
      hinge: null,
      darkness: 0.2,
      edgeContrast: 20,
      edgeWidthPx: 2,
    },
    features: {},
    counted: !flags.includes('cut'),
    inArea: true,
    inclusionWeight: 1,
  };
}

/** A photo of two squares, A1 and B1 beside it, at 2 um a pixel, with three larvae in A1 and two in B1. */
export function photoOf(photo: string, detections?: readonly Detection[], rulesVersion = '1'): PhotoCount {
  return {
    photo,
    widthPx: 200,
    heightPx: 100,
    method: { name: 'test', version: '1', finderVersion: '1', rulesVersion },
    sample: { kind: 'live', species: 'eastern-oyster', speciesVersion: '1' },
    scale: { umPerPx: 2, source: 'given', relativeStandardUncertainty: 0.01 },
    field: { kind: 'frame', ground: 'light' },
    counting: {
      rule: 'centroid',
      shape: { kind: 'squares', squares: ['A1', 'B1'] },
      areaMm2: 0.08,
      marginPx: 0,
      drawnField: 'A1',
      flags: [],
    },
    grid: {
      pitchUm: 200,
      rotationDeg: 0,
      squares: ['A1', 'B1'].map((name, i) => ({
        name,
        cornersPx: [
          [100 * i, 0],
          [100 * i + 100, 0],
          [100 * i + 100, 100],
          [100 * i, 100],
        ],
      })),
    },
    detections: detections ?? [
      found('a', 20, 20),
      found('b', 50, 50),
      found('c', 80, 80),
      found('d', 120, 20),
      found('e', 160, 60, ['cut']),
    ],
    warnings: [],
  };
}

/** Makes decisions of one person with rising times and ids. */
export function reviewer(by: string, hour: number): (choice: Choice) => Decision {
  let n = 0;
  return (choice) => {
    n += 1;
    return {
      id: `${by}-${n}`,
      by,
      at: `2026-06-01T${String(hour).padStart(2, '0')}:${String(n).padStart(2, '0')}:00Z`,
      ...choice,
    };
  };
}
