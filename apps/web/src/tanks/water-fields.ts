import type { EntryField } from '../entries/entry-field.js';
import { say } from '../words/say.js';

/** What is asked of a tank's water; one of the readings, or a note, is enough. */
export const waterFields = (): readonly EntryField[] => [
  { name: 'temperature_c', label: say('said.temperature_c'), as: 'number' },
  { name: 'salinity_ppt', label: say('said.salinity_ppt'), as: 'number' },
  { name: 'ph', label: say('said.ph'), as: 'number' },
  { name: 'oxygen_mg_l', label: say('said.oxygen_mg_l'), as: 'number' },
  { name: 'at', label: say('entry.at'), hint: say('entry.at-hint'), as: 'time' },
  { name: 'note', label: say('entry.note'), hint: say('begin.optional') },
];
