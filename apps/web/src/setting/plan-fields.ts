import { typedNumber, type EntryField } from '../entries/entry-field.js';

/** Numbers above 0 by field, as far as they were typed; those that can't be read are left out. */
export function typedNumbers(
  fields: readonly Pick<EntryField, 'name'>[],
  text: Readonly<Record<string, string>>,
): Readonly<Record<string, number>> {
  const read = fields.flatMap(({ name }): [string, number][] => {
    const said = typedNumber(text[name] ?? '');
    return said === null || !(Number(said) > 0) ? [] : [[name, Number(said)]];
  });
  return Object.fromEntries(read);
}
