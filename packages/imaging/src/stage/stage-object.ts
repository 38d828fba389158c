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

/** The picture that finds lie on, and which of them are taken for eggs, embryos or larvae. */
export interface StagePage extends StageScene {
  readonly isLarva: (found: Found) => boolean;
}

/** Features and stage of one find; what is no larva by its kind gets plain features only. */
export function stageObject(find: MeasuredFind, staging: Staging, page: StagePage): StagedFind {
  const { umPerPx, ground, isLarva } = page;
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
}
