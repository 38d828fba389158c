import { badArgument } from '@veligrid/model';

/** @throws VeligridError `bad-argument` unless the value is a finite number above 0 */
export function checkAbove0(name: string, value: number): void {
  if (!(value > 0 && value < Infinity)) throw badArgument(name, 'a number above 0', value);
}

/** @throws VeligridError `bad-argument` unless the value is a finite number of 0 or more */
export function checkFrom0(name: string, value: number): void {
  if (!(value >= 0 && value < Infinity)) throw badArgument(name, 'a number of 0 or more', value);
}

/** @throws VeligridError `bad-argument` when two of the names are alike */
export function checkDifferent(list: string, names: readonly string[]): void {
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) throw badArgument(`the names of ${list}`, 'different from each other', twice);
}
