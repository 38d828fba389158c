import type { FigureBook } from '@veligrid/hatchery';

/** Names that people write for an alga of the presets. */
const ALSO: Readonly<Record<string, string>> = {
  'tisochrysis-lutea': 't-iso',
  'isochrysis-affinis-galbana': 't-iso',
  'isochrysis-aff-galbana': 't-iso',
  'diacronema-lutheri': 'pavlova-lutheri',
  'chaetoceros-mulleri': 'chaetoceros-muelleri',
  'chaetoceros-mülleri': 'chaetoceros-muelleri',
};

/** Algae that a book has figures of, longest names first. */
const knownAlgae = (book: FigureBook): string[] =>
  [...new Set([...book.keys()].flatMap((name) => /^algae\.([^.]+)\./.exec(name)?.[1] ?? []))].toSorted(
    (a, b) => b.length - a.length,
  );

/** The alga of the presets that a name stands for, such as `t-iso` for "Tisochrysis lutea"; null when there is none. */
export function algaOf(name: string, book: FigureBook): string | null {
  const plain = name
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, '-')
    .replaceAll(/^-|-$/g, '');
  const meant = ALSO[plain] ?? plain;
  return knownAlgae(book).find((alga) => meant === alga || meant.startsWith(`${alga}-`)) ?? null;
}
