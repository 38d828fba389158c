import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';

const main = fileURLToPath(new URL('fake-main.mjs', import.meta.url));

/** What a command said and how it ended. */
export interface Answer {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Runs the built command in a process of its own, with the counter that needs no finder. */
export function veligrid(...args: string[]): Answer {
  const { status, stdout, stderr } = spawnSync(process.execPath, [main, ...args], {
    encoding: 'utf8',
    timeout: 50_000,
  });
  return { code: status, out: stdout, err: stderr };
}

/** A new empty folder. */
export function newFolder(): string {
  return mkdtempSync(join(tmpdir(), 'veligrid-cli-'));
}

/** Writes a small photo that is not the same all over. */
export async function writePhoto(path: string, pages = 1): Promise<void> {
  mkdirSync(dirname(path), { recursive: true });
  const data = Uint8Array.from({ length: 80 * 60 * 3 * pages }, (_, i) => 150 + (i % 50));
  const raw = { width: 80, height: 60 * pages, channels: 3, pageHeight: 60 } as const;
  await sharp(data, { raw }).toFile(path);
}

/** Every file below a folder with its bytes, sorted by name. */
export function filesBelow(folder: string): Map<string, Buffer> {
  const names = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
  return new Map(names.map((name) => [name.slice(folder.length + 1), readFileSync(name)]));
}
