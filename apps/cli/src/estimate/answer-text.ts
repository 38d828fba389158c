import { around, threeFigures } from '../limits-text.js';
import type { Answer } from './answer-question.js';

type Of<K extends Answer['kind']> = Extract<Answer, { readonly kind: K }>;
const orNone = (limits: Parameters<typeof around>[0] | null, unit = ''): string =>
  limits === null ? 'no limits' : around(limits, 1, unit);

const METHODS: Readonly<Record<Of<'count'>['method'], string>> = {
  'counting-error-only': 'counting error alone, as nothing was counted',
  'single-without-history': 'one filling, without any knowledge of the mixing',
  'log-t-with-poisson-floor': 'the scatter of these fillings, never below counting error',
  'own-history': 'counting error and the scatter of your earlier counts',
  'starting-history': 'counting error and the starting scatter',
};

const uncertainBy = ({ contributions }: Pick<Of<'count'>, 'contributions'>): string[] => [
  'What makes it uncertain:',
  ...contributions.map(
    ({ name, relativeStandardUncertainty: u }) => `  ${(100 * u).toFixed(2).padStart(6)} %  ${name}`,
  ),
];

function countLines(a: Of<'count'>): string[] {
  return [
    `Density per mL      ${around(a.densityPerMl)}`,
    `Total               ${around(a.total)}`,
    ...(a.yieldOfEggs ? [`Yield of the eggs   ${around(a.yieldOfEggs, 100, ' %')}`] : []),
    `Counting error alone, as if perfectly mixed: ${around(a.countingErrorAlone)}`,
    `Scatter of the subsamples: X2 ${a.dispersion.x2.toFixed(2)} on ${a.dispersion.df} degrees, p ${a.dispersion.pUpper.toPrecision(2)}`,
    `Limits from: ${METHODS[a.method]} [${a.method}]`,
    ...uncertainBy(a),
  ];
}

const totalsLines = (a: Of<'totals'>): string[] => [
  ...a.parts.map(({ name, estimate }) => `${name.padEnd(20)}${around(estimate.total)}`),
  `${'All together'.padEnd(20)}${around(a.total)}`,
  ...uncertainBy(a),
];

function shareLines(a: Of<'share'>): string[] {
  return [
    `Share       ${around(a.share, 100, ' %')} of ${a.denominator} (${a.positive} of ${a.of})`,
    `Exact, as if one random sample: ${around(a.clopperPearson, 100, ' %')}`,
    ...(a.upperIfNone === null
      ? []
      : [`None seen: at most ${threeFigures(a.upperIfNone * 100, Math.ceil)} % (one-sided)`]),
    `Design effect over slides: ${a.designEffect.toFixed(2)}`,
  ];
}

const stagesLines = ({ stages, of }: Of<'stages'>): string[] => [
  `Shares of all ${of} staged, holding together:`,
  ...Object.entries(stages).map(
    ([stage, one]) => `  ${stage.padEnd(16)} ${String(one.count).padStart(6)}  ${around(one, 100, ' %')}`,
  ),
];

function survivalLines(a: Of<'survival'>): string[] {
  const { g, limits } = a.fieller;
  return [
    `Survival            ${around(a.survival, 100, ' %')}`,
    `Survival per day    ${around(a.survivalPerDay, 100, ' %')}`,
    `Mortality Z per day ${around(a.mortalityPerDay)}`,
    limits === null
      ? 'By ratio (Fieller): no limits'
      : `By ratio (Fieller): ${threeFigures(limits.low * 100, Math.floor)} to ${threeFigures(limits.high * 100, Math.ceil)} %, g ${g.toFixed(3)}`,
  ];
}

function growthLines(a: Of<'growth'>): string[] {
  return [
    `Growth per day      ${around(a.ratePerDayUm, 1, ' um')}`,
    `Specific rate       ${around(a.specificRatePerDay)} per day`,
    ...a.models.map(
      ({ model, dayToTarget }) =>
        `  ${model.padEnd(12)} ${dayToTarget === null ? 'no day given' : `day ${around(dayToTarget)}`}${model === a.chosen ? '  (fits best)' : ''}`,
    ),
    ...(a.spread === null
      ? []
      : [`Plan for day ${threeFigures(a.spread.earliest)} to ${threeFigures(a.spread.latest)}`]),
  ];
}

function lengthsLines(a: Of<'lengths'>): string[] {
  const { p10, p50, p90 } = a.percentiles;
  return [
    `Lengths   ${a.n}`,
    `Mean      ${orNone(a.mean, ' um')}`,
    `SD        ${orNone(a.sd, ' um')}`,
    `10, 50, 90 % of lengths lie below ${[p10, p50, p90].map(({ estimate }) => threeFigures(estimate)).join(', ')} um`,
    ...(a.twoGroups === null
      ? ['One group']
      : [
          `Two groups: ${threeFigures(a.twoGroups.small.meanUm)} um (${threeFigures(100 * a.twoGroups.small.share)} %) and ${threeFigures(a.twoGroups.large.meanUm)} um`,
        ]),
    ...(a.above === null ? [] : [`Above ${a.above.lengthUm} um: ${around(a.above, 100, ' %')}`]),
    ...(a.screen === null
      ? []
      : [
          `Kept by ${a.screen.apertureUm} um: ${around(a.screen.kept, 100, ' %')}, ${a.screen.basis === 'fitted' ? 'by your fitted thickness' : 'by geometry alone: the size that passes is an upper bound'}`,
        ]),
  ];
}

const auditLines = (a: Of<'audit'>): string[] => [
  `Checked ${a.audited} of ${a.squares} squares`,
  `Corrected by difference  ${around(a.difference)}`,
  `Corrected by ratio       ${a.ratio === null ? 'no ratio' : around(a.ratio)}`,
];

function lines(answer: Answer): string[] {
  switch (answer.kind) {
    case 'count':
      return countLines(answer);
    case 'totals':
      return totalsLines(answer);
    case 'share':
      return shareLines(answer);
    case 'stages':
      return stagesLines(answer);
    case 'survival':
      return survivalLines(answer);
    case 'growth':
      return growthLines(answer);
    case 'lengths':
      return lengthsLines(answer);
    case 'audit':
      return auditLines(answer);
  }
}

/** The answer for people: three significant figures, limits rounded outward, warnings last. */
export function answerText(answer: Answer): string {
  const level = `Limits in brackets hold at ${Number((answer.level * 100).toFixed(2))} %.`;
  const warnings = answer.warnings.map(({ code, message }) => `! ${message} [${code}]`);
  return `${[...lines(answer), level, ...warnings].join('\n')}\n`;
}
