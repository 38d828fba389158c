import type { Plan } from '@veligrid/api';
import type { EntryText } from '../entries/entry-field.js';
import type { MoveChoice } from '../entries/move-fields.js';
import type { ShownLimits } from '../words/limits.js';
import { threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

/** Something that may be recorded after a plan: what was done, with what the plan says filled in. */
export interface RecordOffer {
  readonly title: string;
  readonly kinds: readonly MoveChoice[];
  readonly start: EntryText;
}

/** A number with its limits as they stand in the fields of a move. */
function numberText({ estimate, low, high }: ShownLimits): EntryText {
  const number = String(Math.round(estimate));
  if (low === estimate && high === estimate) return { number };
  return { number, low: String(Math.round(low)), high: String(Math.round(high)) };
}

const textOf = (value: unknown): string => (typeof value === 'number' ? String(value) : '');

function stocking(plan: Plan): RecordOffer[] {
  const { answer, tank, question } = plan;
  if (answer.kind !== 'stocking') return [];
  if (question['larvae'] === undefined) {
    return answer.tanks
      .filter(({ takeOut }) => takeOut.estimate > 0)
      .map(({ name, takeOut }) => ({
        title: say('offer.thin', { tank: name, number: threeFigures(takeOut.estimate) }),
        kinds: ['split', 'cull'],
        start: numberText(takeOut),
      }));
  }
  return answer.tanks
    .filter(({ name, larvae }) => name !== tank?.name && larvae.estimate > 0)
    .map(({ name, larvae }) => ({
      title: say('offer.into', { tank: name, number: threeFigures(larvae.estimate) }),
      kinds: ['split', 'merge', 'stock'],
      start: { to: name, ...numberText(larvae) },
    }));
}

function screening({ answer }: Plan): RecordOffer[] {
  if (answer.kind !== 'screening' || answer.chosenUm === null) return [];
  const { chosenUm } = answer;
  const chosen = answer.screens.find(({ apertureUm }) => apertureUm === chosenUm);
  const screen = { screen_um: String(chosenUm) };
  const lost = chosen?.lostNumber ?? null;
  const kept = chosen?.keptNumber ?? null;
  return [
    {
      title: say('offer.drop', { screen: threeFigures(chosenUm) }),
      kinds: ['drop'],
      start: { ...screen, ...(kept === null ? {} : numberText(kept)) },
    },
    ...(lost === null || lost.estimate < 1
      ? []
      : [
          {
            title: say('offer.cull', { screen: threeFigures(chosenUm), number: threeFigures(lost.estimate) }),
            kinds: ['cull'] as const,
            start: { ...screen, ...numberText(lost) },
          },
        ]),
  ];
}

function setting({ answer, question }: Plan): RecordOffer[] {
  if (answer.kind !== 'setting') return [];
  const number = answer.needed === null ? {} : numberText(answer.needed.larvae);
  const shells = textOf(answer.cultch?.shells ?? question['shells']);
  const bags = textOf(question['bags']);
  return [
    {
      title: say('offer.set'),
      kinds: ['set'],
      start: { ...number, cultch: say('cultch.whole'), ...(shells && { shells }), ...(bags && { bags }) },
    },
  ];
}

function packing({ answer, question }: Plan): RecordOffer[] {
  if (answer.kind !== 'packing') return [];
  const packages = typeof question['packages'] === 'number' ? question['packages'] : answer.packages.estimate;
  const number = packages * answer.larvaePerPackage.estimate;
  return [{ title: say('offer.ship'), kinds: ['ship'], start: { number: String(Math.round(number)) } }];
}

const eggPool = ({ answer, batch }: Plan): RecordOffer[] =>
  answer.kind === 'egg-pool'
    ? answer.tanks.map(({ name, eggs }) => ({
        title: say('offer.stock', { tank: name, number: threeFigures(eggs) }),
        kinds: ['stock'],
        start: { to: name, number: String(Math.round(eggs)), ...(batch === null ? {} : { batch: batch.name }) },
      }))
    : [];

/** What may be recorded after a plan was done; nothing is recorded without a further click. */
export const recordOffers = (plan: Plan): RecordOffer[] => [
  ...stocking(plan),
  ...screening(plan),
  ...setting(plan),
  ...packing(plan),
  ...eggPool(plan),
];
