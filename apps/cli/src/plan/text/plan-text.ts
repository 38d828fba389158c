import type { Figure } from '@veligrid/hatchery';
import type { PlanAnswer } from '@veligrid/season';
import { feedSheetLines, rationLines } from './feed-text.js';
import { breedersLines, packingLines, readinessLines, settingLines } from './set-text.js';
import { eggPoolLines, growthLines, screeningLines, stockingLines, survivalLines } from './stock-text.js';

function lines(answer: PlanAnswer): string[] {
  switch (answer.kind) {
    case 'egg-pool':
      return eggPoolLines(answer);
    case 'stocking':
      return stockingLines(answer);
    case 'survival':
      return survivalLines(answer);
    case 'growth':
      return growthLines(answer);
    case 'screening':
      return screeningLines(answer);
    case 'ration':
      return rationLines(answer);
    case 'feed-sheet':
      return feedSheetLines(answer);
    case 'readiness':
      return readinessLines(answer);
    case 'setting':
      return settingLines(answer);
    case 'packing':
      return packingLines(answer);
    case 'breeders':
      return breedersLines(answer);
  }
}

const valueWords = (value: Figure['value']): string =>
  typeof value === 'number'
    ? String(value)
    : value.map((row) => (typeof row === 'number' ? String(row) : row.join(': '))).join(', ');

const figureLine = ({ name, value, unit, preset, version, source, confidence }: Figure): string =>
  `  ${name} ${valueWords(value)} (${unit}); ${preset} ${version}, ${confidence}: ${source}`;

/** The answer for people: figures to three digits, limits rounded outward, then warnings, presets and cautions. */
export function planText(answer: PlanAnswer): string {
  const { level, species, warnings, figures, cautions } = answer;
  return `${[
    ...lines(answer),
    '',
    `Limits in brackets hold at ${Number((level * 100).toFixed(2))} %; they cover the counts and efficiencies that have limits, not the presets. Species: ${species}.`,
    ...warnings.map(({ code, message }) => `! ${message} [${code}]`),
    ...(figures.length === 0 ? [] : ['Presets used:', ...figures.map(figureLine)]),
    ...cautions.map(({ message, source }) => `Caution: ${message} (${source})`),
  ].join('\n')}\n`;
}
