export { afterCount, type AfterCount } from './after/after-count.js';
export { USES, type AllowedPlan, type Use } from './after/allowed-plans.js';
export { batchLines, type BatchLine } from './batch/batch-lines.js';
export { batchSeason, type BatchSeason } from './batch/batch-season.js';
export { tankSeason, type TankSeason } from './batch/tank-season.js';
export { algaOf } from './plan/alga-of.js';
export { feedDay, type FeedDay } from './feed/feed-day.js';
export { giveFeed } from './feed/give-feed.js';
export { noteLeftCells } from './feed/left-cells.js';
export { balanceRows } from './history/balance-view.js';
export { FACT_NAMES } from './history/fact.js';
export { HAPPENINGS, type Happening } from './history/happening.js';
export { historyOf, type History, type NamedHappening } from './history/history-of.js';
export { houseNames, type Names } from './history/house-names.js';
export { originView } from './history/origin-view.js';
export { figure, limitsText, type Cell, type Row, type View } from './history/view.js';
export { checkZone, dayOf } from './morning/day-bounds.js';
export { lastDay } from './morning/last-day.js';
export { morningOf, type Morning } from './morning/morning-of.js';
export { USUAL_RHYTHM, type Rhythm } from './morning/rhythm.js';
export { loadFiguresOrCommon } from './plan/load-figures.js';
export { answerPlan } from './plan/answer-plan.js';
export { figuresView, type FigureView } from './plan/figures-view.js';
export {
  keepPlan,
  planStanding,
  tryPlan,
  type ChangedFigure,
  type PlanAsked,
  type PlanStanding,
  type PlanToKeep,
  type TriedPlan,
} from './plan/keep-plan.js';
export {
  ownFiguresOf,
  setOwnFigure,
  type FigureChange,
  type FigureToSet,
  type OwnFigures,
} from './plan/own-figures.js';
export type { AnswerOf, PlanAnswer, PlanKind } from './plan/answers.js';
export { questionCheck, type QuestionCheck } from './plan/question-check.js';
export type { PlanQuestion } from './plan/questions.js';
export {
  CORRECTABLE,
  correctableOf,
  correctEntry,
  standingEntry,
  takeBackEntry,
  type EntryToCorrect,
} from './record/correct.js';
export { checkNewName, find, ledgerOf, type Answered, type Desk, type NamedThings } from './record/desk.js';
export { checkDateFormat, ISO_FORMATS, numberOf, timeOf, type Formats } from './record/formats.js';
export { field, Given, type Field } from './record/given.js';
export { AT, NOTE, timeOrNow, type Kind } from './record/kind.js';
export { BATCH, TANK } from './record/kinds/batch.js';
export { ANIMAL, CROSS, SPAWN, SPAWN_RESULT } from './record/kinds/broodstock.js';
export { PARENTS, SPERM_CHECK } from './record/kinds/parents.js';
export { CULTURE, CULTURE_READING, RATION, WATER } from './record/kinds/care.js';
export { keepMove, MOVE, moveFields } from './record/kinds/move.js';
export { SETTING, SPAT } from './record/kinds/setting.js';
export { batchInTank, SAMPLE_FIELDS, sampleHead, type SampleHead } from './record/sample-head.js';
export { recordedOf, resultOf, type KeptResult } from './record/recorded.js';
export { animalsView, type AnimalView } from './spawn/animals-view.js';
export { proposeCross, type ProposedCross } from './spawn/propose-cross.js';
export { spawnLines, spawnView, type SpawnLine, type SpawnView } from './spawn/spawn-view.js';
export { settingView, type SettingLine, type SettingView } from './setting/setting-view.js';
