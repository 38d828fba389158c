import type { Stay } from '@veligrid/hatchery';

/** Batches that a batch comes from by moves, each with the time until which its story is this one's; itself without end. */
export function lineageOf(stays: readonly Stay[], batchId: string): Map<string, string> {
  const end = '9999-12-31T23:59:59.999Z';
  const lineage = new Map([[batchId, end]]);
  const open = [batchId];
  for (let batch = open.pop(); batch !== undefined; batch = open.pop()) {
    const own = stays.filter((stay) => stay.batchId === batch);
    const came = own.flatMap(({ entries }) => entries.filter(({ line }) => line === 'movedIn'));
    for (const other of stays.filter((stay) => stay.batchId !== batch)) {
      const left = other.entries.filter(
        ({ line, terms }) => line === 'movedOut' && came.some((one) => one.terms === terms),
      );
      const last = left
        .map(({ at }) => at)
        .toSorted()
        .at(-1);
      if (last === undefined || (lineage.get(other.batchId) ?? '') >= last) continue;
      lineage.set(other.batchId, last);
      open.push(other.batchId);
    }
  }
  return lineage;
}
