import { VeligridError, type SettingEventFields } from '@veligrid/model';
import type { SeasonEntry } from '@veligrid/storage';
import { find, type Desk } from '../desk.js';
import { field, type Given } from '../given.js';
import { AT, NOTE, timeOrNow, type Kind } from '../kind.js';
import { keepMove, moveFields } from './move.js';

const CULTCH = [
  field('cultch', 'what they set on, such as "whole shell" or microcultch', { needed: 'always' }),
  field('shells', 'pieces of cultch'),
  field('bags', 'bags they lie in'),
];

export const SETTING: Kind = {
  name: 'setting',
  about: 'larvae put to set: they leave their tank, and the setting begins',
  fields: [...moveFields('set'), ...CULTCH],
  keep: async (given, desk) => {
    const cultch = given.name('cultch');
    const [shells, bags] = [given.maybeAbove0('shells'), given.maybeAbove0('bags')];
    const move = await keepMove(given, desk, 'set');
    if (move.number === 0) throw new VeligridError('refused', 'No larvae are left to set.');
    const { id: moveId, batchId, happenedAt, number: larvae } = move;
    const fields = { batchId, moveId, happenedAt, larvae, cultch, shells, bags, note: given.text('note') };
    return desk.parts.settingEvents.append(fields, { by: desk.by });
  },
};

async function settingOf(given: Given, desk: Desk, at: string): Promise<SeasonEntry<SettingEventFields>> {
  const { id, name } = await find(desk, 'batch', given.name('batch'));
  const all = await desk.parts.settingEvents.list();
  const before = all.findLast(({ batchId, happenedAt }) => batchId === id && happenedAt <= at);
  if (before === undefined)
    throw new VeligridError('bad-argument', `Nothing of batch "${name}" was put to set before.`);
  return before;
}

export const SPAT: Kind = {
  name: 'spat-count',
  about: 'spat counted on some shells of the last setting of a batch',
  fields: [
    field('batch', 'batch', { needed: 'always' }),
    AT,
    field('shells', 'shells looked at', { needed: 'always' }),
    field('spat', 'spat on them', { needed: 'always' }),
    NOTE,
  ],
  keep: async (given, desk) => {
    const happenedAt = timeOrNow(given, desk);
    const { id } = await settingOf(given, desk, happenedAt);
    const [shells, spat] = [given.whole('shells'), given.whole('spat')];
    return desk.parts.spatCounts.append(
      { settingId: id, happenedAt, shells, spat, note: given.text('note') },
      { by: desk.by },
    );
  },
};
