import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { PhotoCount } from '@veligrid/model';
import { countOf } from './count-example.js';
import { newFolder } from './new-folder.js';

/** What the writer says was acknowledged, the last time it spoke of this round. */
export interface Acknowledged {
  readonly round: number;
  readonly sampleId: string;
  readonly photoId: string;
  readonly sha256: string;
  /** Id of the count. */
  readonly detections: string;
  /** Decisions that were acknowledged one after the other. */
  readonly decisions: readonly string[];
}

/** Arguments of Node that run the writer on a folder. */
export function writerArguments(folder: string): string[] {
  const template = join(newFolder(), 'count.json');
  writeFileSync(template, JSON.stringify(countOf('', 40)));
  return [fileURLToPath(new URL('writer.mjs', import.meta.url)), folder, template];
}

/** The count that the writer keeps in a round. */
export const writtenCount = (photo: string, round: number): PhotoCount => {
  const count = countOf(photo, 40);
  return { ...count, detections: count.detections.slice(0, 1 + (round % 40)) };
};
