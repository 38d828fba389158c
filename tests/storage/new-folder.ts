import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';

const folders: string[] = [];

/** A new folder that is gone after the tests of the file. */
export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'veligrid-store-'));
  folders.push(folder);
  return folder;
}

afterAll(() => {
  for (const folder of folders) rmSync(folder, { recursive: true, force: true });
});
