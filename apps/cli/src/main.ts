#!/usr/bin/env node
import { processConsole } from './console.js';
import { run } from './run.js';

process.exitCode = await run(process.argv.slice(2), processConsole);
