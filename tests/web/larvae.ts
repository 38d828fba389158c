import type { Detection } from '../../packages/model/src/index.js';
import type { ReviewedObject } from '../../packages/review/src/index.js';
import type { Larva } from '../../apps/web/src/state/larvae.js';

/** A reviewed object of a length in micrometres. */
export const object = (id: string, lengthUm: number | null, more: Partial<ReviewedObject> = {}): ReviewedObject => ({
  id,
  x: 10,
  y: 10,
  outline: [
    [0, 0],
    [20, 0],
    [20, 20],
    [0, 20],
  ],
  stage: 'umbo',
  form: 'not-judged',
  square: null,
  lengthUm,
  heightUm: lengthUm,
  measurable: true,
  counted: true,
  decisions: [],
  ...more,
});

/** A larva of a count. */
export const larva = (id: string, lengthUm: number | null, more: Partial<ReviewedObject> = {}): Larva => ({
  key: `p ${id}`,
  photo: 'p',
  object: object(id, lengthUm, more),
  found: undefined,
  needsLook: false,
  inCount: true,
});

/** The part of a detection that a need of a look is judged by. */
export const detection = (id: string, more: Partial<Detection> = {}): Detection =>
  ({
    id,
    stage: 'umbo',
    confidence: 0.95,
    stageProbabilities: { umbo: 0.95 },
    flags: [],
    inArea: true,
    measures: { solidity: 0.98 },
    ...more,
  }) as Detection;
