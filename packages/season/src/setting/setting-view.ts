import { presentIn } from '@veligrid/hatchery';
import { estimateShare, handTally, sumLimits, type Limits } from '@veligrid/estimation';
import type { MoveFields, SettingEventFields, SpatCountFields } from '@veligrid/model';
import type { SeasonEntry } from '@veligrid/storage';
import { houseNames, type Names } from '../history/house-names.js';
import { ledgerOf, type Desk } from '../record/desk.js';
import { resultOf, type KeptResult } from '../record/recorded.js';
import { larvaeOf, reachedBy, type Reached } from './reached.js';

/** Larvae of the batch in one tank, and how many of the last count were eyed. */
export interface TankToSet {
  readonly tank: { readonly id: string; readonly name: string };
  /** There if none died since the last count. */
  readonly present: Limits;
  /** The last signed-off count of the batch in the tank; null when there is none. */
  readonly lastCount: {
    readonly sample: string;
    readonly takenAt: string;
    readonly signedOffBy: string;
    /** Eyed part of all that were counted; null for a count by eye, which notes one stage for all. */
    readonly eyed: Limits | null;
    /** Counted by eye: what most of them were, not a share. */
    readonly mostWere: string | null;
  } | null;
}

/** A setting with what came of it. */
export interface SettingLine extends SeasonEntry<SettingEventFields>, Reached {
  readonly batchName: string;
  readonly limits: Limits;
  readonly spatCounts: readonly SeasonEntry<SpatCountFields>[];
}

/** Everything about setting and shipping one batch. */
export interface SettingView {
  readonly batch: { readonly id: string; readonly name: string; readonly species: string };
  readonly tanks: readonly TankToSet[];
  /** In all tanks together; null when none is left. */
  readonly available: Limits | null;
  readonly settings: readonly SettingLine[];
  readonly shipped: readonly (SeasonEntry<MoveFields> & { readonly fromName: string | null })[];
  /** Sets of the whole house and species that have an efficiency: the next plan goes by them. */
  readonly ownSets: readonly SettingLine[];
}

const EYED = 'eyed';

/** Eyed part of what was counted; with none eyed the limits still say how many there may be. */
function eyedIn({ shares, animals }: KeptResult): Limits | null {
  const found = shares.find(({ stage }) => stage === EYED)?.share;
  if (found !== undefined || animals === 0) return found ?? null;
  return estimateShare([{ positive: handTally(0), of: handTally(animals) }]).share;
}

async function lastCountOf(desk: Desk, batchId: string, tankId: string): Promise<TankToSet['lastCount']> {
  const overviews = await desk.parts.samples.overview({ batchId });
  const counts = overviews.flatMap((one) => {
    const { sample, photos } = one;
    const result = sample.tankId === tankId && sample.active ? resultOf(one) : null;
    return result === null ? [] : [{ sample, photos, result }];
  });
  const last = counts.toSorted((a, b) => (a.sample.takenAt < b.sample.takenAt ? -1 : 1)).at(-1);
  if (last === undefined) return null;
  const { sample, photos, result } = last;
  return {
    sample: sample.id,
    takenAt: sample.takenAt,
    signedOffBy: result.signedOff.by,
    eyed: photos > 0 ? eyedIn(result) : null,
    mostWere: photos > 0 ? null : (result.shares.find(({ stage }) => stage !== 'dead')?.stage ?? null),
  };
}

async function tanksToSet(desk: Desk, batchId: string, names: Names): Promise<TankToSet[]> {
  const { ledger } = await ledgerOf(desk);
  const stays = ledger.stays.filter((stay) => stay.batchId === batchId && stay.endedAt === null);
  const tanks: TankToSet[] = [];
  for (const stay of stays) {
    const tank = { id: stay.tankId, name: names(stay.tankId) ?? stay.tankId };
    tanks.push({ tank, present: presentIn(stay), lastCount: await lastCountOf(desk, batchId, stay.tankId) });
  }
  return tanks.toSorted((a, b) => a.tank.name.localeCompare(b.tank.name, 'en', { numeric: true }));
}

/** All settings of the house with what came of them, in order. */
async function settingLines({ parts }: Desk, names: Names): Promise<SettingLine[]> {
  const [settings, spat, moves] = [
    await parts.settingEvents.list(),
    await parts.spatCounts.list(),
    await parts.moves.list(),
  ];
  return settings.map((setting) => {
    const spatCounts = spat.filter(({ settingId }) => settingId === setting.id);
    const move = moves.find(({ id }) => id === setting.moveId) ?? null;
    const last = spatCounts.findLast(({ shells }) => shells > 0) ?? null;
    return {
      ...setting,
      batchName: names(setting.batchId) ?? setting.batchId,
      limits: larvaeOf(setting, move),
      spatCounts,
      ...reachedBy(setting, move, last),
    };
  });
}

/** Setting and shipping of one batch; null when there is none of this id. */
export async function settingView(desk: Desk, batchId: string): Promise<SettingView | null> {
  const { parts } = desk;
  const batch = await parts.batches.get(batchId);
  if (batch === null || !batch.active) return null;
  const names = await houseNames(parts);
  const species = new Map((await parts.batches.list()).map((one) => [one.id, one.species]));
  const [tanks, lines] = [await tanksToSet(desk, batchId, names), await settingLines(desk, names)];
  const ships = (await parts.moves.list()).filter((move) => move.kind === 'ship' && move.batchId === batchId);
  return {
    batch: { id: batch.id, name: batch.name, species: batch.species },
    tanks,
    available: tanks.length === 0 ? null : sumLimits(tanks.map(({ present }) => present)),
    settings: lines.filter((line) => line.batchId === batchId),
    shipped: ships.map((move) => ({ ...move, fromName: names(move.fromTankId) })),
    ownSets: lines.filter((line) => line.efficiency !== null && species.get(line.batchId) === batch.species),
  };
}
