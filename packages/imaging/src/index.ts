export type { CountStep } from './count-page.js';
export { countPhoto, type CountOptions } from './count-photo.js';
export { findField } from './field/find-field.js';
export { insideField } from './field/inside-field.js';
export type { CellKind } from './grid/find-grid.js';
export { measureMask, type MeasuredPatch } from './measure/measure-mask.js';
export { measureOutline, type OutlineMeasures } from './measure/measure-outline.js';
export { joinPhotos, type JoinedCount, type OverlappingPhotos } from './overlap/join-photos.js';
export type { ViewedCount } from './overlap/find-overlap.js';
export { photoView, type PhotoView } from './overlap/photo-view.js';
export { setDecodeThreads } from './photo/decode-sharp.js';
export { inspectPhoto, type PhotoPage } from './photo/inspect-photo.js';
export { removePlace } from './photo/remove-place.js';
export { cutPyramid, previewPicture, pyramidLevels, TILE_OVERLAP, TILE_SIZE } from './photo/show-picture.js';
export { readPhoto, type Page, type ReadPhotoOptions } from './photo/read-photo.js';
export { renderCalibration } from './photo/render-calibration.js';
export { renderOverlay, type RenderOverlayOptions } from './photo/render-overlay.js';
export type { ScaleHint } from './photo/scale-hint.js';
export type { GreyRaster, Outline, Raster } from './raster.js';
export {
  attachedSpermBand,
  CLEAVED,
  fertilisationCheck,
  POLAR_BODY_MINUTES,
  spermBand,
  type SpermBand,
  type FertilisationCheck,
  type FertilisationOptions,
} from './stage/fertilisation.js';
export type {
  CalibrationQuality,
  CalibrationTarget,
  EyepieceRuler,
  NoCalibration,
  PhotoCalibration,
} from './scale/calibration.js';
export { calibratePhoto, type CalibrateOptions } from './scale/calibrate-photo.js';
export type { SavedCalibration } from './scale/use-calibration.js';
export { agreementOf, confusion, type Confusion, type Judged, type TableAgreement } from './stage/learn/confusion.js';
export { driftWatch, type CorrectionCount, type DriftAnswer } from './stage/learn/drift.js';
export type { Comparison, GateAnswer } from './stage/learn/gate.js';
export {
  HOWS,
  learnRules,
  type How,
  type LabelledCheck,
  type Learned,
  type LearnOptions,
  type TouchedStage,
} from './stage/learn/learn-rules.js';
export type { CheckedLarva } from './stage/learn/update-rules.js';
export { FEATURES, type Feature } from './stage/feature-list.js';
export { loadSpecies, loadStartingRules, speciesNames } from './stage/load-stage-files.js';
export type { Labelled } from './stage/rules/fit-discriminant.js';
export { fitRules, type RulesName } from './stage/rules/fit-rules.js';
export { rulesJson } from './stage/rules/rules-json.js';
export { parseStageRules, type StageRules } from './stage/rules/stage-rules.js';
export { thresholdTable, type StageThreshold, type WeighingFeature } from './stage/rules/threshold-table.js';
export { shareNormal, type NormalShare } from './stage/share-normal.js';
export { parseSpecies, type SpeciesPreset } from './stage/species.js';
export type { StagingOptions } from './stage/staging.js';
