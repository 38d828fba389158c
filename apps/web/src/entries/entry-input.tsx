import type { VNode } from 'preact';
import { Choice, TextField, Tick } from '../parts/field.js';
import type { EntryField } from './entry-field.js';

interface Props {
  readonly field: EntryField;
  readonly value: string;
  readonly wrong: string | undefined;
  readonly onChange: (value: string) => void;
}

/** One field to fill in, by what it holds. */
export function EntryInput({ field, value, wrong, onChange }: Props): VNode {
  const { label, hint, unit, as = 'text', options = [], list, required = false } = field;
  if (as === 'yes') {
    return (
      <Tick
        label={label}
        value={value === 'yes'}
        onChange={(yes) => {
          onChange(yes ? 'yes' : '');
        }}
      />
    );
  }
  const about = { label, wrong, ...(hint === undefined ? {} : { hint }) };
  if (as === 'choice') return <Choice {...about} value={value} options={options} onChange={onChange} />;
  return (
    <TextField
      {...about}
      {...(unit === undefined ? {} : { unit })}
      {...(list === undefined ? {} : { list })}
      type={as === 'time' ? 'datetime-local' : 'text'}
      digits={as === 'number'}
      wide={as === 'text'}
      required={required}
      value={value}
      onInput={onChange}
    />
  );
}
