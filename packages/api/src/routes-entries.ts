import { correctedAnswer, correctedEntry, keptEntry, newEntry, takenBackEntry } from './entries.js';
import { empty } from './parts.js';
import type { Route } from './route.js';

/** Routes by which staff record a season: one for each thing that happens at the tanks. */
export const entryRoutes = {
  addEntry: {
    method: 'post',
    path: '/entries/{kind}',
    role: 'counter',
    summary: 'Record something: an animal, a spawn, a move, a ration, a count by eye and so on',
    body: newEntry,
    status: 201,
    answer: keptEntry,
  },
  correctEntry: {
    method: 'post',
    path: '/entries/{kind}/{entry}/correct',
    role: 'counter',
    summary: 'Say some fields of an entry anew; what was said before stays in the record',
    body: correctedEntry,
    answer: correctedAnswer,
  },
  takeBackEntry: {
    method: 'post',
    path: '/entries/{kind}/{entry}/take-back',
    role: 'counter',
    summary: 'Take back an entry that never happened; it stays in the record',
    body: takenBackEntry,
    answer: empty,
  },
} as const satisfies Record<string, Route>;
