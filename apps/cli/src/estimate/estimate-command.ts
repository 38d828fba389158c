import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';
import { answerJson, readQuestion } from '../question/read-question.js';
import { answerQuestion } from './answer-question.js';
import { answerText } from './answer-text.js';

/** What `estimate` was called with. */
export interface EstimateArguments {
  /** A JSON file, or `-` for standard input. */
  readonly file: string;
  readonly text?: boolean;
}

/**
 * Answers one question about totals, shares, lengths or rates.
 *
 * @param input where `-` reads from
 * @returns exit code 0
 * @throws VeligridError `bad-argument` with one sentence when the question is wrong
 */
export async function estimateCommand(
  { file, text: forPeople = false }: EstimateArguments,
  console: Console,
  input: NodeJS.ReadableStream = process.stdin,
): Promise<number> {
  const answer = answerQuestion(await readQuestion(file, input));
  console.out(forPeople ? answerText(answer) : answerJson(answer));
  return EXIT.done;
}
