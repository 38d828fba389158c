import type { PlanAnswer } from '@veligrid/api';
import { limitsWords, type ShownLimits } from '../words/limits.js';
import { decimals, percent, threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';

/** A table of an answer: headings, then rows; the first cell of each names it. */
export interface AnswerTable {
  readonly heads: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** An answer as people read it: what counts most in a sentence or two, then tables. */
export interface ShownAnswer {
  readonly lines: readonly string[];
  readonly tables: readonly AnswerTable[];
}

type Of<K extends PlanAnswer['kind']> = Extract<PlanAnswer, { readonly kind: K }>;

const number = (one: ShownLimits): string => limitsWords(one, threeFigures);
const part = (one: ShownLimits): string => limitsWords(one, (value) => percent(value));
const day = (value: number | null): string => (value === null ? '–' : decimals(value, 1));
const um = (value: number | null): string => (value === null ? '–' : `${threeFigures(value)} µm`);
const stageWord = (stage: string): string => sayOr(`stage.${stage}`, stage);

function stocking({ stage, perMl, holds, larvae, surplus, tanks, taper }: Of<'stocking'>): ShownAnswer {
  const takes = tanks.some(({ takeOut }) => takeOut.estimate > 0);
  const surplusLine = surplus.estimate > 0 ? [say('answer.surplus', { number: number(surplus) })] : [];
  return {
    lines: [
      say('answer.stocking', {
        stage: stageWord(stage),
        per: threeFigures(perMl),
        holds: threeFigures(holds),
        larvae: number(larvae),
      }),
      ...surplusLine,
    ],
    tables: [
      {
        heads: [
          say('batch.tank'),
          say('answer.holds'),
          say('answer.larvae'),
          say('plan.unit-per-ml'),
          ...(takes ? [say('answer.take-out')] : []),
        ],
        rows: tanks.map((one) => [
          one.name,
          threeFigures(one.holds),
          number(one.larvae),
          number(one.densityPerMl),
          ...(takes ? [number(one.takeOut)] : []),
        ]),
      },
      {
        heads: [say('result.stage'), say('plan.unit-per-ml'), say('answer.holds')],
        rows: taper.map((one) => [stageWord(one.stage), threeFigures(one.perMl), threeFigures(one.holds)]),
      },
    ],
  };
}

function screening({ chosenUm, keepShare, screens }: Of<'screening'>): ShownAnswer {
  const keep = percent(keepShare ?? 0, 0);
  return {
    lines: [
      chosenUm === null
        ? say('answer.no-screen', { keep })
        : say('answer.screen', { screen: threeFigures(chosenUm), keep }),
    ],
    tables: [
      {
        heads: [
          say('move.screen'),
          say('answer.kept'),
          say('answer.kept-number'),
          say('answer.lost-number'),
          say('answer.basis'),
        ],
        rows: screens.map((one) => [
          `${threeFigures(one.apertureUm)} µm${one.apertureUm === chosenUm ? ` (${say('answer.chosen')})` : ''}`,
          part(one.kept),
          one.keptNumber === null ? '–' : number(one.keptNumber),
          one.lostNumber === null ? '–' : number(one.lostNumber),
          sayOr(`basis.${one.basis.replaceAll(' ', '-')}`, one.basis),
        ]),
      },
    ],
  };
}

function ration({ tank }: Of<'ration'>): ShownAnswer {
  if (tank === null) return { lines: [], tables: [] };
  const { targetCellsPerMl, leftCellsPerMl, cellsPerLarvaPerDay, presetPerLarvaPerDay, doses, totalMl } = tank;
  return {
    lines: [
      say('answer.ration', {
        target: threeFigures(targetCellsPerMl),
        left: threeFigures(leftCellsPerMl),
        litres: threeFigures(totalMl / 1000),
      }),
      say('answer.per-larva', {
        cells: number(cellsPerLarvaPerDay),
        preset: presetPerLarvaPerDay === null ? '–' : threeFigures(presetPerLarvaPerDay),
      }),
    ],
    tables: [
      {
        heads: [say('answer.culture'), say('answer.alga'), say('answer.litres')],
        rows: doses.map(({ name, alga, ml }) => [name, alga, limitsWords(ml, (value) => threeFigures(value / 1000))]),
      },
    ],
  };
}

function readiness(answer: Of<'readiness'>): ShownAnswer {
  const { window, band, eyed, aboveNow, settingLengthUm, shareAbove, targetMeanUm } = answer;
  return {
    lines: [
      window === null
        ? say('answer.no-day')
        : say('answer.ready', { from: day(window.earliestDay), to: day(window.latestDay) }),
      say('answer.ready-means', {
        share: percent(shareAbove, 0),
        length: um(settingLengthUm),
        mean: um(targetMeanUm),
      }),
      say('answer.ready-band', {
        from: day(band.fastDay),
        to: day(band.slowDay),
        degrees: decimals(band.temperatureC, 1),
      }),
      ...(eyed === null
        ? []
        : [say('answer.eyed', { share: part(eyed.share), number: eyed.number === null ? '–' : number(eyed.number) })]),
      ...(aboveNow === null ? [] : [say('answer.above', { share: part(aboveNow) })]),
    ],
    tables: [],
  };
}

function setting({ efficiency, targetPerShell, cultch, needed, expected }: Of<'setting'>): ShownAnswer {
  const rows: (readonly string[])[] = [];
  if (cultch !== null)
    rows.push([
      say('answer.cultch'),
      say('answer.shells-bags', { shells: threeFigures(cultch.shells), bags: threeFigures(cultch.bags) }),
    ]);
  if (needed !== null) {
    rows.push([say('answer.needed'), number(needed.larvae)]);
    rows.push([say('answer.needed-per-shell'), number(needed.perShell)]);
    rows.push([say('answer.needed-per-bag'), number(needed.perBag)]);
  }
  if (expected !== null) {
    rows.push([say('answer.spat'), number(expected.spat)]);
    if (expected.spatPerShell !== null) rows.push([say('answer.spat-per-shell'), number(expected.spatPerShell)]);
    rows.push([say('answer.serves'), number(expected.serves.shells)]);
    rows.push([say('answer.serves-bags'), number(expected.serves.bags)]);
  }
  return {
    lines: [
      say('answer.setting', {
        share: part(efficiency.share),
        basis: sayOr(`basis.${efficiency.basis.replaceAll(' ', '-')}`, efficiency.basis),
        target: threeFigures(targetPerShell),
      }),
    ],
    tables: [{ heads: [say('answer.what'), say('answer.number')], rows }],
  };
}

function packing(answer: Of<'packing'>): ShownAnswer {
  const unit = sayOr(`unit.${answer.unit.replaceAll(' ', '-')}`, answer.unit);
  return {
    lines: [
      say('answer.packing', {
        amount: threeFigures(answer.perPackage),
        unit,
        sure: threeFigures(answer.perPackageForSure),
      }),
    ],
    tables: [
      {
        heads: [say('answer.what'), say('answer.number')],
        rows: [
          [say('answer.per-unit', { unit }), number(answer.larvaePerUnit)],
          [say('answer.per-package'), number(answer.larvaePerPackage)],
          [say('answer.packages'), number(answer.packages)],
          [say('answer.left'), number(answer.left)],
        ],
      },
    ],
  };
}

const eggPool = ({ counted, poolPerMl, pool, tanks }: Of<'egg-pool'>): ShownAnswer => ({
  lines: [
    say(pool.leftMl < 0 ? 'answer.egg-pool-short' : 'answer.egg-pool', {
      counted: sayOr(`counted.${counted.replaceAll(' ', '-')}`, counted),
      per: number(poolPerMl),
      eggs: number(pool.eggs),
      left: threeFigures(pool.leftMl),
      lack: threeFigures(-pool.leftMl),
    }),
  ],
  tables: [
    {
      heads: [say('batch.tank'), say('answer.wanted'), say('answer.pour'), say('answer.reached')],
      rows: tanks.map((one) => [one.name, threeFigures(one.perMl), number(one.pourMl), number(one.reachedPerMl)]),
    },
  ],
});

const breeders = (answer: Of<'breeders'>): ShownAnswer => ({
  lines: [
    say('answer.breeders', {
      effective: threeFigures(answer.effective),
      equal: threeFigures(answer.asIfEqual),
      inbreeding: percent(answer.inbreedingPerGeneration),
    }),
  ],
  tables: [
    {
      heads: [say('answer.what'), say('answer.number'), say('answer.effective')],
      rows: [
        [say('answer.sires'), String(answer.sires.number), threeFigures(answer.sires.effective)],
        [say('answer.dams'), String(answer.dams.number), threeFigures(answer.dams.effective)],
      ],
    },
  ],
});

const survival = ({ intervals, yields }: Of<'survival'>): ShownAnswer => ({
  lines: yields.map(({ denominator, share }) =>
    say('after.yield-of', {
      share: part(share),
      of: sayOr(`counted.${denominator.replaceAll(' ', '-')}`, denominator),
    }),
  ),
  tables: [
    {
      heads: [say('answer.days'), say('batch.survival'), say('after.unexplained')],
      rows: intervals.map((one) => [
        `${day(one.fromDay)}–${day(one.toDay)}`,
        part(one.survival),
        number(one.unexplained),
      ]),
    },
  ],
});

const growth = ({ days }: Of<'growth'>): ShownAnswer => ({
  lines: [],
  tables: [
    {
      heads: [say('chart.day'), say('plan.mean-length'), say('answer.band')],
      rows: days.map((one) => [
        day(one.day),
        limitsWords(one.meanLengthUm, threeFigures),
        `${um(one.slowUm)} – ${um(one.fastUm)}`,
      ]),
    },
  ],
});

/** An answer of any kind in words and tables. */
export function shownAnswer(answer: PlanAnswer): ShownAnswer {
  switch (answer.kind) {
    case 'stocking':
      return stocking(answer);
    case 'screening':
      return screening(answer);
    case 'ration':
      return ration(answer);
    case 'readiness':
      return readiness(answer);
    case 'setting':
      return setting(answer);
    case 'packing':
      return packing(answer);
    case 'egg-pool':
      return eggPool(answer);
    case 'breeders':
      return breeders(answer);
    case 'survival':
      return survival(answer);
    case 'growth':
      return growth(answer);
    case 'feed-sheet':
      return { lines: [], tables: [] };
  }
}
