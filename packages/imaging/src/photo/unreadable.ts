import { VeligridError } from '@veligrid/model';

/**
 * Error for a photo that can't be read: which one, why, and what to do.
 *
 * @param name photo as the caller knows it
 * @param reason why, as the rest of a sentence: "is empty"
 * @param remedy what to do, as a sentence without its full stop
 * @param cause error underneath, when there is one
 */
export function unreadable(name: string, reason: string, remedy: string, cause?: unknown): VeligridError {
  return new VeligridError('unreadable-photo', `${name} ${reason}. ${remedy}.`, { cause });
}
