import { readFileSync } from 'node:fs';
import { countPhoto } from '@veligrid/imaging';
import { COUNTED_KINDS } from '@veligrid/model';
import { describe, expect, it } from 'vitest';

/** 50 crops of github.com/maxKudi/Cell-Dataset, commit f02ae84a, MIT (LICENCE.txt beside them); none was used in training. */
const folder = new URL('../data/chamber-cells/', import.meta.url).pathname;

/** Left, top, right, lower edge in pixels. */
type Box = readonly [number, number, number, number];

function truthBoxes(): Map<string, Box[]> {
  const boxes = new Map<string, Box[]>();
  const [header, ...lines] = readFileSync(`${folder}truth_boxes.csv`, 'utf8').trim().split(/\r?\n/);
  const names = header.split(',');
  for (const line of lines) {
    const cells = line.split(',');
    const value = (name: string): string => cells[names.indexOf(name)];
    const box: Box = [Number(value('xmin')), Number(value('ymin')), Number(value('xmax')), Number(value('ymax'))];
    boxes.set(value('file'), [...(boxes.get(value('file')) ?? []), box]);
  }
  return boxes;
}

/** Area in common over area of both. */
function overlap(a: Box, b: Box): number {
  const width = Math.min(a[2], b[2]) - Math.max(a[0], b[0]);
  const height = Math.min(a[3], b[3]) - Math.max(a[1], b[1]);
  if (width <= 0 || height <= 0) return 0;
  const area = ([left, top, right, bottom]: Box): number => (right - left) * (bottom - top);
  return (width * height) / (area(a) + area(b) - width * height);
}

/** How many boxes of the truth have a found box of their own with an overlap of 0.3 or more, best overlaps first. */
function hits(truth: readonly Box[], found: readonly Box[]): number {
  const pairs = truth.flatMap((a, i) => found.map((b, j) => ({ i, j, shared: overlap(a, b) })));
  const [usedTruth, usedFound] = [new Set<number>(), new Set<number>()];
  for (const { i, j } of pairs.filter(({ shared }) => shared >= 0.3).sort((a, b) => b.shared - a.shared)) {
    if (usedTruth.has(i) || usedFound.has(j)) continue;
    usedTruth.add(i);
    usedFound.add(j);
  }
  return usedTruth.size;
}

async function foundBoxes(name: string): Promise<Box[]> {
  const [count] = await countPhoto(folder + name, { cell: 'none' });
  return (
    count.detections
      // cells cut by the frame have boxes too, so cut finds take part
      .filter(({ kind, features }) => COUNTED_KINDS.includes(kind) && (features['finder_score'] ?? 0) >= 0.5)
      .map(({ outline }) => {
        const xs = outline.map(([x]) => x);
        const ys = outline.map(([, y]) => y);
        const box: Box = [
          Math.max(0, Math.min(...xs)),
          Math.max(0, Math.min(...ys)),
          Math.min(count.widthPx, Math.max(...xs)),
          Math.min(count.heightPx, Math.max(...ys)),
        ];
        return box;
      })
  );
}

describe('round cells in a ruled chamber, no scale known', () => {
  it('are found with F1 of 0.90 and more against the boxes that come with the pictures', async () => {
    let [hit, there, found] = [0, 0, 0];
    for (const [name, truth] of truthBoxes()) {
      const boxes = await foundBoxes(name);
      hit += hits(truth, boxes);
      there += truth.length;
      found += boxes.length;
    }
    expect(there).toBe(225);
    expect((2 * hit) / (there + found)).toBeGreaterThanOrEqual(0.9);
  }, 120_000);
});
