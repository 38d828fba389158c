import type { Command } from 'commander';
import { addNounCommands } from './add-noun-commands.js';
import { addCorrectCommands } from './correct-commands.js';
import { addDemoSeason } from './demo/demo-command.js';
import { addHistory } from './history/history-command.js';
import { addImportSeason } from './import/import-season-command.js';
import type { Adding } from './record-command.js';
import type { CountFile } from './sample/keep-photo.js';
import { addSampleCommands } from './sample/sample-commands.js';

/** Adds everything that a season is recorded with. */
export function addSeasonCommands(program: Command, adding: Adding, countFile?: CountFile): void {
  addNounCommands(program, adding);
  addSampleCommands(program, adding, countFile);
  addHistory(program, adding);
  addCorrectCommands(program, adding);
  addImportSeason(program, adding);
  addDemoSeason(program, adding);
}
