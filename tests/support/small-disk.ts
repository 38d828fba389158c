import { spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A disk of its own, in memory, that a test can fill. */
export interface SmallDisk {
  readonly folder: string;
  /** Leaves no room on it. */
  fill(): void;
  /** Makes room again. */
  free(): void;
  remove(): void;
}

/** Mounts one. @throws Error where this account may not */
export function smallDisk(megabytes: number): SmallDisk {
  const folder = mkdtempSync(join(tmpdir(), 'veligrid-disk-'));
  const size = `size=${String(megabytes)}m,mode=0777`;
  const { status, stderr } = spawnSync('mount', ['-t', 'tmpfs', '-o', size, 'tmpfs', folder], { encoding: 'utf8' });
  if (status !== 0) throw new Error(`no disk could be mounted: ${stderr}`);
  const filler = join(folder, 'filler');
  return {
    folder,
    fill() {
      const file = openSync(filler, 'w');
      const zeros = Buffer.alloc(65_536);
      try {
        // smaller and smaller pieces, to the last page
        for (let bytes = zeros.length; bytes >= 4096;) {
          try {
            writeSync(file, zeros, 0, bytes);
          } catch (error) {
            if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error;
            bytes /= 2;
          }
        }
      } finally {
        closeSync(file);
      }
    },
    free() {
      rmSync(filler, { force: true });
    },
    remove() {
      spawnSync('umount', ['-l', folder]);
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Whether this account may mount disks. Where VELIGRID_NEED_POSTGRES is set the tests that want one fail instead. */
export const withoutSmallDisks: boolean = ((): boolean => {
  if (process.env['VELIGRID_NEED_POSTGRES'] !== undefined) return false;
  try {
    smallDisk(1).remove();
    return false;
  } catch {
    process.stderr.write('Left out: tests that fill a disk, as this account may mount none. They are run as root.\n');
    return true;
  }
})();
