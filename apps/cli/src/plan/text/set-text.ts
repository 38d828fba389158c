import { threeFigures } from '../../limits-text.js';
import type { AnswerOf } from '@veligrid/season';
import { asTyped, limitsWords, line, shareWords, tableLines } from './words.js';

/** Readiness. */
export function readinessLines(a: AnswerOf<'readiness'>): string[] {
  const day = (value: number | null): string => (value === null ? 'never' : threeFigures(value));
  return [
    `Ready when ${asTyped(100 * a.shareAbove)} % are above ${asTyped(a.settingLengthUm)} um: at a mean length of ${threeFigures(a.targetMeanUm)} um.`,
    '',
    ...tableLines([
      ['way of growing', 'day', 'day a new sample shows it'],
      ...a.models.map(({ model, dayToTarget, dayToTargetNewSample }) => [
        model,
        dayToTarget === null ? 'none' : limitsWords(dayToTarget),
        dayToTargetNewSample === null ? '-' : limitsWords(dayToTargetNewSample),
      ]),
    ]),
    '',
    a.window === null
      ? 'No day can be given by the growth of this batch.'
      : `Plan for any day from ${threeFigures(a.window.earliestDay, Math.floor)} to ${threeFigures(a.window.latestDay, Math.ceil)}.`,
    `Species band at ${asTyped(a.band.temperatureC)} C: day ${day(a.band.fastDay)} at the fast edge, ${day(a.band.slowDay)} at the slow.`,
    ...(a.aboveNow === null ? [] : [line('Above that length now', shareWords(a.aboveNow))]),
    ...(a.eyed === null ? [] : [line('Eyed now', shareWords(a.eyed.share))]),
    ...(a.eyed?.number ? [line('Eyed larvae', limitsWords(a.eyed.number))] : []),
  ];
}

/** Setting. */
export function settingLines(a: AnswerOf<'setting'>): string[] {
  return [
    line('Setting efficiency', `${shareWords(a.efficiency.share)} (${a.efficiency.basis})`),
    ...(a.cultch === null
      ? []
      : [
          line(
            'Cultch',
            `${threeFigures(a.cultch.shells)} shells = ${threeFigures(a.cultch.bags)} bags = ${threeFigures(a.cultch.bushels)} bushels`,
          ),
        ]),
    ...(a.needed === null
      ? []
      : [
          line(`Larvae for ${asTyped(a.targetPerShell)} a shell`, limitsWords(a.needed.larvae)),
          line('  for each shell', limitsWords(a.needed.perShell)),
          line('  for each bag', limitsWords(a.needed.perBag)),
        ]),
    ...(a.expected === null ? [] : expectedLines(a.expected, a.targetPerShell)),
    ...(a.microcultch === null
      ? []
      : [
          line('Grains', threeFigures(a.microcultch.grains)),
          line('Spat on a grain', limitsWords(a.microcultch.spatPerGrain)),
          line('Of these two or more', shareWords(a.microcultch.doubles)),
          line('Single spat', limitsWords(a.microcultch.singles)),
        ]),
    ...(a.larvaePerM2 === null ? [] : [line('Larvae per m2', limitsWords(a.larvaePerM2))]),
  ];
}

const expectedLines = (
  { spat, spatPerShell, serves }: NonNullable<AnswerOf<'setting'>['expected']>,
  target: number,
): string[] => [
  line('Spat from the larvae', limitsWords(spat)),
  ...(spatPerShell === null ? [] : [line('Spat on a shell', limitsWords(spatPerShell))]),
  line(`Enough, at ${asTyped(target)} a shell, for`, `${limitsWords(serves.shells)} shells`),
  line('', `${limitsWords(serves.bags)} bags`),
  line('', `${limitsWords(serves.bushels)} bushels`),
];

/** Packing. */
export const packingLines = (a: AnswerOf<'packing'>): string[] => {
  const unit = a.unit.split(' ')[0] ?? '';
  return [
    line(`Larvae in one ${unit}`, limitsWords(a.larvaePerUnit)),
    line('For a package take', `${threeFigures(a.perPackage)} ${a.unit}`),
    line('It then holds', `${limitsWords(a.larvaePerPackage)} larvae`),
    line('To be sure of the number', `${threeFigures(a.perPackageForSure, Math.ceil)} ${a.unit}`),
    line('Packages', `${a.packages.estimate} (${a.packages.low} to ${a.packages.high})`),
    line('Larvae left', limitsWords(a.left)),
  ];
};

/** Most rows of crosses that are printed for people. */
const MOST = 30;

/** Breeders. */
export function breedersLines(a: AnswerOf<'breeders'>): string[] {
  const kin = (value: number | null): string => (value === null ? '-' : threeFigures(value));
  const untried = a.untried ?? [];
  return [
    line('Males', `${a.sires.number}, as good as ${threeFigures(a.sires.effective)}`),
    line('Females', `${a.dams.number}, as good as ${threeFigures(a.dams.effective)}`),
    line(
      'Effective number',
      `${threeFigures(a.effective)}${a.sharesKnown ? `, ${threeFigures(a.asIfEqual)} if all gave the same` : ', if all give the same'}`,
    ),
    line('Inbreeding it adds', `${threeFigures(100 * a.inbreedingPerGeneration)} % a generation`),
    line('Pairings possible', String(a.pairings)),
    ...(a.proposed.length === 0
      ? []
      : [
          '',
          'Proposed crosses:',
          ...tableLines([
            ['cross', 'kinship', 'tried'],
            ...a.proposed.map(({ sire, dam, kinship, tried }) => [
              `${sire} x ${dam}`,
              kin(kinship),
              tried ? 'yes' : 'no',
            ]),
          ]),
        ]),
    ...(untried.length === 0
      ? []
      : [
          '',
          `Not tried yet, the least related first${untried.length > MOST ? ` (${MOST} of ${untried.length})` : ''}:`,
          ...tableLines([
            ['cross', 'kinship'],
            ...untried.slice(0, MOST).map(({ sire, dam, kinship }) => [`${sire} x ${dam}`, kin(kinship)]),
          ]),
        ]),
  ];
}
