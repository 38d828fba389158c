export { balancedEntries, balanceOf, verdictOf, type Balance, type Verdict } from './record/balance.js';
export { cameThrough, type CourseStep } from './record/came-through.js';
export { batchesIn, pedigreeOf, type Parentage, type Part, type Pedigree } from './record/pedigree.js';
export type { Move, TankCount } from './record/season-events.js';
export { refusalOfMove, seasonLedger, type Recorded, type SeasonLedger } from './record/season-ledger.js';
export { INS, OUTS, presentIn, type CountedDay, type LedgerEntry, type LedgerLine, type Stay } from './record/stay.js';
export {
  figure,
  figureBook,
  numberOf,
  type Figure,
  type FigureBook,
  type FigurePreset,
  type FigureValue,
} from './presets/figure-book.js';
export { parseFigures } from './presets/parse-figures.js';
export type { Amount } from './rules/amount.js';
export { algaeVolumeMl, type AlgaeVolumeInput } from './rules/algae-volume.js';
export { breeders, type BreedersPlan, type BreedersQuestion } from './rules/breeders.js';
export { dYield, type DYield, type DYieldInput } from './rules/d-yield.js';
export { effectiveNumber, effectiveOfSex } from './rules/effective-breeders.js';
export { eggPool, type EggPoolInput, type EggPoolPlan } from './rules/egg-pool.js';
export { equalGametes, poolParts, type EqualGametes, type GameteDonor, type PoolPart } from './rules/equal-gametes.js';
export { feedSheet, type FeedSheet, type FeedSheetQuestion } from './rules/feed-sheet.js';
export { fertilisedShare, type FertilisedPlan } from './rules/fertilised-share.js';
export { speciesBand, type SpeciesBand } from './rules/growth-band.js';
export { growth, type GrowthPlan, type GrowthQuestion } from './rules/growth.js';
export { kinships, type Kinships, type PedigreeAnimal } from './rules/kinship.js';
export { packing, type PackingPlan, type PackingQuestion } from './rules/packing.js';
export { ration, type RationPlan, type RationQuestion } from './rules/ration.js';
export { readiness, type ReadinessPlan, type ReadinessQuestion } from './rules/readiness.js';
export { screenClasses, type ClassSummary, type ScreenClass } from './rules/screen-classes.js';
export { screening, type ScreeningPlan, type ScreeningQuestion } from './rules/screening.js';
export { setting, type SettingPlan, type SettingQuestion } from './rules/setting.js';
export { sieveTable, type SievedClass, type SieveRow } from './rules/sieve-table.js';
export { dosingLine, spatRation, type DosingLine, type SpatRation } from './rules/spat-feeding.js';
export { stageAtLength, type StageSizes } from './rules/stage-at-length.js';
export { stocking, type StockingPlan, type StockingQuestion } from './rules/stocking.js';
export { survival, type SurvivalPlan, type SurvivalQuestion } from './rules/survival.js';
export { yieldChain, type ChainShare, type ChainStep } from './rules/yield-chain.js';
export type { Plan } from './rules/answer.js';
export type { Caution } from './rules/cautions.js';
