const KELVIN = 273.15;

/**
 * How many times faster a rate is at one temperature than at another: exp(T_A/T_from - T_A/T_to), temperatures in kelvin
 * (Arrhenius). Holds within the range in which the animal thrives.
 *
 * @param fromC temperature of the rate that is known, C
 * @param toC temperature asked for, C
 * @param arrheniusK T_A in kelvin
 */
export const arrheniusFactor = (fromC: number, toC: number, arrheniusK: number): number =>
  Math.exp(arrheniusK / (fromC + KELVIN) - arrheniusK / (toC + KELVIN));
