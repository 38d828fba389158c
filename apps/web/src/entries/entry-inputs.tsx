import type { VNode } from 'preact';
import type { EntryField, EntryText, EntryWrong } from './entry-field.js';
import { EntryInput } from './entry-input.js';

interface Props {
  readonly fields: readonly EntryField[];
  readonly text: EntryText;
  readonly wrong: EntryWrong;
  readonly set: (change: EntryText) => void;
}

/** All fields of an entry, in columns where there is room. */
export function EntryInputs({ fields, text, wrong, set }: Props): VNode {
  return (
    <div class="columns">
      {fields.map((field) => (
        <EntryInput
          key={field.name}
          field={field}
          value={text[field.name] ?? ''}
          wrong={wrong[field.name]}
          onChange={(value) => {
            set({ [field.name]: value });
          }}
        />
      ))}
    </div>
  );
}
