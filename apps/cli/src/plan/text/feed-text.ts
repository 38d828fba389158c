import { threeFigures } from '../../limits-text.js';
import type { AnswerOf } from '@veligrid/season';
import { asTyped, limitsWords, line, millilitres, tableLines, volumeWords } from './words.js';

function tankLines(tank: NonNullable<AnswerOf<'ration'>['tank']>): string[] {
  return [
    line('Wanted, T-Iso cells per mL', `${threeFigures(tank.targetCellsPerMl)} (${tank.setBy})`),
    line('Left from before', asTyped(tank.leftCellsPerMl)),
    line('For one larva a day', `${limitsWords(tank.cellsPerLarvaPerDay)} cells`),
    ...(tank.presetPerLarvaPerDay === null
      ? []
      : [line('Given at this length', `${threeFigures(tank.presetPerLarvaPerDay)} cells (preset)`)]),
    line('Of the most they could eat', `${threeFigures(100 * tank.partOfMostEaten)} %`),
    '',
    ...tableLines([
      ['culture', 'alga', 'one cell is, T-Iso', 'pour'],
      ...tank.doses.map(({ name, alga, tIsoPerCell, ml }) => [name, alga, threeFigures(tIsoPerCell), volumeWords(ml)]),
    ]),
    '',
    line('In all', millilitres(tank.totalMl)),
  ];
}

/** Ration. */
export function rationLines({ tank, spat, line: dosing }: AnswerOf<'ration'>): string[] {
  return [
    ...(tank === null ? [] : tankLines(tank)),
    ...(spat === null
      ? []
      : [
          line('Spat, cells a day', `${threeFigures(spat.cellsPerDay)} of ${spat.alga}`),
          line('For one mg a day', threeFigures(spat.cellsPerMgPerDay)),
        ]),
    ...(dosing === null
      ? []
      : [
          line('Line gives a day', millilitres(dosing.mlPerDay)),
          line('Cells a day', threeFigures(dosing.cellsPerDay)),
        ]),
  ];
}

/** Feed sheet: one row for each tank, one column for each culture. */
export function feedSheetLines(a: AnswerOf<'feed-sheet'>): string[] {
  const given = (doses: AnswerOf<'feed-sheet'>['tanks'][number]['doses'], culture: string): string => {
    const dose = doses.find((one) => one.culture === culture);
    return dose === undefined ? '-' : `${dose.givenMl.toLocaleString('en-US', { maximumFractionDigits: 1 })} mL`;
  };
  return [
    ...tableLines([
      ['tank', ...a.cultures.map(({ name }) => name), 'wanted per mL', 'reached per mL', 'of wanted'],
      ...a.tanks.map((tank) => [
        tank.name,
        ...a.cultures.map(({ name }) => given(tank.doses, name)),
        threeFigures(tank.targetCellsPerMl),
        limitsWords(tank.reachedCellsPerMl),
        `${threeFigures(100 * tank.partOfTarget)} %`,
      ]),
    ]),
    '',
    ...tableLines([
      ['culture', 'there is', 'asked', 'handed out', 'left', 'short'],
      ...a.cultures.map(({ name, litres, askedMl, givenMl, leftMl, runShort }) => [
        name,
        millilitres(litres * 1000),
        millilitres(askedMl),
        millilitres(givenMl),
        millilitres(leftMl),
        runShort.length === 0 ? '-' : runShort.join(', '),
      ]),
    ]),
    '',
    a.sharingInWords,
    'Cells are T-Iso cells' + (a.equivalence === 'cells' ? ', every cell counted as one.' : ` by ${a.equivalence}.`),
  ];
}
