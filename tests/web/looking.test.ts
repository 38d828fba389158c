import { describe, expect, it } from 'vitest';
import { reasonToLook } from '../../apps/web/src/state/needs-look.js';
import { passes, readFilter, writeFilter } from '../../apps/web/src/state/larvae.js';
import { keptBy, keptFrom, lengthData } from '../../apps/web/src/lengths/length-data.js';
import { readScreens } from '../../apps/web/src/lengths/read-screens.js';
import { binWidth, lanesOf, neighbour, rangeBetween } from '../../apps/web/src/rows/lanes.js';
import { keyed, NOTHING, only, pressed } from '../../apps/web/src/rows/selection.js';
import { detection, larva, object } from './larvae.js';

describe('needing a look', () => {
  const look = (more: Parameters<typeof detection>[1], decisions: string[] = []): string | null =>
    reasonToLook(object('1', 100, { decisions }), detection('1', more));
  it('is what the program is unsure of', () => {
    expect(look({})).toBeNull();
    expect(look({ confidence: 0.79 })).toBe('look.low');
    expect(look({ stage: 'unsure' })).toBe('look.unsure');
    expect(look({ flags: ['touching'], measures: { ...detection('1').measures, solidity: 0.8 } })).toBe('look.clump');
  });
  it('is a speck only when something speaks for a larva', () => {
    expect(look({ stage: 'alga', confidence: 0.1, stageProbabilities: { alga: 0.1 } })).toBeNull();
    expect(look({ stage: 'debris', stageProbabilities: { debris: 0.7, umbo: 0.2 } })).toBe('look.maybe-larva');
  });
  it('is never what changes no figure, and nothing that was decided on or drawn', () => {
    expect(look({ confidence: 0.1, inArea: false })).toBeNull();
    expect(look({ confidence: 0.1, flags: ['cut'] })).toBeNull();
    expect(look({ confidence: 0.1 }, ['d1'])).toBeNull();
    expect(reasonToLook(object('h1', 100), undefined)).toBeNull();
  });
});

describe('rows', () => {
  const larvae = [larva('a', 101), larva('b', 104), larva('c', 112), larva('d', null), larva('e', 118)];
  const lanes = lanesOf(larvae, 'length');
  it('hang below the mark of their length, those without length in a column of their own', () => {
    expect(binWidth([101, 118])).toBe(2);
    expect(binWidth([50, 300])).toBe(20);
    const heads = lanes.map(({ head, larvae: members }) => [
      head.kind === 'length' ? head.fromUm : head.kind,
      members.map((one) => one.object.id).join(''),
    ]);
    expect(heads).toEqual([
      [100, 'a'],
      [104, 'b'],
      [112, 'c'],
      [118, 'e'],
      ['no-length', 'd'],
    ]);
  });
  it('are walked by arrow keys', () => {
    const byStage = lanesOf([larva('a', 1), larva('b', 2), larva('c', 3, { stage: 'eyed' })], 'stage');
    expect(neighbour(byStage, 'p a', 'ArrowDown')).toBe('p b');
    expect(neighbour(byStage, 'p b', 'ArrowRight')).toBe('p c');
    expect(neighbour(byStage, 'p a', 'ArrowUp')).toBeNull();
    expect(neighbour(byStage, 'gone', 'ArrowDown')).toBe('p a');
  });
  it('are selected one, several, in a range, all', () => {
    expect(rangeBetween(lanes, 'p c', 'p a')).toEqual(['p a', 'p b', 'p c']);
    const range = pressed(only('p b'), lanes, 'p e', 'range');
    expect([...range.keys]).toEqual(['p b', 'p c', 'p e']);
    expect([...pressed(range, lanes, 'p c', 'more').keys]).toEqual(['p b', 'p e']);
    const plain = { key: 'a', shiftKey: false, ctrlKey: true };
    expect(keyed(NOTHING, lanes, plain)?.keys.size).toBe(5);
    expect(keyed(only('p a'), lanes, { ...plain, key: 'Escape' })?.keys.size).toBe(0);
    expect(keyed(NOTHING, lanes, { key: 'Tab', shiftKey: false, ctrlKey: false })).toBeNull();
  });
});

describe('lengths', () => {
  it('stack by stage in bars, and say how many are left out', () => {
    const data = lengthData([
      larva('a', 101),
      larva('b', 104, { stage: 'eyed' }),
      larva('c', 112),
      larva('d', null),
      larva('e', 118, { measurable: false }),
      { ...larva('f', 100), inCount: false },
    ]);
    expect(data.widthUm).toBe(5);
    expect(data.bars.map(({ fromUm, number }) => [fromUm, number])).toEqual([
      [100, 2],
      [105, 0],
      [110, 1],
    ]);
    expect(data.bars[0]?.stages).toEqual([
      { stage: 'umbo', number: 1 },
      { stage: 'eyed', number: 1 },
    ]);
    expect(data.leftOut).toBe(2);
    expect(data.mean).toBeCloseTo((101 + 104 + 112) / 3, 12);
    expect(data.percentiles.find(({ percent }) => percent === 50)?.lengthUm).toBe(104);
    expect(lengthData([]).bars).toEqual([]);
  });
  it('a screen keeps what is larger than its opening over 0.825 (docs/statistics.md, screens)', () => {
    expect(keptFrom(100)).toBeCloseTo(100 / 0.825, 0);
    expect(keptBy([larva('a', 120), larva('b', 123)], 100)).toBe(0.5);
    expect(keptBy([], 100)).toBeNull();
    expect(readScreens('120 150,  180; x')).toEqual([120, 150, 180]);
  });
  it('a bar leads to its larvae: from its lower edge on, below its upper', () => {
    const filter = { kind: 'length', fromUm: 100, toUm: 105 } as const;
    expect(readFilter(writeFilter(filter))).toEqual(filter);
    expect([100, 104.9, 105].map((um) => passes(larva('a', um), filter))).toEqual([true, true, false]);
    expect(readFilter('nonsense')).toEqual({ kind: 'all' });
    expect(readFilter('stage-d-larva')).toEqual({ kind: 'stage', stage: 'd-larva' });
  });
});
