import { badArgument } from '@veligrid/model';
import { sum } from './moments.js';

/** An object's bounding box and the frame it lies in, in one unit. */
export interface Framed {
  readonly width: number;
  readonly height: number;
}

/**
 * Weight of a whole object in a frame that cuts others: 1 over the chance that one of its size lies whole inside
 * (Miles and Lantuejoul; ISO 13322-1): W H / ((W - w)(H - h)).
 *
 * @throws VeligridError `bad-argument` when an object is larger than half the frame: too few such can be whole
 */
export function wholeInFrameWeight({ width, height }: Framed, frame: Framed): number {
  if (width > frame.width / 2 || height > frame.height / 2) {
    throw badArgument('an object', 'at most half as wide and high as the frame', `${width} x ${height}`);
  }
  return (frame.width * frame.height) / ((frame.width - width) * (frame.height - height));
}

/** Mean of lengths with weights. */
export const weightedMean = (values: readonly number[], weights: readonly number[]): number =>
  sum(values.map((value, i) => value * (weights[i] ?? 0))) / sum(weights);
