export { auditEstimate, drawSquares, type AuditEstimate, type AuditSquare, type DrawnSquare } from './audit.js';
export { auditFinds, exactFinds, shareOutChecks, type CheckedFinds, type FindsEstimate } from './audit-finds.js';
export { auditRegression, helpedMean, type SuperMean } from './audit-regression.js';
export type { Contribution } from './budget.js';
export type { CountMethod, HistoryChoice } from './choose-spread.js';
export type { CountInput, Subsample } from './count-input.js';
export {
  correctedNumber,
  trueShare,
  trueStages,
  type Reliability,
  type Tried,
  type TrueShare,
} from './detector-error.js';
export type { Dispersion } from './dispersion.js';
export { estimateCount, PRESET_UNCERTAINTY, type CountEstimate } from './estimate-count.js';
export {
  estimateGrowth,
  targetForShare,
  type GrowthEstimate,
  type GrowthInput,
  type GrowthModel,
} from './estimate-growth.js';
export { estimateLengths, type LengthEstimate, type LengthOptions } from './estimate-lengths.js';
export {
  estimateShare,
  estimateStages,
  type ScoredSlide,
  type ShareEstimate,
  type ShareOptions,
  type StagesEstimate,
} from './estimate-share.js';
export { estimateSurvival, type DatedTotal, type SurvivalEstimate, type SurvivalInput } from './estimate-survival.js';
export { pooledHistory, STARTING_HISTORY, type History } from './history.js';
export type { Level, Limits } from './limits.js';
export { stopRule, subsamplesByStudent, type StopAnswer } from './precision.js';
export { countForPrecision } from './poisson-limits.js';
export { sameDistribution, type DistributionTest } from './same-distribution.js';
export { sumTotals, type SumOptions, type TotalPart, type TotalsEstimate } from './sum-totals.js';
export { subsamplesOf, type SubsamplesOptions } from './subsamples-of.js';
export { handLengths, handTally, lengthsOf, tallyOf, type Choose, type SignedLengths, type Tally } from './tally.js';
export { concentrationOf, fieldsVolumeMl, squaresVolumeMl, type Area, type Cell, type Step } from './volumes.js';
export { weightedMean, wholeInFrameWeight, type Framed } from './frame-weights.js';
export { lengthsForMean, lengthsForPercentile, type LengthsNeeded } from './lengths-for-precision.js';
export { clumpingOf, type Clumping } from './negative-binomial.js';
export { bestSquaresPerFilling, nestedSquares, type NestedSquares } from './nested-squares.js';
export { rateRatio, type RateRatio } from './rate-ratio.js';
export { drawFields, type DrawFieldsOptions, type DrawnField, type FieldPlan, type FieldUnit } from './draw-fields.js';
export { CELL_LAYOUTS, columnLetters, type RuledCell } from './ruled-cells.js';
export { differenceLimits, exactly, productLimits, ratioLimits, sumLimits } from './limits-algebra.js';
export { checkLevel, logLimits, times, twoSided } from './limits.js';
export { fitLine, lineAt } from './fit-line.js';
export { meanLimits, sdLimits } from './mean-limits.js';
export { logisticKept, screenShare, type ScreenShare, type Shell } from './screen.js';
export { wilson } from './proportions.js';
