import {
  ANIMAL,
  BATCH,
  CROSS,
  CULTURE,
  CULTURE_READING,
  MOVE,
  RATION,
  SETTING,
  SPAT,
  SPAWN,
  SPAWN_RESULT,
  TANK,
  WATER,
  type Kind,
} from '@veligrid/season';
import { COUNT } from './count-kind.js';

/** Everything that staff enter and that a file of a season may hold, what is named by others first. */
export const RECORD_KINDS: readonly Kind[] = [
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
