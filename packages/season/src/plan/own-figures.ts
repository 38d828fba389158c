import {
  figureBook,
  parseFigures,
  type Figure,
  type FigureBook,
  type FigurePreset,
  type FigureValue,
} from '@veligrid/hatchery';
import { badArgument, VeligridError } from '@veligrid/model';
import type { Entered, JsonObject, Parts, RulesFields } from '@veligrid/storage';
import { shippedPresets } from './load-figures.js';

/** Name that a hatchery's own figures are printed under. */
const OWN = 'own figures';

/** What one version of the own figures changed. */
export interface FigureChange {
  readonly name: string;
  /** What it became; null when the shipped one came back. */
  readonly value: FigureValue | null;
  readonly why: string;
  readonly by: string;
  readonly at: string;
}

/** A hatchery's own figures for a species as they stand. */
export interface OwnFigures {
  /** Of the version, as `rules` keeps it. */
  readonly id: string;
  readonly preset: FigurePreset;
}

/** Where the record of rules keeps own figures: staging presets of the same kind have the species' plain name. */
const keptAs = (species: string): Pick<RulesFields, 'kind' | 'name'> => ({
  kind: 'species-preset',
  name: `figures:${species}`,
});

/** Own figures of a species; null when the hatchery never changed one. */
export async function ownFiguresOf({ rules }: Pick<Parts, 'rules'>, species: string): Promise<OwnFigures | null> {
  const { kind, name } = keptAs(species);
  const kept = await rules.latest(kind, name);
  return kept === null ? null : { id: kept.id, preset: parseFigures(kept.content) };
}

const changeIn = ({ content, by, at }: Entered<RulesFields>): FigureChange => {
  const { name, value, why } = content['change'] as unknown as Pick<FigureChange, 'name' | 'value' | 'why'>;
  return { name, value, why, by, at };
};

/** Every change of own figures of a species, oldest first. */
export async function figureChanges({ rules }: Pick<Parts, 'rules'>, species: string): Promise<FigureChange[]> {
  const { kind, name } = keptAs(species);
  return (await rules.list(kind)).filter((one) => one.name === name).map(changeIn);
}

/** The unit of a figure, or for one of the house's own algae that of the same figure of another alga. */
function unitFor(book: FigureBook, name: string): string {
  const ending = name.split('.').at(-1) ?? '';
  const like = book.get(name) ?? [...book.values()].find((one) => one.name.endsWith(`.${ending}`));
  return like?.unit ?? 'um';
}

/** A figure as somebody sets it. @throws VeligridError `bad-argument` for a name or shape that is not known */
export function figureSet(
  book: FigureBook,
  { name, value, why }: Pick<FigureChange, 'name' | 'why'> & { readonly value: FigureValue },
  from: Pick<FigurePreset, 'name' | 'version'>,
): Figure {
  const about = book.get(name)?.about;
  const row = { name, value, unit: unitFor(book, name), source: why, confidence: 'own', ...(about && { about }) };
  const preset = parseFigures({ format: 'veligrid-figures-1', title: from.name, ...from, figures: [row] });
  figureBook([{ ...preset, figures: [...book.values()] }], [preset]);
  const [set] = preset.figures;
  if (set === undefined) throw new Error(`${name} was not set`);
  return set;
}

/** A change of one figure, by somebody who saw how often it was changed before. */
export interface FigureToSet {
  readonly species: string;
  readonly name: string;
  /** Null goes back to the shipped one. */
  readonly value: FigureValue | null;
  readonly why: string;
  /** How often this figure had been changed when it was looked at. */
  readonly changes: number;
}

async function checkUnchanged(parts: Pick<Parts, 'rules'>, { species, name, changes }: FigureToSet): Promise<void> {
  const before = (await figureChanges(parts, species)).filter((one) => one.name === name);
  if (before.length === changes) return;
  const who = before.at(-1)?.by ?? 'Somebody';
  throw new VeligridError('changed-meanwhile', `${who} changed this figure in the meantime. Look at it again.`);
}

/** A figure as files have it: without the preset that it stands in. */
function rowOf({ name, value, unit, about, source, confidence }: Figure): JsonObject {
  return { name, value, unit, ...(about !== undefined && { about }), source, confidence };
}

/**
 * Sets one of the hatchery's own figures, or goes back to the shipped one. Every version stays.
 *
 * @throws VeligridError `bad-argument` for a figure or value that can't be, `changed-meanwhile`
 */
export async function setOwnFigure(parts: Pick<Parts, 'rules'>, by: string, wanted: FigureToSet): Promise<void> {
  const { species, name, value, why } = wanted;
  const shipped = await shippedPresets(species);
  await checkUnchanged(parts, wanted);
  const own = await ownFiguresOf(parts, species);
  const others = (own?.preset.figures ?? []).filter((one) => one.name !== name);
  if (value === null && others.length === (own?.preset.figures.length ?? 0)) {
    throw badArgument('name', 'a figure that was changed, to go back to the shipped one', name);
  }
  const version = String(Number(own?.preset.version ?? 0) + 1);
  const set = value === null ? [] : [figureSet(figureBook(shipped), { name, value, why }, { name: OWN, version })];
  const rows = [...others, ...set].map(rowOf);
  const content = { format: 'veligrid-figures-1', name: OWN, title: `Own figures, ${species}`, version, figures: rows };
  const change = { name, value, why };
  await parts.rules.append({ ...keptAs(species), version, content: { ...content, change } }, { by, why });
}
