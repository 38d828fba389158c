import { checkAbove0 } from './checks.js';

/** Height from length: H = factor x L^exponent, micrometres. */
export interface Allometry {
  readonly factor: number;
  readonly exponent: number;
}

/** Height of a shell from its length by an allometric line, both in micrometres; all above 0. */
export function allometricHeight(lengthUm: number, { factor, exponent }: Allometry): number {
  checkAbove0('a length', lengthUm);
  checkAbove0('factor', factor);
  checkAbove0('exponent', exponent);
  return factor * lengthUm ** exponent;
}
