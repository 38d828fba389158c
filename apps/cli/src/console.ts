/** Where the command writes: results to `out`, progress and complaints to `err`. */
export interface Console {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  /** Whether `err` is a terminal, which may show a progress bar. */
  readonly errIsTerminal: boolean;
}

/** The console of this process. */
export const processConsole: Console = {
  out: (text) => {
    process.stdout.write(text);
  },
  err: (text) => {
    process.stderr.write(text);
  },
  errIsTerminal: process.stderr.isTTY,
};
