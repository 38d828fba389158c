import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, cpus, loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { runLoad, type LoadFigures } from '../tests/server/load/run-load.js';
import { serve } from '../tests/server/running-program.js';
import { startPostgres } from '../tests/support/private-postgres.js';
import { withSection } from './with-section.js';

/**
 * Stations at work on one server on this machine: npm run long:load -- [minutes] [folder|postgres] [stations]. Writes its
 * figures into docs/reliability.md.
 */
const [minutes, kind, stations] = [
  Number(process.argv[2] ?? 10),
  process.argv[3] ?? 'folder',
  Number(process.argv[4] ?? 20),
];
const [PHOTO_MS, CORRECTION_MS] = [120_000, 3000];
const PAGE = 'docs/reliability.md';

const whole = (value: number): string => Math.round(value).toLocaleString('en-US');

function told(figures: LoadFigures): string {
  const { corrections, correctionMs, photosSent, photosCounted, backlog, events, errors } = figures;
  const where = kind === 'postgres' ? 'a PostgreSQL on the same machine' : 'one folder';
  return `## Load, ${where}

\`npm run long:load -- ${minutes} ${kind} ${stations}\` on ${new Date().toISOString().slice(0, 10)} (${cpus()[0]?.model ?? ''}, ${availableParallelism()} cores, ${availableParallelism() - 1} of them counting at low priority; load of the machine ${before} at the beginning, ${loadavg()[0]?.toFixed(1) ?? ''} at the end): ${stations} stations for ${minutes} minutes over loopback, each with its slide open, one photo every 2 minutes and one correction every 3 s.

| what | figure |
| --- | --- |
| corrections sent, all answered and kept in their order | ${whole(corrections)} |
| from sending one to its whole answer, ms: half of them, 95 %, the longest | ${whole(correctionMs.p50)}, ${whole(correctionMs.p95)}, ${whole(correctionMs.most)} |
| photos sent, of them counted at the end, still waiting | ${whole(photosSent)}, ${whole(photosCounted)}, ${whole(backlog)} |
| news told to open slides | ${whole(events)} |
| errors, decisions lost | ${errors.length} |
`;
}

const before = loadavg()[0]?.toFixed(1) ?? '';
const slides = join(import.meta.dirname, '../sample-images/drawn');
const photos = readdirSync(slides)
  .filter((name) => name.endsWith('.jpg'))
  .map((name) => readFileSync(join(slides, name)));
const folder = mkdtempSync(join(tmpdir(), 'veligrid-load-'));
const postgres = kind === 'postgres' ? await startPostgres({ within: tmpdir() }) : null;
try {
  const file = join(folder, 'place.json');
  if (postgres !== null) {
    const place = {
      database: await postgres.newDatabase(),
      photos: join(folder, 'photos'),
      folder: join(folder, 'own'),
    };
    writeFileSync(file, JSON.stringify(place));
  }
  const place = postgres === null ? join(folder, 'hatchery') : file;
  const program = await serve(postgres === null ? '--data' : '--database-file', place);
  const [slide = Buffer.alloc(0)] = photos;
  const first = await sharp(slide).extract({ left: 300, top: 300, width: 400, height: 400 }).jpeg().toBuffer();
  const plan = { url: program.url, place, stations, minutes, photoEveryMs: PHOTO_MS, correctionEveryMs: CORRECTION_MS };
  const figures = await runLoad({ ...plan, first, photos });
  await program.end('SIGTERM');
  const section = told(figures);
  process.stdout.write(section);
  for (const error of figures.errors.slice(0, 20)) process.stdout.write(`${error}\n`);
  const heading = section.split('\n')[0] ?? '';
  writeFileSync(PAGE, withSection(readFileSync(PAGE, 'utf8'), heading, section));
  process.exitCode = figures.errors.length > 0 || figures.correctionMs.p95 > 200 ? 1 : 0;
} finally {
  await postgres?.remove();
  rmSync(folder, { recursive: true, force: true });
}
