#!/usr/bin/env node
import { built } from './built.js';
import { processConsole } from './console.js';
import type { run as Run } from './run.js';

// whoever reads the output may stop early, as `head` does: that is no fault
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
  process.exit();
});

const { run } = (await import(built('run.js').href)) as { run: typeof Run };
process.exitCode = await run(process.argv.slice(2), processConsole);
