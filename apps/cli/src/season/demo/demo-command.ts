import { createHash } from 'node:crypto';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Command } from 'commander';
import { VeligridError } from '@veligrid/model';
import { DEMO_KEY } from '@veligrid/server';
import { openStore } from '@veligrid/storage';
import { EXIT } from '../../exit-codes.js';
import { importSeason } from '../import/import-season.js';
import { readSeason } from '../import/import-season-command.js';
import type { Adding } from '../../adding.js';
import { photographed } from './photographed.js';

/** Folder of the demo season, below the folder that the command is started in. */
const DEMO_FOLDER = 'veligrid-season';

/** The season in plain files, and drawn slides that come with the source. */
const SEASON = fileURLToPath(new URL('../../../demo-season', import.meta.url));
const SLIDES = fileURLToPath(new URL('../../../../../sample-images', import.meta.url));

const BY = 'demo';

/** When all of it is said to have been entered: the same in every run. */
const ENTERED = '2026-05-23T06:00:00.000Z';

/** Ids that are the same in every run, in the form of others. */
function countedIds(): () => string {
  let number = 0;
  return () => {
    number += 1;
    const hex = createHash('sha256').update(`demo season ${number}`).digest('hex');
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20, 32)].join('-');
  };
}

async function checkEmpty(folder: string): Promise<void> {
  const there = await readdir(folder).catch(() => []);
  if (there.length === 0) return;
  throw new VeligridError(
    'refused',
    `${folder} is not empty. The demo season is made in a folder of its own: name a new one.`,
  );
}

/**
 * Makes the demo season in a new folder: the same rows in every run.
 *
 * @returns rows kept
 * @throws VeligridError `refused` for a folder that holds something
 */
async function makeDemoSeason(folder: string): Promise<number> {
  await checkEmpty(folder);
  const newId = countedIds();
  const slides = { pictures: join(SLIDES, 'drawn'), truth: join(SLIDES, 'truth'), newId };
  const plain = await readSeason(join(SEASON, 'season.json'));
  const photos = await readSeason(join(SEASON, 'photos.json'), [photographed(slides)]);
  const rows = [...plain.rows, ...photos.rows];
  const store = await openStore(folder, { now: () => new Date(ENTERED), newId });
  try {
    await store.settings.set(DEMO_KEY, true, { by: BY });
    const { kept, refused } = await importSeason(store, rows, { by: BY, dryRun: false, now: () => ENTERED });
    const [first] = refused;
    if (first !== undefined)
      throw new Error(`The demo season is broken: ${first.file}, line ${first.line}: ${first.why}`);
    return Object.values(kept).reduce((sum, number) => sum + number, 0);
  } finally {
    await store.close();
  }
}

const HELP = `
A hatchery that does not exist: two spawns, three batches, six tanks, fourteen days of counts by eye and on slides drawn by
computer, cultures, rations, water, a setting. docs/season.md walks through it.`;

/** Adds `demo-season`. */
export function addDemoSeason(program: Command, { console, done }: Adding): void {
  program
    .command('demo-season')
    .description('make a made-up season to look at, in a folder of its own')
    .option('--data <folder>', 'new folder', DEMO_FOLDER)
    .addHelpText('after', HELP)
    .action(async ({ data }: { readonly data: string }) => {
      const rows = await makeDemoSeason(data);
      console.out(`The demo season is in ${data}: ${rows} entries.\n`);
      console.out(`Look: veligrid history A --data ${data}, or veligrid serve --data ${data} --open\n`);
      done(EXIT.done);
    });
}
