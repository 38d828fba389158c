import { describe, expect, it } from 'vitest';
import { withoutPostgres } from '../../support/private-postgres.js';
import { seededRandom } from '../../support/seeded-random.js';
import { runTroubles, type Round } from './run-troubles.js';
import { withoutTroubles, type Trouble } from './troubles.js';

const clock = (of: Extract<Trouble, { kind: 'clock' }>['of'], hours: number): Trouble => ({ kind: 'clock', of, hours });

// several at once, as each second counts
const ROUNDS: readonly Round[] = [
  // longer than a worker may hold a photo without a word
  {
    troubles: [
      { kind: 'stalled', of: 'worker 1' },
      { kind: 'slow', of: 'server', ms: [20, 200] },
    ],
    ms: 2500,
  },
  {
    troubles: [{ kind: 'stalled', of: 'server' }, clock('worker 2', 5)],
    ms: 0,
    until: /^The database does not answer: look at it and at the network, then try again/,
  },
  { troubles: [clock('database', -3), clock('server', 7), { kind: 'cut', of: 'server' }], ms: 700 },
  {
    troubles: [{ kind: 'full', disk: 'photos' }, clock('server', -2)],
    ms: 0,
    until: /^The picture was not kept. The disk is full: make room, then try again/,
  },
  {
    troubles: [{ kind: 'full', disk: 'own' }, clock('database', 9)],
    ms: 0,
    until: /^The disk is full: make room, then try again/,
  },
  {
    troubles: [
      { kind: 'full', disk: 'database' },
      { kind: 'lost', of: 'worker 1' },
    ],
    ms: 0,
    until: /^The disk of the database is full: make room there, then try again/,
  },
];

describe.skipIf(withoutPostgres || withoutTroubles)('half-open connections, full disks and set clocks', () => {
  it('lose nothing acknowledged, count nothing twice, and are told in words', { timeout: 300_000 }, async () => {
    const figures = await runTroubles({ rounds: ROUNDS, stations: 2, random: seededRandom(11), standStillMs: 3000 });
    expect(figures.errors).toEqual([]);
    expect(figures.decisions).toBeGreaterThan(5);
    expect(figures.photos).toBeGreaterThan(5);
  });
});
