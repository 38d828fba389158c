import { setTimeout } from 'node:timers/promises';
import { answerJobs } from '../../../apps/cli/src/count/answer-jobs.js';
import { countFile } from '../../../apps/cli/src/count/count-file.js';
import { fakeImaging } from './fake-imaging.js';

// The worker of the command with a counter that needs no finder. A photo called `exit` or `throw` stops its thread, one
// called `slow` ends after those that began later.
answerJobs(async (job) => {
  if (job.name.includes('exit')) process.exit(9);
  if (job.name.includes('throw')) throw new Error('out of memory');
  if (job.name.includes('slow')) await setTimeout(150);
  return countFile(job, fakeImaging);
});
