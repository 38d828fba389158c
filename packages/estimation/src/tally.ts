import { badArgument, type ConfirmedCount, type ConfirmedObject } from '@veligrid/model';

declare const signed: unique symbol;

/** A number of animals that a person stands for. A plain number is refused by the compiler. */
export type Tally = number & { readonly [signed]: 'tally' };

/** Lengths in micrometres of animals that a person has confirmed. */
export type SignedLengths = readonly number[] & { readonly [signed]: 'lengths' };

/** More than this is a typing error: no slide holds it. */
const MOST = 1e9;

/**
 * A number that a person counted by eye or takes responsibility for.
 *
 * @param count whole number from 0 to 1e9
 * @param name what it is called in the complaint
 * @throws VeligridError `bad-argument` for anything else
 */
export function handTally(count: number, name = 'the count'): Tally {
  if (!Number.isInteger(count) || count < 0 || count > MOST) {
    throw badArgument(name, 'a whole number from 0 to 1e9', count);
  }
  return count as Tally;
}

/**
 * Lengths that a person measured or takes responsibility for.
 *
 * @throws VeligridError `bad-argument` when one is not a number above 0
 */
export function handLengths(lengthsUm: readonly number[]): SignedLengths {
  const bad = lengthsUm.find((length) => !(length > 0 && length < 1e6));
  if (bad !== undefined) throw badArgument('a length', 'a number of micrometres above 0 and below 1e6', bad);
  return [...lengthsUm] as unknown as SignedLengths;
}

/** Which objects of a confirmed count are meant; by default all. */
export type Choose = (object: ConfirmedObject) => boolean;

/** How many objects of a confirmed count are meant. */
export function tallyOf(count: ConfirmedCount, choose: Choose = () => true): Tally {
  return count.photos.reduce((sum, photo) => sum + photo.objects.filter(choose).length, 0) as Tally;
}

/** Lengths of the objects that could be measured. */
export function lengthsOf(count: ConfirmedCount, choose: Choose = () => true): SignedLengths {
  const lengths = count.photos.flatMap(({ objects }) =>
    objects.filter((one) => one.measurable && choose(one)).map(({ lengthUm }) => lengthUm),
  );
  return lengths.filter((length) => length !== null) as unknown as SignedLengths;
}
