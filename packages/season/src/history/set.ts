import type { SettingEventFields, SpatCountFields } from '@veligrid/model';
import type { SeasonEntry } from '@veligrid/storage';
import type { Desk } from '../record/desk.js';
import { fact } from './fact.js';
import { happening, linkOf, type Happening } from './happening.js';
import { named, type Named } from './house-names.js';
import type { Asked } from './in-tanks.js';

const PER_CENT = 100;

function spatHappening(count: SeasonEntry<SpatCountFields>, of: SettingEventFields, batch: Named | null): Happening {
  const perShell = count.spat / count.shells;
  const share = of.shells === null ? null : (PER_CENT * perShell * of.shells) / of.larvae;
  return happening({
    at: count.happenedAt,
    kind: 'spat-counted',
    batch,
    animals: count.spat,
    facts: [
      ...fact('shells-looked-at', count.shells, { of: perShell }),
      ...fact('set-share', share),
      ...fact('note', count.note),
    ],
    by: count.by,
    entries: [linkOf('spat-count', count)],
  });
}

/** Settings of the batches that are asked for, and spat counted of them. */
export async function set({ parts }: Desk, asked: Asked): Promise<Happening[]> {
  const settings = (await parts.settingEvents.list()).filter((one) => asked.isMeant(one.batchId, null, one.happenedAt));
  const spat = settings.length === 0 ? [] : await parts.spatCounts.list();
  return settings.flatMap((one) => {
    const batch = named(asked.names, one.batchId);
    const begun = happening({
      at: one.happenedAt,
      kind: 'setting-begun',
      batch,
      animals: one.larvae,
      facts: [
        ...fact('cultch', one.cultch),
        ...fact('shells', one.shells),
        ...fact('bags', one.bags),
        ...fact('note', one.note),
      ],
      by: one.by,
      entries: [linkOf('setting', one)],
    });
    return [
      begun,
      ...spat.filter(({ settingId }) => settingId === one.id).map((count) => spatHappening(count, one, batch)),
    ];
  });
}
