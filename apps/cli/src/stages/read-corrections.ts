import { readFile } from 'node:fs/promises';
import { HOWS, type How } from '@veligrid/imaging';
import { STAGES, VeligridError, type Stage } from '@veligrid/model';

/** One line of a corrections file. */
export interface CorrectionLine {
  /** Line in the file, the heading being 1. */
  readonly line: number;
  readonly photo: string;
  readonly detectionId: string;
  /** What it is; `debris` for what is no larva. */
  readonly stage: Stage;
  readonly how: How;
}

const COLUMNS = ['photo', 'detection_id', 'stage', 'how'] as const;
const NOT_A_LARVA = 'not-larva';

/** Fields of one line of CSV (RFC 4180); quotes are doubled inside quotes. */
function fieldsOf(line: string): string[] {
  const fields: string[] = [];
  let field = '';
  let quoted = false;
  for (let at = 0; at < line.length; at++) {
    const sign = line[at] ?? '';
    if (quoted && sign === '"' && line[at + 1] === '"') {
      field += '"';
      at++;
    } else if (sign === '"') quoted = !quoted;
    else if (sign === ',' && !quoted) {
      fields.push(field.trim());
      field = '';
    } else field += sign;
  }
  return [...fields, field.trim()];
}

function wrong(path: string, line: number, reason: string): VeligridError {
  return new VeligridError('bad-argument', `${path}, line ${String(line)}: ${reason}.`);
}

function parseLine(path: string, line: number, values: ReadonlyMap<string, string>): CorrectionLine {
  const [photo = '', detectionId = '', named = '', told = ''] = COLUMNS.map((name) => values.get(name));
  if (photo === '' || detectionId === '') throw wrong(path, line, 'photo and detection_id may not be empty');
  const stage = named === NOT_A_LARVA ? 'debris' : STAGES.find((one) => one === named);
  if (stage === undefined || stage === 'unsure') {
    throw wrong(
      path,
      line,
      `there is no stage "${named}"; write one of ${STAGES.slice(0, -1).join(', ')}, ${NOT_A_LARVA}`,
    );
  }
  const how = HOWS.find((one) => one === told);
  if (how === undefined) throw wrong(path, line, `how is "${told}"; write ${HOWS.join(', ')}`);
  return { line, photo, detectionId, stage, how };
}

/**
 * Reads a corrections file: CSV with the columns photo, detection_id, stage and how, in any order, one line for every larva
 * looked at. A larva that stands in it twice is refused.
 *
 * @throws VeligridError `bad-argument` naming file, line and reason
 */
export async function readCorrections(path: string): Promise<CorrectionLine[]> {
  let text;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    throw new VeligridError('bad-argument', `${path} could not be read. Check the path.`, { cause: error });
  }
  const lines = text.replace(/^\uFEFF/, '').split(/\r?\n/);
  const heading = fieldsOf(lines[0] ?? '');
  const missing = COLUMNS.filter((name) => !heading.includes(name));
  if (missing.length > 0) throw wrong(path, 1, `the columns ${missing.join(', ')} are missing`);
  const seen = new Map<string, number>();
  return lines.flatMap((content, index): CorrectionLine[] => {
    if (index === 0 || content.trim() === '') return [];
    const fields = fieldsOf(content);
    const one = parseLine(path, index + 1, new Map(heading.map((name, k) => [name, fields[k] ?? ''])));
    const key = JSON.stringify([one.photo, one.detectionId]);
    const before = seen.get(key);
    if (before !== undefined) throw wrong(path, one.line, `the same larva stands in line ${String(before)}`);
    seen.set(key, one.line);
    return [one];
  });
}
