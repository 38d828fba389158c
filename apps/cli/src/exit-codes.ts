import { VeligridError } from '@veligrid/model';

/** What the command answers to the shell. */
export const EXIT = {
  done: 0,
  ourFault: 1,
  wrongInput: 2,
  unreadablePhoto: 3,
  refused: 4,
  unwritableResult: 5,
} as const;

/** The answer for an error; whatever is not meant for people is a fault of ours. */
export function exitCodeOf(error: unknown): number {
  if (!(error instanceof VeligridError)) return EXIT.ourFault;
  switch (error.code) {
    case 'bad-argument':
      return EXIT.wrongInput;
    case 'unreadable-photo':
      return EXIT.unreadablePhoto;
    case 'unwritable-result':
    case 'store-failed':
      return EXIT.unwritableResult;
    case 'refused':
    case 'changed-meanwhile':
      return EXIT.refused;
  }
}

/** When several things went wrong, the answer that matters most: our fault, then a lost result, then a bad photo. */
export function worstOf(codes: readonly number[]): number {
  const order: readonly number[] = [
    EXIT.ourFault,
    EXIT.unwritableResult,
    EXIT.refused,
    EXIT.wrongInput,
    EXIT.unreadablePhoto,
  ];
  return order.find((code) => codes.includes(code)) ?? EXIT.done;
}
