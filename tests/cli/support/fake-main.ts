import { processConsole } from '../../../apps/cli/src/console.js';
import { run } from '../../../apps/cli/src/run.js';

const worker = new URL('./fake-worker.mjs', import.meta.url);
process.exitCode = await run(process.argv.slice(2), processConsole, worker);
