import { badArgument } from '@veligrid/model';
import {
  dosingLine,
  feedSheet,
  figure,
  numberOf,
  ration,
  spatRation,
  type Figure,
  type RationPlan,
} from '@veligrid/hatchery';
import { stageOf } from './answer-stock.js';
import type { Body } from './answers.js';
import type { Context } from './context.js';
import type { Asked } from './questions.js';

/** mg in a million cells of so many pg. */
const MG_PER_MILLION_PG = 1e-3;

function tankRation(question: Asked<'ration'>, context: Context): RationPlan | null {
  const { ...rest } = question;
  const { larvae, volumeMl, cultures } = rest;
  if (larvae === undefined) return null;
  if (volumeMl === undefined || cultures === undefined)
    throw badArgument('volumeMl and cultures', 'given with larvae', undefined);
  const target = rest.targetCellsPerMl ?? rest.cellsPerLarvaPerDay ?? rest.targetBiovolumeUm3PerUl;
  return ration(
    {
      ...rest,
      volumeMl,
      stage: stageOf(question, context, target === undefined ? undefined : 'any'),
      larvae: context.values.amount('larvae', larvae),
      cultures: cultures.map((one, i) => ({
        ...one,
        cellsPerMl: context.values.density(`cultures[${i}].cellsPerMl`, one.cellsPerMl),
      })),
    },
    context.book,
  );
}

function spatPart(
  { spat }: Asked<'ration'>,
  { book }: Context,
): { readonly spat: Body<'ration'>['spat']; readonly figures: Figure[] } {
  if (spat === undefined) return { spat: null, figures: [] };
  const { liveWeightMg, mgPerMgPerWeek, alga = 't-iso' } = spat;
  const rate = figure(book, 'spat.ration-mg-per-mg-week');
  const weight = figure(book, `algae.${alga}.organic-weight-pg`);
  return {
    spat: { alga, ...spatRation(liveWeightMg, mgPerMgPerWeek ?? numberOf(rate), numberOf(weight) * MG_PER_MILLION_PG) },
    figures: mgPerMgPerWeek === undefined ? [rate, weight] : [weight],
  };
}

/** Ration of a tank, of spat, or by a dosing line. */
export function answerRation(question: Asked<'ration'>, context: Context): Body<'ration'> {
  const plan = tankRation(question, context);
  const { spat, figures } = spatPart(question, context);
  const { line } = question;
  const { figures: used = [], warnings = [], cautions = [], ...tank } = plan ?? { stage: '' };
  return {
    tank: plan === null ? null : (tank as Body<'ration'>['tank']),
    spat,
    line: line === undefined ? null : dosingLine(line.ml, line.seconds, line.cellsPerMl),
    figures: [...new Set([...used, ...figures])],
    warnings,
    cautions,
  };
}

/** Feed sheet of a day. */
export function answerFeedSheet(question: Asked<'feed-sheet'>, { values, book, sizes }: Context): Body<'feed-sheet'> {
  const { tanks, cultures, sharing, equivalence } = question;
  return feedSheet(
    {
      tanks: tanks.map(({ larvae, ...tank }, i) => ({
        ...tank,
        ...(tank.targetCellsPerMl === undefined && tank.meanLengthUm !== undefined
          ? { stage: stageOf(tank, { sizes }) }
          : {}),
        ...(larvae === undefined ? {} : { larvae: values.amount(`tanks[${i}].larvae`, larvae) }),
      })),
      cultures: cultures.map((one, i) => ({
        ...one,
        cellsPerMl: values.density(`cultures[${i}].cellsPerMl`, one.cellsPerMl),
      })),
      ...(sharing === undefined ? {} : { sharing }),
      ...(equivalence === undefined ? {} : { equivalence }),
    },
    book,
  );
}
