#!/usr/bin/env node
import { processConsole } from './console.js';
import { run } from './run.js';

// whoever reads the output may stop early, as `head` does: that is no fault
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
  process.exit();
});

process.exitCode = await run(process.argv.slice(2), processConsole);
