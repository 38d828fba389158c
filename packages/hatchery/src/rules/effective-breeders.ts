import { badArgument } from '@veligrid/model';

/** Breeders of one sex: their number, or the share (or offspring) of each. */
export type Contribution = number | readonly number[];

/**
 * Effective number of one sex: 1/sum q^2 with q the share of progeny of each (Lacy 1989, Zoo Biology 8:111); with equal
 * shares their number.
 *
 * @param breeders a whole number, or shares or numbers of offspring, 0 or more and not all 0
 */
export function effectiveOfSex(breeders: Contribution, name: string): number {
  if (typeof breeders === 'number') {
    if (!(Number.isInteger(breeders) && breeders >= 1))
      throw badArgument(name, 'a whole number of 1 or more', breeders);
    return breeders;
  }
  const all = breeders.reduce((a, b) => a + b, 0);
  const bad = breeders.find((share) => !(share >= 0 && share < Infinity));
  if (bad !== undefined || !(all > 0)) throw badArgument(name, 'shares of 0 or more, not all 0', bad ?? all);
  return 1 / breeders.reduce((sum, share) => sum + (share / all) ** 2, 0);
}

/** 4 Nm Nf/(Nm + Nf) (Wright 1931, Genetics 16:97). */
export const effectiveNumber = (males: number, females: number): number => (4 * males * females) / (males + females);

/** Inbreeding that one generation adds: 1/(2 Ne) (Wright 1931). */
export const inbreedingPerGeneration = (effective: number): number => 1 / (2 * effective);
