import { VeligridError } from '@veligrid/model';
import { CONFIDENCES, type Figure, type FigurePreset, type FigureValue } from './figure-book.js';

type Unchecked = Readonly<Record<string, unknown>>;

function refuse(reason: string): never {
  throw new VeligridError(
    'bad-argument',
    `The file of figures can't be used: ${reason}. Correct it after the pattern of packages/hatchery/presets.`,
  );
}

const isObject = (value: unknown): value is Unchecked =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const isText = (value: unknown): value is string => typeof value === 'string' && value !== '';
const isAmount = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value) && value >= 0;
const isPoint = (value: unknown): value is readonly [number, number] =>
  Array.isArray(value) && value.length === 2 && value.every(isAmount);

function valueOf(name: string, value: unknown): FigureValue {
  if (isAmount(value)) return value;
  if (!Array.isArray(value) || value.length === 0) {
    return refuse(`the value of ${name} must be a number of 0 or more, a list of them, or a list of points`);
  }
  const rows: readonly unknown[] = value;
  const firsts = rows.every(isPoint) ? rows.map(([x]) => x) : rows.every(isAmount) ? rows : null;
  if (firsts === null) return refuse(`the value of ${name} must hold numbers of 0 or more, or points of two such`);
  if (firsts.some((x, i) => i > 0 && x <= (firsts[i - 1] ?? 0))) return refuse(`the value of ${name} must rise`);
  return rows as FigureValue;
}

function figureOf(row: unknown, preset: string, version: string): Figure {
  if (!isObject(row)) return refuse('figures must be objects');
  const { name, value, unit, about, source, confidence } = row;
  if (!isText(name)) return refuse('every figure needs a name');
  if (!isText(source)) return refuse(`${name} needs a source`);
  const known = CONFIDENCES.find((one) => one === confidence);
  if (known === undefined) return refuse(`the confidence of ${name} must be one of: ${CONFIDENCES.join('; ')}`);
  if (!isText(unit)) return refuse(`${name} needs a unit`);
  const words = isText(about) ? { about } : {};
  return { name, value: valueOf(name, value), unit, ...words, source, confidence: known, preset, version };
}

/**
 * Checks what was read from a file of figures, a shipped preset or a hatchery's own.
 *
 * @param parsed object of format `veligrid-figures-1` with name, title, version and figures
 * @throws VeligridError `bad-argument` that says what is wrong with it
 */
export function parseFigures(parsed: unknown): FigurePreset {
  if (!isObject(parsed) || parsed['format'] !== 'veligrid-figures-1') {
    return refuse('its format is not "veligrid-figures-1"');
  }
  const { name, title, version, figures } = parsed;
  if (!isText(name) || !isText(title) || !isText(version)) return refuse('name, title or version is missing');
  if (!Array.isArray(figures)) return refuse('figures are missing');
  const read = figures.map((row: unknown) => figureOf(row, name, version));
  const names = read.map((one) => one.name);
  const twice = names.find((one, i) => names.indexOf(one) !== i);
  if (twice !== undefined) return refuse(`${twice} stands in it twice`);
  return { name, title, version, figures: read };
}
