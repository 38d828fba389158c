import { VeligridError } from '@veligrid/model';
import { answerPlan, find, keepPlan, ownFiguresOf, type Desk, type PlanAnswer } from '@veligrid/season';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';
import { answerJson, readQuestion } from '../question/read-question.js';
import { looking, recording } from '../season/open-desk.js';
import { readOwnFigures } from './read-own-figures.js';
import { planText } from './text/plan-text.js';

/** What `plan` was called with. */
export interface PlanArguments {
  /** A JSON file, or `-` for standard input. */
  readonly file: string;
  readonly text?: boolean;
  /** The hatchery's own file of figures. */
  readonly figures?: string;
  /** Folder of the hatchery, whose own figures then hold. */
  readonly data?: string;
  /** Keeps the plan in the hatchery's record. */
  readonly save?: boolean;
  readonly by?: string;
  readonly sample?: string;
  readonly batch?: string;
  readonly tank?: string;
  readonly why?: string;
}

const wrong = (message: string): VeligridError => new VeligridError('bad-argument', message);

const speciesOf = (question: unknown): string => {
  const { species } = (question ?? {}) as { readonly species?: unknown };
  return typeof species === 'string' ? species : 'eastern-oyster';
};

/** Works a plan out without keeping it: with the hatchery's own figures, and over them those of the file. */
async function answered(question: unknown, { data, figures }: PlanArguments): Promise<PlanAnswer> {
  const file = figures === undefined ? [] : [await readOwnFigures(figures)];
  if (data === undefined) return answerPlan(question, file);
  return looking({ data }, async ({ parts }) => {
    const own = await ownFiguresOf(parts, speciesOf(question));
    return answerPlan(question, [...(own === null ? [] : [own.preset]), ...file]);
  });
}

/** What the plan is for, by its id. */
const idOf = async (desk: Desk, what: 'sample' | 'batch' | 'tank', name: string | undefined): Promise<string | null> =>
  name === undefined ? null : (await find(desk, what, name)).id;

async function kept(question: unknown, given: PlanArguments, console: Console): Promise<PlanAnswer> {
  const { data, by, figures, why, sample, batch, tank } = given;
  if (data === undefined) throw wrong('--save needs --data: the folder of the hatchery that keeps the plan.');
  if (by === undefined) throw wrong('--save needs --by: the name of who keeps the plan.');
  if (figures !== undefined) {
    throw wrong(
      '--save takes the figures that the hatchery keeps: put those of your file there first (Settings, Figures).',
    );
  }
  // read only when a plan is kept: the server takes longer to read than any plan
  const { PROGRAM_VERSION } = await import('@veligrid/server');
  const entry = await recording({ data, by }, async (desk) => {
    const [sampleId, batchId, tankId] = [
      await idOf(desk, 'sample', sample),
      await idOf(desk, 'batch', batch),
      await idOf(desk, 'tank', tank),
    ];
    const about = { question, sampleId, batchId, tankId, by, program: PROGRAM_VERSION };
    return keepPlan(desk.parts, why === undefined ? about : { ...about, why });
  });
  console.err(`Kept: ${entry.kind} plan (${entry.id})\n`);
  return entry.answer as unknown as PlanAnswer;
}

/**
 * Answers one question of what to do with a count, and keeps the plan when asked to.
 *
 * @param input where `-` reads from
 * @returns exit code 0
 * @throws VeligridError `bad-argument` with one sentence when the question or the file of figures is wrong
 */
export async function planCommand(
  given: PlanArguments,
  console: Console,
  input: NodeJS.ReadableStream = process.stdin,
): Promise<number> {
  const question = await readQuestion(given.file, input);
  const answer = given.save === true ? await kept(question, given, console) : await answered(question, given);
  console.out(given.text === true ? planText(answer) : answerJson(answer));
  return EXIT.done;
}
