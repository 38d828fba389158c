import type { Stay } from '@veligrid/hatchery';
import type { MoveFields, MoveKind, WaterNoteFields } from '@veligrid/model';
import type { SampleOverview, SeasonEntry } from '@veligrid/storage';
import type { Desk } from '../record/desk.js';
import { resultOf, type KeptResult } from '../record/recorded.js';
import { fact, factIf, type Fact } from './fact.js';
import { happening, linkOf, type Happening, type HappeningKind } from './happening.js';
import { named, type Names } from './house-names.js';

/** What is asked for. */
export interface Asked {
  /** Whether something of a batch in a tank at a time is meant. */
  readonly isMeant: (batchId: string | null, tankId: string | null, at: string) => boolean;
  readonly stays: readonly Stay[];
  readonly names: Names;
}

const MOVED: Readonly<Record<MoveKind, HappeningKind>> = {
  stock: 'stocked',
  split: 'split',
  merge: 'merged',
  drop: 'dropped',
  cull: 'culled',
  sample: 'taken-in-samples',
  return: 'poured-back',
  ship: 'shipped',
  set: 'put-to-set',
  discard: 'discarded',
};

function moveHappening(move: SeasonEntry<MoveFields>, { names }: Asked): Happening {
  const { kind, number, low, high, fromTankId, toTankId } = move;
  return happening({
    at: move.happenedAt,
    kind: MOVED[kind],
    batch: named(names, move.batchId),
    tank: named(names, fromTankId ?? toTankId),
    animals: low === null || high === null ? number : { estimate: number, low, high },
    facts: [
      ...fact('to-tank', fromTankId === null ? null : names(toTankId)),
      ...fact('into-batch', names(move.intoBatchId)),
      ...fact('screen', move.screenUm),
      ...factIf('emptied', move.emptied),
      ...fact('place', move.place),
      ...fact('note', move.note),
      ...fact('why', move.why),
    ],
    by: move.by,
    entries: [linkOf('move', move)],
  });
}

/** Moves that are asked for. */
export function moved(moves: readonly SeasonEntry<MoveFields>[], asked: Asked): Happening[] {
  return moves
    .filter(
      ({ batchId, intoBatchId, fromTankId, toTankId, happenedAt }) =>
        asked.isMeant(batchId, fromTankId ?? toTankId, happenedAt) || asked.isMeant(intoBatchId, toTankId, happenedAt),
    )
    .map((one) => moveHappening(one, asked));
}

/** Batch that was in a tank at a time. */
const batchThere = ({ stays }: Asked, tankId: string | null, at: string): string | null =>
  stays.find((stay) => stay.tankId === tankId && stay.beganAt <= at && (stay.endedAt === null || at <= stay.endedAt))
    ?.batchId ?? null;

/** What was seen in a sample; nothing before it is signed off. */
function seen(result: KeptResult | null): Fact[] {
  if (result === null) return [];
  const dead = result.shares.filter(({ stage }) => stage === 'dead' || stage === 'empty-shell');
  const number = dead.reduce((sum, { animals }) => sum + animals, 0);
  return [
    ...fact('looked-at', result.animals),
    ...fact('mean-length', result.lengths?.mean?.estimate),
    ...fact('dead-seen', number === 0 ? null : number),
  ];
}

function sampleHappening(overview: SampleOverview, { names }: Asked): Happening {
  const { sample, lastDecision, photos } = overview;
  const result = resultOf(overview);
  return happening({
    at: sample.takenAt,
    kind: result === null ? 'sampled-open' : 'counted',
    batch: named(names, sample.batchId),
    tank: named(names, sample.tankId),
    animals: result === null ? null : (result.alive ?? result.all).total,
    facts: [
      ...fact('name', sample.name),
      ...seen(result),
      ...(photos === 0 ? factIf('by-eye', true) : fact('photos', photos)),
      ...fact('corrections', lastDecision === 0 ? null : lastDecision),
      ...fact('note', sample.note),
    ],
    by: result?.signedOff.by ?? sample.addedBy,
    entries: [{ kind: 'sample', id: sample.id, version: 1 }],
    photos,
  });
}

/** Samples that are asked for, by their own batch or the one that was in their tank. */
export function counted(overviews: readonly SampleOverview[], asked: Asked): Happening[] {
  return overviews
    .filter(({ sample }) => {
      const batchId = sample.batchId ?? batchThere(asked, sample.tankId, sample.takenAt);
      return sample.active && asked.isMeant(batchId, sample.tankId, sample.takenAt);
    })
    .map((one) => sampleHappening(one, asked));
}

/** Rations: one line for each tank and time. */
export async function fed({ parts }: Desk, asked: Asked): Promise<Happening[]> {
  const lines = new Map<string, Happening>();
  for (const one of await parts.rations.list()) {
    const { tankId, happenedAt: at, litres, by } = one;
    const batchId = batchThere(asked, tankId, at);
    if (!asked.isMeant(batchId, tankId, at)) continue;
    const key = `${tankId} ${at}`;
    const before = lines.get(key);
    const ration = fact('ration', litres, { name: asked.names(one.cultureId) ?? '' });
    const facts = [...(before?.facts ?? []), ...ration, ...fact('note', one.note)];
    const entries = [...(before?.entries ?? []), linkOf('ration', one)];
    const where = { batch: named(asked.names, batchId), tank: named(asked.names, tankId) };
    lines.set(key, happening({ at, kind: 'fed', ...where, facts, by, entries }));
  }
  return [...lines.values()];
}

const waterFacts = ({ temperatureC, salinityPpt, ph, oxygenMgL, note }: WaterNoteFields): Fact[] => [
  ...fact('temperature', temperatureC),
  ...fact('salinity', salinityPpt),
  ...fact('ph', ph),
  ...fact('oxygen', oxygenMgL),
  ...fact('note', note),
];

/** Water of tanks. */
export async function watered({ parts }: Desk, asked: Asked): Promise<Happening[]> {
  return (await parts.waterNotes.list()).flatMap((one) => {
    const batchId = batchThere(asked, one.tankId, one.happenedAt);
    if (!asked.isMeant(batchId, one.tankId, one.happenedAt)) return [];
    const { happenedAt: at, tankId, by } = one;
    const entries = [linkOf('water', one)];
    const where = { batch: named(asked.names, batchId), tank: named(asked.names, tankId) };
    return [happening({ at, kind: 'water', ...where, facts: waterFacts(one), by, entries })];
  });
}
