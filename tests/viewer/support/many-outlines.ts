import sharp from 'sharp';
import { FEATURES } from '@veligrid/imaging';
import { STAGES, type Detection, type PhotoCount } from '../../../packages/model/src/index.js';
import { seededRandom } from '../../support/seeded-random.js';

/** A photo with its count. */
export interface CountedPhoto {
  readonly name: string;
  /** The picture as a file. */
  readonly picture: Buffer;
  readonly count: PhotoCount;
}

const WIDTH = 4000;
const HEIGHT = 3000;
const CORNERS = 36;

/** As counts are stored. */
const hundredth = (px: number): number => Math.round(100 * px) / 100;

/** One outline of 36 corners somewhere in the photo. */
function detection(i: number, random: () => number): Detection {
  const [x, y] = [40 + random() * (WIDTH - 80), 40 + random() * (HEIGHT - 80)];
  const radius = 12 + 14 * random();
  const outline = Array.from({ length: CORNERS }, (_, corner): [number, number] => {
    const turn = (2 * Math.PI * corner) / CORNERS;
    return [hundredth(x + radius * Math.cos(turn)), hundredth(y + 0.85 * radius * Math.sin(turn))];
  });
  const stage = STAGES[i % 12] ?? 'umbo';
  return {
    id: String(i + 1),
    x,
    y,
    outline,
    lengthUm: 3 * radius,
    lengthStandardUncertaintyUm: 1,
    heightUm: 2.5 * radius,
    axisDeg: 0,
    areaUm2: 1,
    equivalentDiameterUm: 1,
    kind: 'shelled-larva',
    stage,
    stageProbabilities: { [stage]: i % 10 === 0 ? 0.6 : 0.95 },
    confidence: i % 10 === 0 ? 0.6 : 0.95,
    square: null,
    flags: [],
    measures: { solidity: 0.98, circularity: 0.95, darkness: 0.5, hinge: null } as Detection['measures'],
    features: Object.fromEntries(FEATURES.map(({ name }) => [name, Math.round(1e6 * random()) / 1e6])),
    counted: true,
    inArea: true,
    inclusionWeight: 1,
  };
}

/** A grainy photo of 12 megapixels with so many outlines, the same at every run with one seed. */
export async function manyOutlines(number: number, seed = 7): Promise<CountedPhoto> {
  const random = seededRandom(seed);
  const grain = Buffer.from(Uint8Array.from({ length: (WIDTH * HEIGHT) / 16 }, () => 150 + 60 * random()));
  const picture = await sharp(grain, { raw: { width: WIDTH / 4, height: HEIGHT / 4, channels: 1 } })
    .resize(WIDTH, HEIGHT)
    .jpeg({ quality: 85 })
    .toBuffer();
  const count: PhotoCount = {
    photo: 'many.jpg',
    widthPx: WIDTH,
    heightPx: HEIGHT,
    method: { name: 'made up', version: '1', finderVersion: '1', rulesVersion: '1' },
    sample: { kind: 'live', species: 'eastern-oyster', speciesVersion: '1' },
    scale: { umPerPx: 1.5, source: 'given', relativeStandardUncertainty: 0.01 },
    field: { kind: 'frame', ground: 'light' },
    grid: null,
    counting: {
      rule: 'centroid',
      shape: { kind: 'field', boxPx: [0, 0, WIDTH - 1, HEIGHT - 1] },
      areaMm2: 27,
      marginPx: 0,
      drawnField: null,
      flags: [],
    },
    detections: Array.from({ length: number }, (_, i) => detection(i, random)),
    warnings: [],
  };
  return { name: 'many.jpg', picture, count };
}
