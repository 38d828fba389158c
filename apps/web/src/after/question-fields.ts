import type { PlanQuestion } from '@veligrid/api';
import { say } from '../words/say.js';

/** How a field of a question is typed and sent. */
type As = 'number' | 'amount' | 'share' | 'numbers' | 'choice';

/** One field of a question that people may change. */
export interface QuestionField {
  /** Where it stands in the question: `tanks.0.volumeMl`. */
  readonly path: string;
  readonly label: string;
  readonly as: As;
  readonly unit?: string;
  readonly hint?: string;
  /** What is typed times this is what is sent; default 1. */
  readonly times?: number;
  readonly options?: readonly string[];
}

/** Values by path, as they stand in the form. */
export type QuestionText = Readonly<Record<string, string>>;

const ML = 1000;
const PRESET = (): string => say('plan.empty-preset');

const amount = (path: string, label: string): QuestionField => ({ path, label, as: 'amount' });
const number = (path: string, label: string, more: Partial<QuestionField> = {}): QuestionField => ({
  path,
  label,
  as: 'number',
  ...more,
});

const listIn = (question: PlanQuestion, key: string): readonly Readonly<Record<string, unknown>>[] => {
  const list = question[key];
  return Array.isArray(list) ? (list as readonly Readonly<Record<string, unknown>>[]) : [];
};

const nameOf = ({ name, animal }: Readonly<Record<string, unknown>>): string =>
  typeof name === 'string' ? name : typeof animal === 'string' ? animal : '';

/** Stage that density and food go by; without one it is told by the mean length. */
const stageFields = (question: PlanQuestion): QuestionField[] =>
  question['stage'] === undefined
    ? [number('meanLengthUm', say('plan.mean-length'), { unit: 'µm', hint: say('plan.by-count') })]
    : [
        {
          path: 'stage',
          label: say('result.stage'),
          as: 'choice',
          hint: say('plan.most-are'),
          options: ['d-larva', 'umbo', question['species'] === 'hard-clam' ? 'pediveliger' : 'eyed'],
        },
      ];

function stockingFields(question: PlanQuestion): QuestionField[] {
  const rows = listIn(question, 'tanks').flatMap((tank, i): QuestionField[] => [
    number(`tanks.${String(i)}.volumeMl`, say('plan.tank-volume', { tank: nameOf(tank) }), { unit: 'L', times: ML }),
    ...(tank['larvae'] === undefined ? [] : [amount(`tanks.${String(i)}.larvae`, say('plan.larvae'))]),
    number(`tanks.${String(i)}.flowLitresPerHour`, say('plan.flow', { tank: nameOf(tank) }), {
      unit: 'L/h',
      hint: say('plan.flow-hint'),
    }),
  ]);
  return [
    ...(question['larvae'] === undefined ? [] : [amount('larvae', say('plan.larvae'))]),
    ...stageFields(question),
    number('perMl', say('plan.per-ml'), { unit: say('plan.unit-per-ml'), hint: PRESET() }),
    ...rows,
  ];
}

const screeningFields = (): QuestionField[] => [
  amount('larvae', say('plan.larvae')),
  number('keepShare', say('plan.keep-share'), { unit: '%', times: 0.01, hint: PRESET() }),
  { path: 'screensUm', label: say('plan.screens'), as: 'numbers', unit: 'µm', hint: PRESET() },
  { path: 'lengthsUm', label: say('plan.lengths'), as: 'numbers', unit: 'µm', hint: say('plan.by-count') },
];

function rationFields(question: PlanQuestion): QuestionField[] {
  const rows = listIn(question, 'cultures').flatMap((one, i): QuestionField[] => [
    number(`cultures.${String(i)}.cellsPerMl`, say('plan.culture-density', { name: nameOf(one) }), {
      unit: say('plan.cells-per-ml'),
      hint: say('plan.last-reading'),
    }),
    number(`cultures.${String(i)}.share`, say('plan.culture-share', { name: nameOf(one) }), {
      unit: '%',
      times: 0.01,
      hint: say('plan.all-or-none'),
    }),
  ]);
  return [
    amount('larvae', say('plan.larvae')),
    number('volumeMl', say('plan.water'), { unit: 'L', times: ML, hint: say('plan.by-record') }),
    ...stageFields(question),
    ...(question['stage'] === undefined
      ? []
      : [number('meanLengthUm', say('plan.mean-length'), { unit: 'µm', hint: say('plan.by-count') })]),
    number('targetCellsPerMl', say('plan.target-cells'), { unit: say('plan.cells-per-ml'), hint: PRESET() }),
    number('leftCellsPerMl', say('plan.left-cells'), { unit: say('plan.cells-per-ml'), hint: say('plan.empty-none') }),
    ...rows,
  ];
}

const readinessFields = (question: PlanQuestion): QuestionField[] => [
  amount('larvae', say('plan.larvae')),
  { path: 'days', label: say('plan.days'), as: 'numbers', hint: say('plan.by-record') },
  { path: 'lengthsUm', label: say('plan.mean-lengths'), as: 'numbers', unit: 'µm', hint: say('plan.by-record') },
  number('settingLengthUm', say('plan.setting-length'), { unit: 'µm', hint: PRESET() }),
  number('shareAbove', say('plan.share-above'), { unit: '%', times: 0.01, hint: PRESET() }),
  number('temperatureC', say('plan.temperature'), { unit: '°C', hint: say('plan.mean-noted') }),
  ...(listIn(question, 'eyed').length === 0
    ? []
    : [
        number('eyed.0.positive', say('plan.eyed'), { hint: say('plan.by-count') }),
        number('eyed.0.of', say('plan.eyed-of'), { hint: say('plan.by-count') }),
      ]),
];

const settingFields = (question: PlanQuestion): QuestionField[] => [
  amount('larvae', say('plan.larvae')),
  number('shells', say('plan.shells'), { hint: say('plan.or-bags') }),
  number('bags', say('plan.bags'), { hint: say('plan.or-shells') }),
  number('shellsPerBag', say('plan.shells-per-bag'), { hint: PRESET() }),
  number('targetPerShell', say('plan.per-shell'), { hint: PRESET() }),
  { path: 'efficiency', label: say('plan.efficiency'), as: 'share', unit: '%', times: 0.01, hint: PRESET() },
  ...listIn(question, 'ownSets').flatMap((_, i): QuestionField[] => [
    number(`ownSets.${String(i)}.larvae`, say('plan.past-larvae', { n: i + 1 }), { hint: say('plan.by-record') }),
    number(`ownSets.${String(i)}.spat`, say('plan.past-spat', { n: i + 1 }), { hint: say('plan.by-record') }),
  ]),
];

const packingFields = (): QuestionField[] => [
  amount('larvae', say('plan.larvae')),
  { path: 'by', label: say('plan.by'), as: 'choice', options: ['count', 'volume', 'weight'] },
  number('perPackage', say('plan.per-package')),
  number('packages', say('plan.packages'), { hint: say('plan.empty-all') }),
  number('suspensionMl', say('plan.suspension'), { unit: 'mL', hint: say('plan.for-count') }),
  number('sample.larvae', say('plan.sample-larvae')),
  number('sample.ml', say('plan.sample-ml'), { unit: 'mL', hint: say('plan.for-volume') }),
  number('sample.grams', say('plan.sample-grams'), { unit: 'g', hint: say('plan.for-weight') }),
  number('daysUnderway', say('plan.days-underway')),
];

function eggPoolFields(question: PlanQuestion): QuestionField[] {
  const pool = question['pool'] as { readonly subsamples?: readonly unknown[] } | undefined;
  return [
    number('pool.container.volumeMl', say('plan.pool-volume'), { unit: 'L', times: ML, hint: say('plan.by-count') }),
    ...(pool?.subsamples ?? []).flatMap((_, i): QuestionField[] => [
      number(`pool.subsamples.${String(i)}.count`, say('plan.filling-count', { n: i + 1 }), {
        hint: say('plan.by-count'),
      }),
      number(`pool.subsamples.${String(i)}.volumeMl`, say('plan.filling-volume', { n: i + 1 }), { unit: 'mL' }),
    ]),
    ...listIn(question, 'tanks').flatMap((tank, i): QuestionField[] => [
      number(`tanks.${String(i)}.volumeMl`, say('plan.tank-volume', { tank: nameOf(tank) }), { unit: 'L', times: ML }),
      number(`tanks.${String(i)}.perMl`, say('plan.eggs-per-ml', { tank: nameOf(tank) }), { hint: PRESET() }),
    ]),
  ];
}

const breedersFields = (question: PlanQuestion): QuestionField[] =>
  (['sires', 'dams'] as const).flatMap((sex) =>
    listIn(question, sex).map((one, i) =>
      number(`${sex}.${String(i)}.share`, say(`plan.share-of-${sex}`, { name: nameOf(one) }), {
        unit: '%',
        times: 0.01,
        hint: say('plan.by-record'),
      }),
    ),
  );

/** What may be changed in a question, in the order it is asked. */
export function fieldsOf(question: PlanQuestion): QuestionField[] {
  switch (question.kind) {
    case 'stocking':
      return stockingFields(question);
    case 'screening':
      return screeningFields();
    case 'ration':
      return rationFields(question);
    case 'readiness':
      return readinessFields(question);
    case 'setting':
      return settingFields(question);
    case 'packing':
      return packingFields();
    case 'egg-pool':
      return eggPoolFields(question);
    case 'breeders':
      return breedersFields(question);
    default:
      return [];
  }
}
