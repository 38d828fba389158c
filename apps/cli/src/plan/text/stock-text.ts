import { threeFigures } from '../../limits-text.js';
import type { AnswerOf } from '@veligrid/season';
import { asTyped, limitsWords, line, millilitres, shareWords, tableLines, volumeWords } from './words.js';

/** Egg pool. */
export function eggPoolLines(a: AnswerOf<'egg-pool'>): string[] {
  const poured = a.tanks.some((tank) => tank.poured !== null);
  return [
    line(`Pool, ${a.counted} per mL`, limitsWords(a.poolPerMl)),
    line(`Pool, ${a.counted} in all`, limitsWords(a.pool.eggs)),
    '',
    ...tableLines([
      ['tank', `${a.counted} per mL`, a.counted, 'pour', 'then per mL', ...(poured ? ['poured', 'made per mL'] : [])],
      ...a.tanks.map((tank) => [
        tank.name,
        asTyped(tank.perMl),
        threeFigures(tank.eggs),
        millilitres(tank.pourMl.estimate),
        limitsWords(tank.reachedPerMl),
        ...(poured ? [tank.poured === null ? '-' : millilitres(tank.poured.ml)] : []),
        ...(poured ? [tank.poured === null ? '-' : limitsWords(tank.poured.perMl)] : []),
      ]),
    ]),
    '',
    a.pool.leftMl >= 0
      ? `${millilitres(a.pool.takenMl)} of the pool are taken, ${millilitres(a.pool.leftMl)} remain.`
      : `${millilitres(a.pool.takenMl)} are asked of the pool, ${millilitres(-a.pool.leftMl)} more than it holds.`,
  ];
}

/** Stocking. */
export function stockingLines(a: AnswerOf<'stocking'>): string[] {
  const thin = a.tanks.some(({ takeOut }) => takeOut.estimate > 0);
  const flowing = a.tanks.some(({ turnoversPerDay }) => turnoversPerDay !== null);
  return [
    a.stage === 'any' ? `At ${asTyped(a.perMl)} per mL` : `${a.stage}, ${asTyped(a.perMl)} per mL in standing water`,
    '',
    ...tableLines([
      [
        'tank',
        ...(flowing ? ['exchanges a day'] : []),
        'larvae',
        'per mL',
        'should hold',
        ...(thin ? ['take out'] : []),
      ],
      ...a.tanks.map((tank) => [
        tank.name,
        ...(flowing ? [tank.turnoversPerDay === null ? '-' : threeFigures(tank.turnoversPerDay)] : []),
        limitsWords(tank.larvae),
        limitsWords(tank.densityPerMl),
        threeFigures(tank.holds),
        ...(thin ? [tank.takeOut.estimate > 0 ? limitsWords(tank.takeOut) : '-'] : []),
      ]),
    ]),
    '',
    line('Larvae in all', limitsWords(a.larvae)),
    line('Room in all', threeFigures(a.holds)),
    ...(a.surplus.estimate > 0 ? [line('Without room', limitsWords(a.surplus))] : []),
    line('Standing water they need', volumeWords(a.neededMl)),
    '',
    'These tanks by stage:',
    ...tableLines([
      ['stage', 'per mL', 'room'],
      ...a.taper.map(({ stage, perMl, holds }) => [stage, asTyped(perMl), threeFigures(holds)]),
    ]),
  ];
}

function courseLines(a: AnswerOf<'survival'>): string[] {
  if (a.overall === null) return [];
  const { survival, survivalPerDay, mortalityPerDay } = a.overall;
  return [
    ...tableLines([
      ['day', 'alive', 'of the first', 'since the count before', 'unexplained'],
      ...a.course.map(({ day, alive, ofFirst }, i) => {
        const since = a.intervals[i - 1];
        return [
          asTyped(day),
          limitsWords(alive),
          shareWords(ofFirst),
          since === undefined ? '-' : shareWords(since.survival),
          since === undefined ? '-' : since.noMeasurableLoss ? 'no measurable loss' : limitsWords(since.unexplained),
        ];
      }),
    ]),
    '',
    line('Survival over all', shareWords(survival)),
    line('Survival a day', `${threeFigures(100 * survivalPerDay)} %`),
    ...(mortalityPerDay === null ? [] : [line('Mortality Z a day', threeFigures(mortalityPerDay))]),
    ...(a.usual === null
      ? []
      : [line('Usual, D-larva to set', `${asTyped(100 * a.usual.low)} to ${asTyped(100 * a.usual.high)} %`)]),
  ];
}

/** Survival, yields, chain. */
export const survivalLines = (a: AnswerOf<'survival'>): string[] => [
  ...courseLines(a),
  ...a.yields.map(({ denominator, share }) => line(`D-yield of the ${denominator}`, shareWords(share))),
  ...(a.chain.length === 0
    ? []
    : tableLines([
        ['step', 'of the step before', 'of the first'],
        ...a.chain.map(({ name, ofPrevious, ofFirst }) => [name, shareWords(ofPrevious), shareWords(ofFirst)]),
      ])),
];

/** Growth. */
export function growthLines(a: AnswerOf<'growth'>): string[] {
  const edge = (value: number | null): string => (value === null ? '-' : threeFigures(value));
  return [
    `Species band at ${asTyped(a.temperatureC)} C (its edges hold as they stand from ${asTyped(a.bandFromC)} to ${asTyped(a.bandToC)} C${a.pace < 1 ? `; a day here counts for ${threeFigures(a.pace)}` : ''})`,
    ...(a.temperatureNote === null ? [] : [a.temperatureNote]),
    '',
    ...tableLines([
      ['day', 'mean length, um', 'slow edge', 'fast edge', ''],
      ...a.days.map(({ day, meanLengthUm, slowUm, fastUm, place }) => [
        asTyped(day),
        limitsWords(meanLengthUm),
        edge(slowUm),
        edge(fastUm),
        place,
      ]),
    ]),
    '',
    ...(a.sinceLast === null ? [] : [line('Growth since the last', `${limitsWords(a.sinceLast.umPerDay)} um a day`)]),
    ...(a.ownPast === null
      ? ['Own past: fewer than three measurements before the latest.']
      : [
          line(
            'Own past leads to expect',
            `${limitsWords(a.ownPast.expectedUm)} um: the latest lies ${a.ownPast.place}`,
          ),
        ]),
  ];
}

/** Screens. */
export function screeningLines(a: AnswerOf<'screening'>): string[] {
  const numbers = a.screens.some(({ keptNumber }) => keptNumber !== null);
  return [
    ...(a.screens.length === 0
      ? []
      : [
          ...tableLines([
            ['screen, um', 'kept', 'mean kept, um', ...(numbers ? ['larvae kept', 'larvae lost'] : []), 'by'],
            ...a.screens.map((screen) => [
              asTyped(screen.apertureUm),
              shareWords(screen.kept),
              screen.meanKeptUm === null ? '-' : threeFigures(screen.meanKeptUm),
              ...(screen.keptNumber === null ? [] : [limitsWords(screen.keptNumber)]),
              ...(screen.lostNumber === null ? [] : [limitsWords(screen.lostNumber)]),
              screen.basis,
            ]),
          ]),
          '',
          a.chosenUm === null
            ? 'No screen keeps the part that is wanted.'
            : `Use ${a.chosenUm} um: the largest that keeps ${asTyped(100 * (a.keepShare ?? 0))} % or more.`,
        ]),
    ...(a.lengthOverHeight === null ? [] : [line('Length over height', threeFigures(a.lengthOverHeight))]),
    ...(a.classes === null
      ? []
      : [
          line('Animals on all screens', limitsWords(a.classes.total)),
          ...(a.classes.meanApertureUm === null
            ? []
            : [line('Mean opening', `${threeFigures(a.classes.meanApertureUm)} um`)]),
        ]),
    ...(a.sieve.length === 0
      ? []
      : [
          '',
          'Sieve table of this house:',
          ...tableLines([
            ['screen, um', 'half are kept at, um', 'from 25 to 75 % over, um'],
            ...a.sieve.map(({ apertureUm, l50Um, selectionRangeUm }) => [
              asTyped(apertureUm),
              limitsWords(l50Um),
              threeFigures(selectionRangeUm),
            ]),
          ]),
        ]),
  ];
}
