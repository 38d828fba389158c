import { badArgument } from '@veligrid/model';
import { ratioLimits, sumLimits, type Limits } from '@veligrid/estimation';
import { checkAmount, checkSome } from './amount.js';

/** Animals held on one screen. */
export interface ScreenClass {
  /** Opening of the screen that held them; 0 for those that passed every screen. */
  readonly apertureUm: number;
  readonly number: Limits;
}

/** All classes together. */
export interface ClassSummary {
  readonly total: Limits;
  /** Mean opening weighted by the numbers held, micrometres; null when nothing was held. */
  readonly meanApertureUm: number | null;
  readonly shares: readonly { readonly apertureUm: number; readonly share: Limits }[];
}

/**
 * Total over screen classes and the mean opening weighted by number, sum(n a)/sum n over what the screens held.
 *
 * @throws VeligridError `bad-argument` for two classes of one opening, or nothing in them
 */
export function screenClasses(classes: readonly ScreenClass[]): ClassSummary {
  const openings = classes.map(({ apertureUm }) => apertureUm);
  const twice = openings.find((one, i) => openings.indexOf(one) !== i);
  if (twice !== undefined) throw badArgument('classes', 'screens of different openings', twice);
  for (const { apertureUm, number } of classes) checkAmount(`the number on ${apertureUm} um`, number);
  const total = sumLimits(classes.map(({ number }) => number));
  checkSome('the number in all classes', total);
  const held = classes.filter(({ apertureUm, number }) => apertureUm > 0 && number.estimate > 0);
  const weighted = held.reduce((sum, { apertureUm, number }) => sum + apertureUm * number.estimate, 0);
  const number = held.reduce((sum, one) => sum + one.number.estimate, 0);
  return {
    total,
    meanApertureUm: number === 0 ? null : weighted / number,
    shares: classes.map(({ apertureUm, number: own }) => {
      const rest = sumLimits(classes.filter((one) => one.apertureUm !== apertureUm).map((one) => one.number));
      // A share of itself and the rest, so that its own error does not count twice: 1/(1 + rest/own).
      const odds = own.estimate === 0 ? null : ratioLimits(rest, own);
      const share =
        odds === null
          ? { estimate: 0, low: 0, high: own.high / (own.high + rest.estimate) }
          : { estimate: 1 / (1 + odds.estimate), low: 1 / (1 + odds.high), high: 1 / (1 + odds.low) };
      return { apertureUm, share };
    }),
  };
}
