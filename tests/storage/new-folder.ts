import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A new folder that is gone after all tests. */
export const newFolder = (): string => mkdtempSync(join(tmpdir(), 'store-'));
