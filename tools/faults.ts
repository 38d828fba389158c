import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { runFaults, type FaultFigures } from '../tests/server/load/run-faults.js';
import { runTroubles, type Round, type TroubleFigures } from '../tests/server/load/run-troubles.js';
import { drawTrouble, type Trouble } from '../tests/server/load/troubles.js';
import { startPostgres } from '../tests/support/private-postgres.js';
import { seededRandom } from '../tests/support/seeded-random.js';
import { withSection } from './with-section.js';

/**
 * Kills server, workers and PostgreSQL at chance moments while stations work, then spoils networks, disks and clocks:
 * npm run long:faults -- [kills] [seed] [troubles]. 0 leaves a part out. Writes its figures into docs/reliability.md.
 */
const [kills, seed, troubles] = [process.argv[2] ?? 100, process.argv[3] ?? 1, process.argv[4] ?? 60].map(Number);
const PAGE = 'docs/reliability.md';
const KILLED = '## Killed at any moment';
const TROUBLED = '## Networks, disks and clocks';

const whole = (n: number): string => Math.round(n).toLocaleString('en-US');

const run = (): string =>
  `\`npm run long:faults -- ${String(kills)} ${String(seed)} ${String(troubles)}\` on ${new Date().toISOString().slice(0, 10)} (${cpus()[0]?.model ?? ''}, ${String(availableParallelism())} cores, load ${loadavg()[0]?.toFixed(1) ?? ''} at the end)`;

const ledger = ({ decisions, photos, begunAgain, errors }: FaultFigures | TroubleFigures): string =>
  `| decisions acknowledged, all kept once, in their order, without gaps | ${whole(decisions)} |
| photos acknowledged, all kept once, each with one count | ${whole(photos)} |
| photos whose count was begun again, as nothing was heard of their worker | ${whole(begunAgain)} |
| lost, there twice, or found wrong by \`check\` | ${whole(errors.length)} |
`;

function killed(figures: FaultFigures): string {
  const { server, worker, database } = figures.kills;
  return `${KILLED}

${run()}: a server, two workers and a PostgreSQL whose settings on safety are its defaults, at work for three stations; SIGKILL at moments drawn from a seed, then a start as the system would. Workers count by a stand-in that takes up to 0.7 s a photo, so that many photos are under way. Stations send again what was not acknowledged, as the viewer does.

| what | figure |
| --- | --- |
| killed: server, worker, PostgreSQL with all its children | ${String(server)}, ${String(worker)}, ${String(database)} |
${ledger(figures)}`;
}

const WHAT: Readonly<Record<Trouble['kind'], string>> = {
  stalled: 'half-open connections of one program: nothing passes, nothing is closed, then all goes on where it stopped',
  lost: 'half-open connections that pass nothing ever again, while new ones do',
  cut: 'connections closed',
  slow: 'every answer of the database 200 to 1,000 ms later',
  full: 'a full disk: of the photos, of the own folder of the programs, of PostgreSQL',
  'slow disk': 'every wait for the disk (fsync, fdatasync) 200 to 1,000 ms longer: of the photos, of PostgreSQL',
  clock: 'the clock of the server, a worker or PostgreSQL set to up to 24 h ahead or behind, and left so',
};

function troubled(rounds: readonly Round[], figures: TroubleFigures): string {
  const all = rounds.flatMap((round) => round.troubles);
  const lines = Object.entries(WHAT).map(
    ([kind, what]) => `| ${what} | ${String(all.filter((one) => one.kind === kind).length)} times |`,
  );
  const told = Object.entries(figures.refusals).map(([words, times]) => `| told ${whole(times)} times | ${words} |`);
  return `${TROUBLED}

${run()}: the same outfit, with a network, a clock and disks of its own for each part, three stations at work. One or two troubles at a time, drawn from the seed, of 1 to 15 s each, then the next as soon as a decision was acknowledged again. The networks are a program of ours between each part and PostgreSQL, the disks are in memory and are filled to the last page, clocks are set by libfaketime, and waits for the disk are made longer by strace.

| what | figure |
| --- | --- |
${lines.join('\n')}
| the longest time until an answer, whatever was wrong | ${(figures.longestMs / 1000).toFixed(1)} s |
| the longest time from the end of a trouble to the next decision that was acknowledged | ${(figures.longestBackMs / 1000).toFixed(1)} s |
${ledger(figures)}
What stations were told meanwhile:

| how often | words |
| --- | --- |
${told.join('\n')}
`;
}

function report(heading: string, section: string, errors: readonly string[]): void {
  process.stdout.write(section);
  for (const error of errors.slice(0, 20)) process.stdout.write(`${error}\n`);
  if (errors.length > 0) process.exitCode = 1;
  writeFileSync(PAGE, withSection(readFileSync(PAGE, 'utf8'), heading, section));
}

async function killAll(): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'veligrid-faults-'));
  // on the disk: in memory nothing would be written late
  const postgres = await startPostgres({ within: tmpdir() });
  try {
    const random = seededRandom(seed);
    const figures = await runFaults({ postgres, folder, random, kills, stations: 3, between: [500, 4000] });
    report(KILLED, killed(figures), figures.errors);
  } finally {
    await postgres.remove();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Half-open connections are seen after ten seconds, the rest at once. */
const longest = (all: readonly Trouble[]): number =>
  all.some(({ kind }) => kind === 'stalled' || kind === 'lost') ? 15_000 : 5000;

async function troubleAll(): Promise<void> {
  const random = seededRandom(seed);
  const rounds = Array.from({ length: troubles }, (): Round => {
    const drawn = Array.from({ length: random() < 0.5 ? 1 : 2 }, () => drawTrouble(random));
    return { troubles: drawn, ms: 1000 + random() * (longest(drawn) - 1000) };
  });
  const onRound = (told: string): void => void process.stdout.write(`${told}\n`);
  const figures = await runTroubles({ rounds, stations: 3, random, onRound });
  report(TROUBLED, troubled(rounds, figures), figures.errors);
}

if (kills > 0) await killAll();
if (troubles > 0) await troubleAll();
