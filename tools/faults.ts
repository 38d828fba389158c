import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { runFaults, type FaultFigures } from '../tests/server/load/run-faults.js';
import { startPostgres } from '../tests/support/private-postgres.js';
import { seededRandom } from '../tests/support/seeded-random.js';
import { withSection } from './with-section.js';

/**
 * Kills server, workers and PostgreSQL at chance moments while stations work: npm run long:faults -- [kills] [seed]. Writes
 * its figures into docs/reliability.md.
 */
const [kills, seed] = [Number(process.argv[2] ?? 100), Number(process.argv[3] ?? 1)];
const PAGE = 'docs/reliability.md';
const HEADING = '## Killed at any moment';

function told(figures: FaultFigures): string {
  const { server, worker, database } = figures.kills;
  return `${HEADING}

\`npm run long:faults -- ${kills} ${seed}\` on ${new Date().toISOString().slice(0, 10)} (${cpus()[0]?.model ?? ''}, ${availableParallelism()} cores, load ${loadavg()[0]?.toFixed(1) ?? ''} at the end): a server, two workers and a PostgreSQL whose settings on safety are its defaults, at work for three stations; SIGKILL at moments drawn from a seed, then a start as the system would. Workers count by a stand-in that takes up to 0.7 s a photo, so that many photos are under way. Stations send again what was not acknowledged, as the viewer does.

| what | figure |
| --- | --- |
| killed: server, worker, PostgreSQL with all its children | ${server}, ${worker}, ${database} |
| decisions acknowledged, all kept once, in their order, without gaps | ${figures.decisions.toLocaleString('en-US')} |
| photos acknowledged, each with one count | ${figures.photos.toLocaleString('en-US')} |
| photos whose count was begun again, as its worker was killed or the database away | ${figures.begunAgain.toLocaleString('en-US')} |
| lost, there twice, or found wrong by \`check\` | ${figures.errors.length} |
`;
}

const folder = mkdtempSync(join(tmpdir(), 'veligrid-faults-'));
// on the disk: in memory nothing would be written late
const postgres = await startPostgres(tmpdir());
try {
  const random = seededRandom(seed);
  const figures = await runFaults({ postgres, folder, random, kills, stations: 3, between: [500, 4000] });
  const section = told(figures);
  process.stdout.write(section);
  for (const error of figures.errors.slice(0, 20)) process.stdout.write(`${error}\n`);
  writeFileSync(PAGE, withSection(readFileSync(PAGE, 'utf8'), HEADING, section));
  process.exitCode = figures.errors.length > 0 ? 1 : 0;
} finally {
  await postgres.remove();
  rmSync(folder, { recursive: true, force: true });
}
