import type { Warning } from '@veligrid/model';
import { figure, numberOf, type FigureBook } from '../presets/figure-book.js';
import { raised, usedFigures, type Plan } from './answer.js';
import { caution } from './cautions.js';
import { checkDifferent } from './checks.js';
import { effectiveNumber, effectiveOfSex, inbreedingPerGeneration } from './effective-breeders.js';
import { kinships, type PedigreeAnimal } from './kinship.js';
import { ruleWarning } from './sentences.js';

/** An animal that breeds, with its share of the progeny or number of offspring. */
export interface Breeder {
  readonly animal: string;
  readonly share?: number;
}

/** A male and a female. */
export interface Pairing {
  readonly sire: string;
  readonly dam: string;
}

/** Breeders of a spawn. */
export interface BreedersQuestion {
  /** How many, or which. */
  readonly sires: number | readonly Breeder[];
  readonly dams: number | readonly Breeder[];
  readonly pedigree?: readonly PedigreeAnimal[];
  /** Crosses that are thought of; all that were not tried when both sexes are listed, by default. */
  readonly proposed?: readonly Pairing[];
  readonly tried?: readonly Pairing[];
  /** Animals come from or go to elsewhere. */
  readonly moved?: boolean;
}

/** A cross with how related its parents are, which is the inbreeding of its offspring. */
export interface JudgedPairing extends Pairing {
  readonly kinship: number | null;
  readonly tried: boolean;
}

/** What the breeders are worth, and which crosses remain. */
export interface BreedersPlan extends Plan {
  readonly sires: { readonly number: number; readonly effective: number };
  readonly dams: { readonly number: number; readonly effective: number };
  /** With the shares as given, or as if equal. */
  readonly effective: number;
  readonly asIfEqual: number;
  readonly sharesKnown: boolean;
  readonly inbreedingPerGeneration: number;
  /** Pairings that are possible: sires x dams. */
  readonly pairings: number;
  readonly proposed: readonly JudgedPairing[];
  /** Not tried yet, the least related first; null when the animals are not listed. */
  readonly untried: readonly JudgedPairing[] | null;
  /** Mean kinship of the proposed crosses; null without a pedigree. */
  readonly meanKinship: number | null;
}

const numberIn = (sex: BreedersQuestion['sires']): number => (typeof sex === 'number' ? sex : sex.length);

const sharesIn = (sex: BreedersQuestion['sires']): number | number[] =>
  typeof sex === 'number' || sex.every(({ share }) => share === undefined)
    ? numberIn(sex)
    : sex.map(({ share = 0 }) => share);

const allPairings = ({ sires, dams }: BreedersQuestion): Pairing[] | null =>
  typeof sires === 'number' || typeof dams === 'number'
    ? null
    : sires.flatMap(({ animal: sire }) => dams.map(({ animal: dam }) => ({ sire, dam })));

function checkNames(name: string, sex: BreedersQuestion['sires']): void {
  if (typeof sex === 'number') return;
  checkDifferent(
    name,
    sex.map(({ animal }) => animal),
  );
}

const meanOf = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((a, b) => a + b, 0) / values.length;

/** The least related first. */
const leastRelated = (pairs: readonly JudgedPairing[]): JudgedPairing[] =>
  pairs.toSorted((a, b) => (a.kinship ?? 0) - (b.kinship ?? 0));

const same = (a: Pairing, b: Pairing): boolean => a.sire === b.sire && a.dam === b.dam;

function breederWarnings(
  related: readonly JudgedPairing[],
  limit: number,
  plan: Pick<BreedersPlan, 'sharesKnown' | 'proposed' | 'effective'>,
): Warning[] {
  return raised([
    !plan.sharesKnown && ruleWarning('shares-assumed-equal', { breeders: plan.effective }),
    ...related.map(({ sire, dam, kinship }) =>
      ruleWarning('related-cross', { sire, dam, kinship: kinship ?? 0, limit }),
    ),
    ...plan.proposed.filter(({ tried }) => tried).map(({ sire, dam }) => ruleWarning('tried-before', { sire, dam })),
  ]);
}

/**
 * Effective number of breeders 4 Nm Nf/(Nm + Nf) with unequal shares as 1/sum q^2 of each sex, kinship of proposed crosses
 * from the pedigree, and the pairings that were not tried.
 *
 * @param book for `breeders.kinship-limit`
 * @throws VeligridError `bad-argument` for numbers, shares or pedigrees that can not be
 */
export function breeders(question: BreedersQuestion, book: FigureBook): BreedersPlan {
  const { sires, dams, pedigree, tried = [], moved = false } = question;
  checkNames('sires', sires);
  checkNames('dams', dams);
  const [nm, nf] = [numberIn(sires), numberIn(dams)];
  const [males, females] = [effectiveOfSex(sharesIn(sires), 'sires'), effectiveOfSex(sharesIn(dams), 'dams')];
  const limit = figure(book, 'breeders.kinship-limit');
  const kin = pedigree === undefined ? null : kinships(pedigree);
  const judge = (pair: Pairing): JudgedPairing => ({
    ...pair,
    kinship: kin === null ? null : kin.of(pair.sire, pair.dam),
    tried: tried.some((one) => same(one, pair)),
  });
  const all = allPairings(question);
  const untried = all === null ? null : leastRelated(all.map(judge).filter((pair) => !pair.tried));
  const proposed = (question.proposed ?? []).map(judge);
  const effective = effectiveNumber(males, females);
  const sharesKnown = typeof sharesIn(sires) !== 'number' && typeof sharesIn(dams) !== 'number';
  const known = proposed.flatMap(({ kinship }) => (kinship === null ? [] : [kinship]));
  const related = proposed.filter(({ kinship }) => kinship !== null && kinship >= numberOf(limit));
  return {
    sires: { number: nm, effective: males },
    dams: { number: nf, effective: females },
    effective,
    asIfEqual: effectiveNumber(nm, nf),
    sharesKnown,
    inbreedingPerGeneration: inbreedingPerGeneration(effective),
    pairings: nm * nf,
    proposed,
    untried,
    meanKinship: meanOf(known),
    figures: usedFigures([pedigree === undefined ? null : limit]),
    warnings: breederWarnings(related, numberOf(limit), { sharesKnown, proposed, effective }),
    cautions: moved ? [caution('moving-live-animals')] : [],
  };
}
