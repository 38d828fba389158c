import { COUNTED_KINDS } from '@veligrid/model';
import type { Found } from '../found.js';
import type { MeasuredObject } from '../measure/measure-object.js';
import type { Outline } from '../raster.js';
import { judgeStage, type Judgement } from './judge-stage.js';
import { plainFeatures, stageFeatures, type StageScene } from './stage-features.js';
import type { Staging } from './staging.js';

/** A find with its outline and measures. */
export interface MeasuredFind {
  readonly found: Found;
  readonly outline: Outline;
  readonly measured: MeasuredObject;
}

/** A find with everything that is known of its stage. */
export interface StagedFind extends MeasuredFind {
  readonly features: Readonly<Record<string, number>>;
  readonly judgement: Judgement;
}

/**
 * Features and stage of every find of a photo; what is no larva by its kind gets plain features only.
 *
 * @param page picture with its scale and ground, and whether a find is taken for an egg, embryo or larva
 */
export function stageObjects(
  finds: readonly MeasuredFind[],
  staging: Staging,
  page: StageScene & { readonly isLarva: (found: Found) => boolean },
): StagedFind[] {
  const { umPerPx, ground, isLarva } = page;
  return finds.map((find) => {
    const { found, measured } = find;
    const mayBeLarva = COUNTED_KINDS.includes(found.kind);
    const features = mayBeLarva ? stageFeatures(page, find) : plainFeatures(find);
    const { minFeretPx, maxFeretPx } = measured.measures;
    const judgement = judgeStage(
      {
        kind: found.kind,
        isLarva: isLarva(found),
        score: found.score,
        values: features,
        ...(ground === 'dark' ? { kinds: found.kindProbabilities } : {}),
        lengthUm: umPerPx === null ? null : measured.lengthUm,
        feretRatio: minFeretPx / maxFeretPx,
      },
      staging,
    );
    return { ...find, features, judgement };
  });
}
