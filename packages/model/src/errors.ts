/** Kinds of fault that callers tell apart. */
export type FaultCode =
  /** Wrong arguments or options. */
  | 'bad-argument'
  /** A photo that could not be read. */
  | 'unreadable-photo'
  /** A result that could not be written. */
  | 'unwritable-result'
  /** Refused by a rule, for example a total before sign-off. */
  | 'refused'
  /** Somebody else changed it first: look again, then try again. */
  | 'changed-meanwhile'
  /** The disk or the database did not take or give what was asked for. */
  | 'store-failed';

/** An error meant for people: the message says what was wrong and what to do. */
export class VeligridError extends Error {
  override readonly name = 'VeligridError';
  readonly code: FaultCode;

  constructor(code: FaultCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.code = code;
  }
}

/**
 * Builds the error for a parameter that is not acceptable: "Expected `scale` to be a number above 0, but got -1".
 *
 * @param name parameter as the caller knows it
 * @param expected what is accepted, as a noun phrase
 * @param received the value that came
 */
export function badArgument(name: string, expected: string, received: unknown): VeligridError {
  const shown = typeof received === 'string' ? `"${received}"` : String(received);
  return new VeligridError('bad-argument', `Expected ${name} to be ${expected}, but got ${shown}`);
}
