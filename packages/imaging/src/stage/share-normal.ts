import type { Detection } from '@veligrid/model';
import { shareLimits, type ShareLimits } from './share-limits.js';

/** Share of normal form over slides. */
export interface NormalShare {
  readonly normal: number;
  readonly abnormal: number;
  readonly notJudged: number;
  /** What the share is of, in words. */
  readonly denominator: string;
  /** Null when none is judged. */
  readonly limits: ShareLimits | null;
}

/**
 * Share of embryos and straight-hinge larvae of normal form among those that staff judged; those not judged are told apart,
 * never taken for normal.
 *
 * @param slides detections of each slide, with the forms that staff gave
 */
export function shareNormal(slides: readonly (readonly Pick<Detection, 'form' | 'counted'>[])[]): NormalShare {
  const counts = slides.map((detections) => {
    const of = (form: Detection['form']): number => detections.filter((one) => one.counted && one.form === form).length;
    return { normal: of('normal'), abnormal: of('abnormal'), notJudged: of('not-judged') };
  });
  const sum = (key: 'normal' | 'abnormal' | 'notJudged'): number => counts.reduce((total, one) => total + one[key], 0);
  return {
    normal: sum('normal'),
    abnormal: sum('abnormal'),
    notJudged: sum('notJudged'),
    denominator: 'embryos and straight-hinge larvae whose form was judged',
    limits: shareLimits(counts.map(({ normal, abnormal }) => ({ whole: normal + abnormal, part: normal }))),
  };
}
