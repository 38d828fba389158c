import type { Command } from 'commander';
import type { Adding } from '../adding.js';
import { MOVE_KINDS, type MoveKind } from '@veligrid/model';
import { EXIT } from '../exit-codes.js';
import {
  ANIMAL,
  BATCH,
  CROSS,
  CULTURE,
  CULTURE_READING,
  keepMove,
  type Kind,
  moveFields,
  RATION,
  SETTING,
  SPAT,
  SPAWN,
  SPAWN_RESULT,
  TANK,
  WATER,
} from '@veligrid/season';
import { looking, type DeskOptions } from './open-desk.js';
import { addRecordCommand, withData } from './record-command.js';
import { listAnimals, listBatches, listCultures, listSpawns, listTanks, type ListView } from './show/lists.js';
import { rowsText, viewText } from './show/plain-text.js';
import { showAnimal, showBatch, showCulture, showSpawn, showTank, type ShowView } from './show/shows.js';

const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;

/** What every noun can be asked. */
export interface Noun {
  readonly name: string;
  readonly about: string;
  readonly list: ListView;
  readonly show: ShowView;
}

/** Adds `list` and `show` of a noun, and answers the command that more can be added to. */
export function addNoun(program: Command, { name, about, list, show }: Noun, { console, done }: Adding): Command {
  const noun = program.command(name).description(about);
  withData(noun.command('list').description('all of them')).action(async (options: DeskOptions) => {
    const rows = await looking(options, list);
    console.out(options.json === true ? json(rows) : rowsText(rows, `There is no ${name} yet.`));
    done(EXIT.done);
  });
  const showing = noun.command('show').description('one of them with all that is recorded of it');
  withData(showing.argument('<name>', 'its name, or its id')).action(async (which: string, options: DeskOptions) => {
    const view = await looking(options, (desk) => show(desk, which));
    console.out(options.json === true ? json(view) : viewText(view));
    done(EXIT.done);
  });
  return noun;
}

const MOVES_ABOUT: Readonly<Record<MoveKind, string>> = {
  stock: 'larvae from outside come into a tank',
  split: 'a part goes to another tank',
  merge: 'larvae go into a tank that holds another batch',
  drop: 'the water is changed over a screen: back into the same tank, or all into another',
  cull: 'larvae are thrown away, as after screening',
  sample: 'larvae leave in samples for good',
  return: 'what is left of a live sample is poured back; a fixed one is refused',
  ship: 'larvae are shipped',
  set: 'larvae are put to set',
  discard: 'all or a part is given up',
};

/** Setting has a command of its own, which keeps the setting too. */
const moveKind = (kind: MoveKind): Kind =>
  kind === 'set'
    ? SETTING
    : {
        name: kind,
        about: MOVES_ABOUT[kind],
        fields: moveFields(kind),
        keep: (given, desk) => keepMove(given, desk, kind),
      };

/** Adds `broodstock`, `spawn`, `batch`, `tank` and `culture`. */
export function addNounCommands(program: Command, adding: Adding): void {
  const broodstock = {
    name: 'broodstock',
    about: 'animals that are kept to spawn',
    list: listAnimals,
    show: showAnimal,
  };
  addRecordCommand(addNoun(program, broodstock, adding), 'add', ANIMAL, adding);

  const spawn = addNoun(
    program,
    { name: 'spawn', about: 'spawns and crosses', list: listSpawns, show: showSpawn },
    adding,
  );
  addRecordCommand(spawn, 'add', SPAWN, adding);
  addRecordCommand(spawn, 'result', SPAWN_RESULT, adding);
  addRecordCommand(spawn, 'cross', CROSS, adding);

  const batch = addNoun(
    program,
    { name: 'batch', about: 'batches of larvae', list: listBatches, show: showBatch },
    adding,
  );
  addRecordCommand(batch, 'add', BATCH, adding);
  addRecordCommand(batch, 'spat', SPAT, adding);

  const tank = addNoun(
    program,
    { name: 'tank', about: 'tanks, and what is done with what is in them', list: listTanks, show: showTank },
    adding,
  );
  addRecordCommand(tank, 'add', TANK, adding);
  for (const kind of MOVE_KINDS) addRecordCommand(tank, kind, moveKind(kind), adding);
  addRecordCommand(tank, 'feed', RATION, adding);
  addRecordCommand(tank, 'water', WATER, adding);

  const culture = addNoun(
    program,
    { name: 'culture', about: 'cultures of algae', list: listCultures, show: showCulture },
    adding,
  );
  addRecordCommand(culture, 'add', CULTURE, adding);
  addRecordCommand(culture, 'reading', CULTURE_READING, adding);
}
