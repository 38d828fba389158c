import type { Command } from 'commander';
import type { Adding } from './adding.js';

/** Commands that are loaded together, in the order of the help. */
export interface CommandGroup {
  readonly commands: readonly string[];
  readonly load: () => Promise<(program: Command, adding: Adding) => void>;
}

/** Every command with the module that adds it: reading all of them takes longer than most commands themselves. */
export const COMMAND_GROUPS: readonly CommandGroup[] = [
  { commands: ['count'], load: async () => (await import('./count/add-count-command.js')).addCountCommand },
  { commands: ['fields'], load: async () => (await import('./fields/add-fields-command.js')).addFieldsCommand },
  {
    commands: ['stages', 'learn', 'fertilisation'],
    load: async () => (await import('./stages/add-stage-commands.js')).addStageCommands,
  },
  {
    commands: ['calibrate'],
    load: async () => (await import('./calibrate/add-calibrate-command.js')).addCalibrateCommand,
  },
  { commands: ['score'], load: async () => (await import('./score/add-score-command.js')).addScoreCommand },
  { commands: ['estimate'], load: async () => (await import('./estimate/add-estimate-command.js')).addEstimateCommand },
  { commands: ['plan'], load: async () => (await import('./plan/add-plan-command.js')).addPlanCommand },
  { commands: ['serve'], load: async () => (await import('./serve/add-serve.js')).addServe },
  { commands: ['worker'], load: async () => (await import('./worker/worker-command.js')).addWorker },
  {
    commands: ['broodstock', 'spawn', 'batch', 'tank', 'culture'],
    load: async () => (await import('./season/add-noun-commands.js')).addNounCommands,
  },
  { commands: ['sample'], load: async () => (await import('./season/sample/sample-commands.js')).addSampleCommands },
  { commands: ['history'], load: async () => (await import('./season/history/history-command.js')).addHistory },
  {
    commands: ['correct', 'take-back'],
    load: async () => (await import('./season/correct-commands.js')).addCorrectCommands,
  },
  {
    commands: ['import-season'],
    load: async () => (await import('./season/import/import-season-command.js')).addImportSeason,
  },
  { commands: ['demo-season'], load: async () => (await import('./season/demo/demo-command.js')).addDemoSeason },
  {
    commands: ['backup', 'restore', 'check', 'rehearse', 'export', 'import'],
    load: async () => (await import('./store/add-store-commands.js')).addStoreCommands,
  },
  { commands: ['move'], load: async () => (await import('./store/add-move.js')).addMove },
];
