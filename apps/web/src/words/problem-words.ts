import type { Problem } from '@veligrid/api';
import { toldWords } from './read-back.js';
import { hasWord, language, say, sayOr } from './say.js';

/** Roles stand in sentences by their own words. */
const filled = (data: Problem['data'] = {}): Record<string, string | number> =>
  Object.fromEntries(
    Object.entries(data).map(([name, value]) => [
      name,
      name === 'role' || name === 'own' ? sayOr(`role.${value}`, String(value)) : value,
    ]),
  );

/** What the server said, in the language on screen where there are words for it; else in English, marked as that. */
export function problemWords({ code, data, detail }: Pick<Problem, 'code' | 'data' | 'detail'>): string {
  const word = `problem.${code ?? ''}`;
  if (language.value === 'en') return detail;
  return hasWord(word) ? say(word, filled(data)) : toldWords(detail);
}
