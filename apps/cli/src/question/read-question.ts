import { readFile } from 'node:fs/promises';
import { text } from 'node:stream/consumers';
import { VeligridError } from '@veligrid/model';

async function written(file: string, input: NodeJS.ReadableStream): Promise<string> {
  if (file === '-') return text(input);
  try {
    return await readFile(file, 'utf8');
  } catch (cause) {
    throw new VeligridError('bad-argument', `${file} can not be read. Name a JSON file, or - for standard input.`, {
      cause,
    });
  }
}

function parse(file: string, words: string): unknown {
  try {
    return JSON.parse(words.replace(/^\uFEFF/, '')) as unknown;
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
 * Reads one question.
 *
 * @param file a JSON file, or `-` for what stands on the input
 * @throws VeligridError `bad-argument` when it can not be read or is not JSON
 */
export async function readQuestion(file: string, input: NodeJS.ReadableStream): Promise<unknown> {
  return parse(file, await written(file, input));
}

/** An answer as it is printed. */
export const answerJson = (answer: unknown): string => `${JSON.stringify(answer, finite, 2)}\n`;
