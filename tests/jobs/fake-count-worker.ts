import { readFile } from 'node:fs/promises';
import { setTimeout } from 'node:timers/promises';
import { VeligridError } from '@veligrid/model';
import { answerCounts } from '../../packages/jobs/src/answer-counts.js';
import { lowerPriority } from '../../packages/jobs/src/lower-priority.js';
import { countOf } from '../storage/count-example.js';

lowerPriority();

const TROUBLES: Readonly<Record<string, (name: string) => void>> = {
  exit: () => process.exit(9),
  killed: () => process.kill(process.pid, 'SIGSEGV'),
  throw: () => {
    throw new RangeError('Array buffer allocation failed');
  },
  bad: (name) => {
    throw new VeligridError('unreadable-photo', `${name} is no photo. Save it as JPEG.`);
  },
};

// Counts without a finder, by the name of the photo: `exit` and `throw` end or fail, `killed` dies as of a fault of a
// library, `bad` can't be read, `slow` takes its time, `find` tells a step before it does, `for ever` never ends. The rules
// version tells which process counted.
answerCounts(async (path, { name = '', scaleUmPerPx, calibration, onStep }) => {
  await readFile(path);
  for (const [word, meet] of Object.entries(TROUBLES)) if (name.includes(word)) meet(name);
  if (name.includes('slow')) await setTimeout(700);
  if (name.includes('find')) {
    onStep?.('find');
    await setTimeout(700);
  }
  if (name.includes('for ever')) for (;;) Math.random();
  const count = countOf(name);
  const scale =
    calibration === undefined
      ? { ...count.scale, umPerPx: scaleUmPerPx ?? null }
      : { ...count.scale, umPerPx: calibration.umPerPx, source: 'calibration' as const };
  return [{ ...count, scale, method: { ...count.method, rulesVersion: `process ${process.pid}` } }];
});
