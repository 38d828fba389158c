import type { Choose } from './choose.ts';

type Mutation = (file: Buffer, choose: Choose, others: readonly Buffer[]) => Buffer;

/** Headers lie within the first bytes of most formats. */
const HEAD = 200;

const TAILS = [
  '<script>alert(1)</script>',
  'PK\x05\x06'.padEnd(22, '\0'),
  '%PDF-1.4\n%%EOF',
  '<?php system($_GET[0]); ?>',
];

const WORDS = [0, 1, 0x7fffffff, 0x80000000, 0xffffffff, 0xffff, 0x10000];

const at = (file: Buffer, choose: Choose, within = file.length): number =>
  choose.below(Math.max(1, Math.min(within, file.length)));

const flipped =
  (within: number): Mutation =>
  (file, choose) => {
    const copy = Buffer.from(file);
    for (let i = choose.of([1, 3, 20]); i > 0; i -= 1) copy[at(copy, choose, within)] ^= 1 << choose.below(8);
    return copy;
  };

const withWord: Mutation = (file, choose) => {
  const copy = Buffer.from(file);
  if (copy.length < 8) return copy;
  const place = Math.min(at(copy, choose, HEAD), copy.length - 4);
  if (choose.chance(0.5)) copy.writeUInt32LE(choose.of(WORDS), place);
  else copy.writeUInt32BE(choose.of(WORDS), place);
  return copy;
};

const withRun: Mutation = (file, choose) => {
  const copy = Buffer.from(file);
  const from = at(copy, choose);
  return copy.fill(choose.of([0, 0xff, 0x41]), from, Math.min(copy.length, from + choose.of([4, 50, 1000])));
};

const spliced: Mutation = (file, choose) => {
  const from = at(file, choose);
  const length = choose.of([1, 4, 100, 5000]);
  const kept = [file.subarray(0, from), file.subarray(choose.chance(0.5) ? from + length : from)];
  return Buffer.concat([kept[0], choose.chance(0.5) ? Buffer.alloc(0) : file.subarray(0, length), kept[1]]);
};

const cut: Mutation = (file, choose) => file.subarray(0, at(file, choose));

const otherHead: Mutation = (file, choose, others) =>
  Buffer.concat([choose.of(others).subarray(0, choose.of([4, 12, 60])), file.subarray(choose.of([0, 4, 12, 60]))]);

const twoInOne: Mutation = (file, choose, others) => Buffer.concat([file, choose.of(others)]);

const withTail: Mutation = (file, choose) => Buffer.concat([file, Buffer.from(choose.of(TAILS), 'latin1')]);

const withFront: Mutation = (file, choose) => Buffer.concat([Buffer.from(choose.of(TAILS), 'latin1'), file]);

const longTail: Mutation = (file) => Buffer.concat([file, Buffer.alloc(500_000, 0x20)]);

const MUTATIONS: readonly Mutation[] = [
  flipped(HEAD),
  flipped(HEAD),
  flipped(Infinity),
  flipped(Infinity),
  withWord,
  withWord,
  withRun,
  spliced,
  cut,
  otherHead,
  twoInOne,
  withTail,
  withFront,
  longTail,
];

/** A picture with something wrong in one or two places. */
export function spoiledPicture(pictures: readonly Buffer[], choose: Choose): Buffer {
  let file = choose.of(pictures);
  for (let i = choose.of([1, 1, 2]); i > 0; i -= 1) file = choose.of(MUTATIONS)(file, choose, pictures);
  return file;
}
