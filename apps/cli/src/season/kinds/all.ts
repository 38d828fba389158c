import type { Kind } from '../kind.js';
import { BATCH, TANK } from './batch.js';
import { ANIMAL, CROSS, SPAWN, SPAWN_RESULT } from './broodstock.js';
import { CULTURE, CULTURE_READING, RATION, WATER } from './care.js';
import { COUNT } from './count.js';
import { MOVE } from './move.js';
import { SETTING, SPAT } from './setting.js';

/** Everything that a file of a season may hold, what is named by others first. */
export const KINDS: readonly Kind[] = [
  ANIMAL,
  SPAWN,
  SPAWN_RESULT,
  CROSS,
  BATCH,
  TANK,
  CULTURE,
  CULTURE_READING,
  MOVE,
  COUNT,
  RATION,
  WATER,
  SETTING,
  SPAT,
];
