import { say } from '../words/say.js';
import type { NewCountText, Wrong } from './new-count.js';

/** Everything the form needs to show and change one field. */
export interface FormProps {
  readonly text: NewCountText;
  readonly wrong: Wrong;
  readonly set: (change: Partial<NewCountText>) => void;
}

/** What is wrong with a field, in words. */
export const faultOf = (wrong: Wrong, field: keyof NewCountText): string | null => {
  const word = wrong[field];
  return word === undefined ? null : say(word);
};
