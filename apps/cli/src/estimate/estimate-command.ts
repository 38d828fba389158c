import { readFile } from 'node:fs/promises';
import { text } from 'node:stream/consumers';
import { VeligridError } from '@veligrid/model';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';
import { answerQuestion } from './answer-question.js';
import { answerText } from './answer-text.js';

/** What `estimate` was called with. */
export interface EstimateArguments {
  /** A JSON file, or `-` for standard input. */
  readonly file: string;
  readonly text?: boolean;
}

async function readQuestion(file: string, input: NodeJS.ReadableStream): Promise<string> {
  if (file === '-') return text(input);
  try {
    return await readFile(file, 'utf8');
  } catch (cause) {
    throw new VeligridError('bad-argument', `${file} can not be read. Name a JSON file, or - for standard input.`, {
      cause,
    });
  }
}

function parse(file: string, written: string): unknown {
  try {
    return JSON.parse(written.replace(/^\uFEFF/, '')) as unknown;
  } catch (cause) {
    const name = file === '-' ? 'Standard input' : file;
    throw new VeligridError('bad-argument', `${name} is not JSON. Look for a missing comma, quote or bracket.`, {
      cause,
    });
  }
}

/** A number that is not finite would be written as null and lost. */
function finite(key: string, value: unknown): unknown {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new Error(`The answer's ${key} is not finite`);
  return value;
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
  const answer = answerQuestion(parse(file, await readQuestion(file, input)));
  console.out(forPeople ? answerText(answer) : `${JSON.stringify(answer, finite, 2)}\n`);
  return EXIT.done;
}
