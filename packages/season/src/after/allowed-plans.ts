import { pedigreeOf } from '@veligrid/hatchery';
import type { SettingEventFields } from '@veligrid/model';
import type { SeasonEntry } from '@veligrid/storage';
import { houseNames } from '../history/house-names.js';
import { algaOf } from '../plan/alga-of.js';
import { loadFiguresOrCommon } from '../plan/load-figures.js';
import { ownFiguresOf } from '../plan/own-figures.js';
import type { PlanQuestion } from '../plan/questions.js';
import type { Asked } from './asked.js';
import { daysBetween, isEmbryo, isLarva, mainStage, slideOf } from './counted-sample.js';

/** What a plan is made for, as the page names it. */
export const USES = [
  'egg-pool',
  'thinning',
  'stocking',
  'screening',
  'ration',
  'readiness',
  'setting',
  'packing',
  'breeders',
] as const;
export type Use = (typeof USES)[number];

/** A plan that a count allows, with its question filled in as far as count and record say. */
export interface AllowedPlan {
  readonly use: Use;
  readonly question: PlanQuestion;
}

type Made = PlanQuestion | null;

/** Stage as presets know it, else the mean length, which tells it by the sizes of the species. */
function stageOf({ counted }: Asked): { readonly stage: string } | { readonly meanLengthUm: number } | null {
  const stage = mainStage(counted.result);
  if (stage !== null && isLarva(stage)) return { stage };
  const mean = counted.meanLengthUm?.estimate ?? null;
  return mean === null || isEmbryo(stage) ? null : { meanLengthUm: mean };
}

/** The tank of a count as plans take it; none when its volume is not known. */
const tankOf = (tank: Asked['tank']): { readonly name: string; readonly volumeMl: number }[] =>
  tank === null || tank.volumeMl === null ? [] : [{ name: tank.name, volumeMl: tank.volumeMl }];

function thinning(asked: Asked): Made {
  const { tank, counted, species } = asked;
  const stage = stageOf(asked);
  const [own] = tankOf(tank);
  if (own === undefined || stage === null) return null;
  const tanks = [{ ...own, larvae: counted.alive }];
  return { kind: 'stocking', species, ...stage, tanks };
}

function stocking(asked: Asked): Made {
  const { tank, counted, species } = asked;
  const stage = stageOf(asked);
  if (stage === null) return null;
  return { kind: 'stocking', species, ...stage, larvae: counted.alive, tanks: tankOf(tank) };
}

function screening({ counted, species }: Asked): Made {
  if (counted.lengthsUm.length === 0 || isEmbryo(mainStage(counted.result))) return null;
  return { kind: 'screening', species, lengthsUm: counted.lengthsUm, larvae: counted.alive };
}

async function ration(asked: Asked): Promise<Made> {
  const { desk, tank, counted, species } = asked;
  const stage = stageOf(asked);
  const [room] = tankOf(tank);
  if (stage === null || room === undefined) return null;
  const own = await ownFiguresOf(desk.parts, species);
  const book = await loadFiguresOrCommon(species, own === null ? [] : [own.preset]);
  const readings = await desk.parts.cultureReadings.list();
  const cultures = (await desk.parts.cultures.list()).flatMap(({ id, name, species: alga, active }) => {
    const last = readings.findLast(({ cultureId }) => cultureId === id);
    const known = algaOf(alga, book);
    return !active || last === undefined || known === null ? [] : [{ name, alga: known, cellsPerMl: last.cellsPerMl }];
  });
  const length = counted.meanLengthUm === null ? {} : { meanLengthUm: counted.meanLengthUm.estimate };
  return { kind: 'ration', species, ...stage, ...length, larvae: counted.alive, volumeMl: room.volumeMl, cultures };
}

const EYED = ['eyed', 'pediveliger'];

/** Part of the living that has to be eyed before setting and packing are offered; chosen. */
const FEW_EYED = 0.05;

function readiness({ counts, counted, species, spawnedAt, temperatureC }: Asked): Made {
  if (spawnedAt === null || counted.lengthsUm.length === 0 || isEmbryo(mainStage(counted.result))) return null;
  const measured = counts.flatMap(({ overview, meanLengthUm, result }) => {
    const day = daysBetween(spawnedAt, overview.sample.takenAt);
    return meanLengthUm === null || day <= 0 || isEmbryo(mainStage(result))
      ? []
      : [{ day, lengthUm: meanLengthUm.estimate }];
  });
  if (measured.length < 2) return null;
  const slide = slideOf(counted.result, EYED);
  return {
    kind: 'readiness',
    species,
    days: measured.map(({ day }) => day),
    lengthsUm: measured.map(({ lengthUm }) => lengthUm),
    lengthsTodayUm: counted.lengthsUm,
    larvae: counted.alive,
    ...(slide.of > 0 ? { eyed: [slide] } : {}),
    ...(temperatureC === null ? {} : { temperatureC }),
  };
}

/** Sets of the house whose spat were counted, the last count of each: larvae put to set, spat on all its shells. */
async function ownSets({ desk }: Asked): Promise<{ larvae: number; spat: number }[]> {
  const spat = await desk.parts.spatCounts.list();
  const settings: readonly SeasonEntry<SettingEventFields>[] = await desk.parts.settingEvents.list();
  return settings.flatMap(({ id, larvae, shells }) => {
    const last = spat.findLast(({ settingId }) => settingId === id);
    if (last === undefined || shells === null || last.spat === 0) return [];
    return [{ larvae, spat: Math.round((last.spat / last.shells) * shells) }];
  });
}

async function setting(asked: Asked): Promise<Made> {
  const { counted, species } = asked;
  const slide = slideOf(counted.result, EYED);
  if (!(slide.positive > 0 && slide.positive >= FEW_EYED * slide.of)) return null;
  const sets = await ownSets(asked);
  return { kind: 'setting', species, larvae: counted.alive, ...(sets.length === 0 ? {} : { ownSets: sets }) };
}

function packing({ counted, species }: Asked): Made {
  const slide = slideOf(counted.result, EYED);
  const suspensionMl = counted.overview.sample.containerVolumeMl;
  if (!(slide.positive > 0 && slide.positive >= FEW_EYED * slide.of) || suspensionMl === null) return null;
  const perPackage = 1e6;
  return { kind: 'packing', species, by: 'count', larvae: counted.alive, suspensionMl, perPackage };
}

interface KeptQuestion {
  readonly subsamples: readonly {
    readonly count: number;
    readonly volumeMl: number;
    readonly steps?: readonly { readonly takenMl: number; readonly madeUpToMl: number }[];
  }[];
}

function eggPool({ counted, tank, species }: Asked): Made {
  const { result, overview } = counted;
  const estimate = overview.estimates.findLast(({ kind }) => kind === 'count');
  const volumeMl = overview.sample.containerVolumeMl;
  if (!isEmbryo(mainStage(result)) || estimate === undefined || volumeMl === null) return null;
  const { subsamples } = estimate.question as unknown as KeptQuestion;
  const fertilised = slideOf(result, ['fertilised-egg', 'two-cell', 'four-cell', 'morula', 'blastula', 'gastrula']);
  return {
    kind: 'egg-pool',
    species,
    pool: {
      container: { volumeMl },
      subsamples: subsamples.map((one) => ({ count: one.count, volumeMl: one.volumeMl, steps: one.steps ?? [] })),
    },
    ...(fertilised.positive > 0 ? { fertilised: [fertilised] } : {}),
    tanks: tankOf(tank),
  };
}

async function breeders({ desk, batch, species, stays }: Asked): Promise<Made> {
  const { parts } = desk;
  if (batch === null) return null;
  const [origins, crosses, results] = [
    await parts.origins.list(),
    await parts.crosses.list(),
    await parts.spawnResults.list(),
  ];
  const pedigree = pedigreeOf(batch.id, { stays }, { origins, crosses, results });
  if (pedigree.dams.length === 0 || pedigree.sires.length === 0) return null;
  const names = await houseNames(parts);
  const shared = (list: typeof pedigree.dams): { animal: string; share: number }[] =>
    list.map(({ id, share }) => ({ animal: names(id) ?? id, share: Math.round(1e6 * share) / 1e6 }));
  return { kind: 'breeders', species, sires: shared(pedigree.sires), dams: shared(pedigree.dams) };
}

/** Plans that a count allows, in the order of the work. */
export async function allowedPlans(asked: Asked): Promise<AllowedPlan[]> {
  const made: readonly (readonly [Use, Made])[] = [
    ['egg-pool', eggPool(asked)],
    ['thinning', thinning(asked)],
    ['stocking', stocking(asked)],
    ['screening', screening(asked)],
    ['ration', await ration(asked)],
    ['readiness', readiness(asked)],
    ['setting', await setting(asked)],
    ['packing', packing(asked)],
    ['breeders', await breeders(asked)],
  ];
  return made.flatMap(([use, question]) => (question === null ? [] : [{ use, question }]));
}
