import type { Stay } from '@veligrid/hatchery';
import type { MoveFields, MoveKind } from '@veligrid/model';
import type { SampleOverview, SeasonEntry } from '@veligrid/storage';
import { resultOf, type KeptResult } from '../record/recorded.js';
import type { Desk } from '../record/desk.js';
import type { Names } from './house-names.js';
import { figure } from './view.js';
import { happening, words, type Happening } from './happening.js';

/** What is asked for: batches with the time until which each is meant, and where they were. */
export interface Asked {
  readonly lineage: ReadonlyMap<string, string>;
  readonly stays: readonly Stay[];
  readonly names: Names;
}

const MOVED: Readonly<Record<MoveKind, string>> = {
  stock: 'stocked',
  split: 'split',
  merge: 'merged',
  drop: 'dropped',
  cull: 'culled',
  sample: 'taken in samples',
  return: 'poured back',
  ship: 'shipped',
  set: 'put to set',
  discard: 'discarded',
};

const isMeant = ({ lineage }: Asked, batchId: string | null, at: string): boolean =>
  batchId !== null && (lineage.get(batchId) ?? '') >= at;

function moveHappening(move: SeasonEntry<MoveFields>, { names }: Asked): Happening {
  const { kind, happenedAt, number, low, high, emptied, fromTankId, toTankId } = move;
  const animals = low === null || high === null ? number : { estimate: number, low, high };
  const where = fromTankId === null || toTankId === null ? null : `to ${names(toTankId) ?? ''}`;
  return happening(happenedAt, MOVED[kind], {
    batch: names(move.batchId),
    tank: names(fromTankId ?? toTankId),
    animals,
    text: words(
      where,
      move.intoBatchId === null ? null : `now batch ${names(move.intoBatchId) ?? ''}`,
      move.screenUm === null ? null : `${figure(move.screenUm)} um screen`,
      emptied ? 'nothing left' : null,
      move.place,
      move.note,
      move.why === null ? null : `corrected: ${move.why}`,
    ),
    by: move.by,
  });
}

/** Moves of the batches. */
export async function moved({ parts }: Desk, asked: Asked): Promise<Happening[]> {
  const moves = await parts.moves.list();
  return moves
    .filter((one) => isMeant(asked, one.batchId, one.happenedAt) || isMeant(asked, one.intoBatchId, one.happenedAt))
    .map((one) => moveHappening(one, asked));
}

/** Batch that was in a tank at a time. */
const batchThere = ({ stays }: Asked, tankId: string | null, at: string): string | null =>
  stays.find((stay) => stay.tankId === tankId && stay.beganAt <= at && (stay.endedAt === null || at <= stay.endedAt))
    ?.batchId ?? null;

/** What was seen in a sample, in words; nothing before it is signed off. */
function seenText(result: KeptResult | null): string {
  if (result === null) return '';
  const length = result.lengths?.mean ?? null;
  const dead = result.shares.filter(({ stage }) => stage === 'dead' || stage === 'empty-shell');
  const seen = dead.reduce((sum, { animals }) => sum + animals, 0);
  return words(
    `${figure(result.animals)} animals looked at`,
    length === null ? null : `mean ${figure(length.estimate)} um`,
    seen === 0 ? null : `${figure(seen)} of them dead`,
  );
}

async function sampleHappening({ parts }: Desk, overview: SampleOverview, { names }: Asked): Promise<Happening> {
  const { sample, lastDecision } = overview;
  const result = resultOf(overview);
  const photos = await parts.photos.ofSample(sample.id);
  const corrections =
    lastDecision === 0 ? null : `${figure(lastDecision)} ${lastDecision === 1 ? 'correction' : 'corrections'}`;
  const how = photos.length === 0 ? 'by eye' : `${figure(photos.length)} ${photos.length === 1 ? 'photo' : 'photos'}`;
  return happening(sample.takenAt, result === null ? 'sampled, not signed off' : 'counted', {
    batch: names(sample.batchId),
    tank: names(sample.tankId),
    animals: result === null ? null : (result.alive ?? result.all).total,
    text: words(sample.name, seenText(result), how, corrections, sample.note),
    by: result?.signedOff.by ?? sample.addedBy,
    photos: photos.map(({ name, sha256 }) => ({ photo: name, picture: sha256 })),
  });
}

/** Samples of the batches, or of tanks while they were in them. */
export async function counted(desk: Desk, asked: Asked): Promise<Happening[]> {
  const overviews = (await desk.parts.samples.overview()).filter(({ sample }) => {
    const batchId = sample.batchId ?? batchThere(asked, sample.tankId, sample.takenAt);
    return sample.active && isMeant(asked, batchId, sample.takenAt);
  });
  return Promise.all(overviews.map((overview) => sampleHappening(desk, overview, asked)));
}

/** Rations: one line for each tank and time. */
export async function fed({ parts }: Desk, asked: Asked): Promise<Happening[]> {
  const lines = new Map<string, Happening>();
  for (const { tankId, cultureId, happenedAt, litres, by, note } of await parts.rations.list()) {
    const batchId = batchThere(asked, tankId, happenedAt);
    if (!isMeant(asked, batchId, happenedAt)) continue;
    const key = `${tankId} ${happenedAt}`;
    const before = lines.get(key)?.text ?? null;
    const text = words(before, `${figure(litres)} L ${asked.names(cultureId) ?? ''}`, note);
    lines.set(key, happening(happenedAt, 'fed', { batch: asked.names(batchId), tank: asked.names(tankId), text, by }));
  }
  return [...lines.values()];
}

/** Water of tanks while the batches were in them. */
export async function watered({ parts }: Desk, asked: Asked): Promise<Happening[]> {
  const unit = (value: number | null, of: string): string | null => (value === null ? null : `${figure(value)} ${of}`);
  return (await parts.waterNotes.list()).flatMap((one) => {
    const batchId = batchThere(asked, one.tankId, one.happenedAt);
    if (!isMeant(asked, batchId, one.happenedAt)) return [];
    const text = words(
      unit(one.temperatureC, 'C'),
      unit(one.salinityPpt, 'ppt'),
      unit(one.ph, 'pH'),
      unit(one.oxygenMgL, 'mg/L oxygen'),
      one.note,
    );
    return [
      happening(one.happenedAt, 'water', {
        batch: asked.names(batchId),
        tank: asked.names(one.tankId),
        text,
        by: one.by,
      }),
    ];
  });
}

/** Settings of the batches, and spat counted of them. */
export async function set({ parts }: Desk, asked: Asked): Promise<Happening[]> {
  const settings = (await parts.settingEvents.list()).filter((one) => isMeant(asked, one.batchId, one.happenedAt));
  const spat = await parts.spatCounts.list();
  return settings.flatMap((one) => {
    const batch = asked.names(one.batchId);
    const on = words(
      one.cultch,
      one.shells === null ? null : `${figure(one.shells)} shells`,
      one.bags === null ? null : `${figure(one.bags)} bags`,
      one.note,
    );
    const begun = happening(one.happenedAt, 'setting begun', {
      batch,
      animals: one.larvae,
      text: `on ${on}`,
      by: one.by,
    });
    const counts = spat.filter(({ settingId }) => settingId === one.id);
    return [begun, ...counts.map((count) => spatHappening(count, one, batch))];
  });
}

type Spat = SeasonEntry<{
  readonly happenedAt: string;
  readonly shells: number;
  readonly spat: number;
  readonly note: string;
}>;

function spatHappening(
  count: Spat,
  of: { readonly shells: number | null; readonly larvae: number },
  batch: string | null,
): Happening {
  const perShell = count.spat / count.shells;
  const setShare =
    of.shells === null
      ? null
      : `${figure((100 * perShell * of.shells) / of.larvae)} % of the larvae, by this count alone`;
  const text = words(`on ${figure(count.shells)} shells: ${figure(perShell)} a shell`, setShare, count.note);
  return happening(count.happenedAt, 'spat counted', { batch, animals: count.spat, text, by: count.by });
}
