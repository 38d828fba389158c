import type { Command } from 'commander';
import { VeligridError } from '@veligrid/model';
import type { Parts, Said, SeasonLog } from '@veligrid/storage';
import { EXIT } from '../exit-codes.js';
import { ledgerOf, type Desk } from './desk.js';
import { ISO_FORMATS } from './formats.js';
import { Given } from './given.js';
import { recording, type DeskOptions } from './open-desk.js';
import { withBy, type Adding } from './record-command.js';

/** What can be corrected, with the number, time and text fields of it. */
const LOGS = {
  spawn: ['spawns', ['happenedAt', 'endedAt', 'ambientC', 'raisedC', 'cue', 'note']],
  'spawn-result': ['spawnResults', ['happenedAt', 'gameteMl', 'gametes', 'note']],
  cross: ['crosses', ['name', 'happenedAt', 'eggs', 'sperm', 'note']],
  'batch-origin': ['origins', ['eggs', 'note']],
  move: ['moves', ['happenedAt', 'number', 'low', 'high', 'screenUm', 'place', 'note']],
  'culture-reading': ['cultureReadings', ['happenedAt', 'litres', 'cellsPerMl', 'note']],
  ration: ['rations', ['happenedAt', 'litres', 'cellsPerMl', 'note']],
  water: ['waterNotes', ['happenedAt', 'temperatureC', 'salinityPpt', 'ph', 'oxygenMgL', 'note']],
  setting: ['settingEvents', ['happenedAt', 'larvae', 'cultch', 'shells', 'bags', 'note']],
  'spat-count': ['spatCounts', ['happenedAt', 'shells', 'spat', 'note']],
} as const satisfies Readonly<Record<string, readonly [keyof Parts, readonly string[]]>>;

type Correctable = keyof typeof LOGS;

const TEXTS = ['name', 'cue', 'cultch', 'place', 'note'];

function kindOf(what: string): Correctable {
  const found = (Object.keys(LOGS) as Correctable[]).find((kind) => kind === what);
  if (found !== undefined) return found;
  throw new VeligridError(
    'bad-argument',
    `There is nothing to correct called "${what}": give one of ${Object.keys(LOGS).join(', ')}.`,
  );
}

const logOf = ({ parts }: Desk, kind: Correctable): SeasonLog<object> => parts[LOGS[kind][0]];

const sqlish = (key: string): string => key.replace(/[A-Z]/g, (letter) => `_${letter.toLowerCase()}`);

/** `number=5e5` as a field with its value; nothing after the sign takes a value away. */
function change(kind: Correctable, said: string): readonly [string, string | number | null] {
  const [name = '', ...rest] = said.split('=');
  const value = rest.join('=');
  const known: readonly string[] = LOGS[kind][1];
  const key = known.find((one) => sqlish(one) === name || (one === 'happenedAt' && name === 'at'));
  if (key === undefined || rest.length === 0) {
    const names = known.map((one) => (one === 'happenedAt' ? 'at' : sqlish(one))).join(', ');
    throw new VeligridError('bad-argument', `"${said}" changes nothing: give FIELD=VALUE with a field of ${names}.`);
  }
  const given = new Given(new Map([[name, value]]), ISO_FORMATS);
  if (TEXTS.includes(key)) return [key, given.text(name)];
  return [key, key.endsWith('At') ? given.maybeTime(name) : given.maybeNumber(name)];
}

/** Does something to what is recorded; refused when moves or counts that were possible no longer are. */
async function stillPossible<T>(desk: Desk, work: () => Promise<T>): Promise<T> {
  const before = (await ledgerOf(desk)).ledger.refused.map(({ id }) => id);
  const answer = await work();
  const broken = (await ledgerOf(desk)).ledger.refused.find(({ id }) => !before.includes(id));
  if (broken === undefined) return answer;
  const message = `After that something recorded could not have happened: ${broken.why} (${broken.id}). Correct that first.`;
  throw new VeligridError('refused', message);
}

async function versionOf(log: SeasonLog<object>, kind: string, id: string): Promise<number> {
  const last = (await log.versions(id)).at(-1);
  if (last === undefined) throw new VeligridError('bad-argument', `There is no ${kind} with the id ${id}.`);
  return last.version;
}

interface CorrectOptions extends DeskOptions {
  readonly by: string;
  readonly why: string;
}

const said = ({ by, why }: CorrectOptions): Said => ({ by, why });

const HELP = `
Examples:
  veligrid correct move ID number=480000 low= high= --why "read the wrong line" --by NAME --data hatchery
  veligrid take-back ration ID --why "another tank" --by NAME --data hatchery
Ids: veligrid tank show, veligrid batch show with --json, or the answer when it was recorded. What was said before stays in
the record, with who corrected it and why.`;

/** Adds `correct` and `take-back`. */
export function addCorrectCommands(program: Command, { console, done }: Adding): void {
  withBy(program.command('correct').description('say some fields of something recorded anew; the first saying stays'))
    .argument('<what>', `one of ${Object.keys(LOGS).join(', ')}`)
    .argument('<id>', 'its id')
    .argument('<changes...>', 'FIELD=VALUE, such as number=480000')
    .requiredOption('--why <reason>', 'why, in a sentence')
    .addHelpText('after', HELP)
    .action(async (what: string, id: string, changes: string[], options: CorrectOptions) => {
      const kind = kindOf(what);
      const fields = Object.fromEntries(changes.map((one) => change(kind, one)));
      const entry = await recording(options, async (desk) => {
        const log = logOf(desk, kind);
        const version = await versionOf(log, what, id);
        return stillPossible(desk, () => log.correct(id, version, fields, said(options)));
      });
      console.out(
        options.json === true
          ? `${JSON.stringify(entry, null, 2)}\n`
          : `Corrected: ${what} (${id}), now version ${entry.version}\n`,
      );
      done(EXIT.done);
    });
  withBy(program.command('take-back').description('take back something recorded that never happened'))
    .argument('<what>', `one of ${Object.keys(LOGS).join(', ')}`)
    .argument('<id>', 'its id')
    .requiredOption('--why <reason>', 'why, in a sentence')
    .addHelpText('after', HELP)
    .action(async (what: string, id: string, options: CorrectOptions) => {
      const kind = kindOf(what);
      await recording(options, async (desk) => {
        const log = logOf(desk, kind);
        const version = await versionOf(log, what, id);
        await stillPossible(desk, () => log.withdraw(id, version, said(options)));
      });
      console.out(
        options.json === true ? `${JSON.stringify({ what, id, withdrawn: true })}\n` : `Taken back: ${what} (${id})\n`,
      );
      done(EXIT.done);
    });
}
