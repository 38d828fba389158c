import { processConsole } from '../../../apps/cli/dist/console.js';
import { run } from '../../../apps/cli/dist/run.js';

const worker = new URL('./fake-worker.mjs', import.meta.url);
process.exitCode = await run(process.argv.slice(2), processConsole, { worker });
