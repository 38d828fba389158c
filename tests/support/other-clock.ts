import { chmodSync, existsSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { arch, tmpdir } from 'node:os';
import { join } from 'node:path';

/** Where Debian puts the library that answers for the clock, by processor. */
const TRIPLETS: Readonly<Partial<Record<string, string>>> = { x64: 'x86_64-linux-gnu', arm64: 'aarch64-linux-gnu' };
const FOLDER = `/usr/lib/${TRIPLETS[arch()] ?? arch()}/faketime`;

/** That for programs of several threads, and that for those of one: a signal may come while the first holds its lock. */
const THREADED = join(FOLDER, 'libfaketimeMT.so.1');
const SINGLE = join(FOLDER, 'libfaketime.so.1');

/** Whether clocks can't be set here. Where VELIGRID_NEED_POSTGRES is set the tests that want it fail instead. */
export const withoutOtherClocks: boolean = !existsSync(THREADED) && process.env['VELIGRID_NEED_POSTGRES'] === undefined;

if (withoutOtherClocks) {
  process.stderr.write(
    `Left out: tests that set clocks, as there is no ${THREADED}. Debian: apt-get install faketime\n`,
  );
}

/** The clock of a program that is set while it runs. What only runs forward, such as the time since a start, is not touched. */
export interface OtherClock {
  /** Variables to start the program with. */
  readonly environment: Readonly<Record<string, string>>;
  /** Sets it so many hours ahead of the true time, or behind. */
  set(hours: number): void;
  /** Removes what it is kept in; the program has ended by then. */
  remove(): void;
}

/** A clock that is right at first, for a program of one thread or several. @throws Error where libfaketime is missing */
export function otherClock(threads: 'one' | 'several' = 'several'): OtherClock {
  if (!existsSync(THREADED)) throw new Error(`There is no ${THREADED}, and VELIGRID_NEED_POSTGRES is set.`);
  // PostgreSQL runs by another account, which has to read it
  const folder = mkdtempSync(join(tmpdir(), 'veligrid-clock-'));
  chmodSync(folder, 0o755);
  const file = join(folder, 'clock');
  const set = (hours: number): void => {
    writeFileSync(`${file}.new`, `${hours < 0 ? '' : '+'}${String(hours)}h\n`);
    renameSync(`${file}.new`, file);
  };
  set(0);
  return {
    environment: {
      LD_PRELOAD: threads === 'one' ? SINGLE : THREADED,
      FAKETIME_TIMESTAMP_FILE: file,
      FAKETIME_NO_CACHE: '1',
      FAKETIME_DONT_FAKE_MONOTONIC: '1',
    },
    set,
    remove: () => {
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
