import { COUNTED_KINDS } from '@veligrid/model';
import type { Found } from '../found.js';
import type { MeasuredObject } from '../measure/measure-object.js';
import type { Outline, Raster } from '../raster.js';
import { judgeStage, type Judgement } from './judge-stage.js';
import { plainFeatures, stageFeatures } from './stage-features.js';
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
 * @param umPerPx scale that can be relied on, or null
 * @param isLarva whether a find is taken for an egg, embryo or larva
 */
export function stageObjects(
  finds: readonly MeasuredFind[],
  staging: Staging,
  page: {
    readonly raster: Raster;
    readonly umPerPx: number | null;
    readonly isLarva: (found: Found) => boolean;
  },
): StagedFind[] {
  const { raster, umPerPx, isLarva } = page;
  return finds.map((find) => {
    const { found, measured } = find;
    const mayBeLarva = COUNTED_KINDS.includes(found.kind);
    const features = mayBeLarva ? stageFeatures(raster, find, umPerPx) : plainFeatures(find);
    const { minFeretPx, maxFeretPx } = measured.measures;
    const judgement = judgeStage(
      {
        kind: found.kind,
        isLarva: isLarva(found),
        score: found.score,
        values: features,
        lengthUm: umPerPx === null ? null : measured.lengthUm,
        feretRatio: minFeretPx / maxFeretPx,
      },
      staging,
    );
    return { ...find, features, judgement };
  });
}
