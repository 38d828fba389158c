import {
  ANIMAL,
  BATCH,
  CROSS,
  CULTURE,
  CULTURE_READING,
  MOVE,
  PARENTS,
  RATION,
  SETTING,
  SPAT,
  SPAWN,
  SPAWN_RESULT,
  SPERM_CHECK,
  TANK,
  WATER,
  type Kind,
} from '@veligrid/season';
import { COUNT } from './count-kind.js';

/** Everything that staff enter and that a file of a season may hold, what is named by others first. */
export const RECORD_KINDS: readonly Kind[] = [
  ANIMAL,
  PARENTS,
  SPAWN,
  SPAWN_RESULT,
  CROSS,
  SPERM_CHECK,
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
