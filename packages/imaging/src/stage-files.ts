/** The files that staging is set by, read and checked: for callers that count elsewhere and need none of the machinery. */
export { loadSpecies } from './stage/load-stage-files.js';
export { parseStageRules, type StageRules } from './stage/rules/stage-rules.js';
export { parseSpecies } from './stage/species.js';
export type { StagingOptions } from './stage/staging.js';
