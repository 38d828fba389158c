import { answerPlan } from '@veligrid/season';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';
import { answerJson, readQuestion } from '../question/read-question.js';
import { readOwnFigures } from './read-own-figures.js';
import { planText } from './text/plan-text.js';

/** What `plan` was called with. */
export interface PlanArguments {
  /** A JSON file, or `-` for standard input. */
  readonly file: string;
  readonly text?: boolean;
  /** The hatchery's own file of figures. */
  readonly figures?: string;
}

/**
 * Answers one question of what to do with a count.
 *
 * @param input where `-` reads from
 * @returns exit code 0
 * @throws VeligridError `bad-argument` with one sentence when the question or the file of figures is wrong
 */
export async function planCommand(
  { file, text = false, figures }: PlanArguments,
  console: Console,
  input: NodeJS.ReadableStream = process.stdin,
): Promise<number> {
  const answer = await answerPlan(
    await readQuestion(file, input),
    figures === undefined ? undefined : await readOwnFigures(figures),
  );
  console.out(text ? planText(answer) : answerJson(answer));
  return EXIT.done;
}
