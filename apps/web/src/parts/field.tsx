import { useId } from 'preact/hooks';
import type { ComponentChildren, VNode } from 'preact';

interface FieldProps {
  readonly label: string;
  readonly hint?: string;
  /** What is wrong with it, or nothing. */
  readonly wrong?: string | null | undefined;
}

interface TextProps extends FieldProps {
  readonly value: string;
  readonly onInput: (value: string) => void;
  readonly type?: 'text' | 'password' | 'datetime-local';
  /** Written behind it. */
  readonly unit?: string;
  /** Takes all the room that there is; default: with a unit behind it, no more than a number needs. */
  readonly wide?: boolean;
  /** Brings up digits on a tablet. */
  readonly digits?: boolean;
  readonly required?: boolean;
  readonly list?: readonly string[];
  readonly autoComplete?: string;
}

const isWrong = (wrong: FieldProps['wrong']): boolean => wrong !== null && wrong !== undefined;

/** Label, hint and fault round an entry. */
function Labelled({
  id,
  label,
  hint,
  wrong,
  children,
}: FieldProps & { id: string; children: ComponentChildren }): VNode {
  return (
    <div class="field">
      <div>
        <label for={id}>{label}</label>{' '}
        {hint !== undefined && (
          <span id={`${id}-hint`} class="hint">
            {hint}
          </span>
        )}
      </div>
      {children}
      {isWrong(wrong) && (
        <span id={`${id}-wrong`} class="note bad small">
          {wrong}
        </span>
      )}
    </div>
  );
}

/** Ids of the hint and of what is wrong, for screen readers. */
function describedBy(id: string, { hint, wrong }: FieldProps): string | undefined {
  const ids = [...(hint === undefined ? [] : [`${id}-hint`]), ...(isWrong(wrong) ? [`${id}-wrong`] : [])];
  return ids.length === 0 ? undefined : ids.join(' ');
}

/** A line to type, or a number with its unit. */
export function TextField(props: TextProps): VNode {
  const id = useId();
  const { value, onInput, type = 'text', unit, wide = false, digits = false, required = false, wrong, list } = props;
  return (
    <Labelled id={id} {...props}>
      <div class={unit === undefined ? undefined : 'with-unit'}>
        <input
          id={id}
          class={wide ? 'wide' : undefined}
          type={type}
          value={value}
          required={required}
          inputMode={digits ? 'decimal' : undefined}
          autoComplete={props.autoComplete ?? 'off'}
          list={list === undefined ? undefined : `${id}-list`}
          aria-invalid={isWrong(wrong)}
          aria-describedby={describedBy(id, props)}
          onInput={({ currentTarget }) => {
            onInput(currentTarget.value);
          }}
        />
        {unit !== undefined && <span>{unit}</span>}
      </div>
      {list !== undefined && (
        <datalist id={`${id}-list`}>
          {list.map((one) => (
            <option key={one} value={one} />
          ))}
        </datalist>
      )}
    </Labelled>
  );
}

interface ChoiceProps<T extends string> extends FieldProps {
  readonly value: T;
  readonly options: readonly { readonly value: T; readonly label: string }[];
  readonly onChange: (value: T) => void;
}

/** One of several, from a list. */
export function Choice<T extends string>(props: ChoiceProps<T>): VNode {
  const id = useId();
  const { value, options, onChange } = props;
  return (
    <Labelled id={id} {...props}>
      <select
        id={id}
        value={value}
        aria-describedby={describedBy(id, props)}
        onChange={({ currentTarget }) => {
          const chosen = options.find((option) => option.value === currentTarget.value);
          if (chosen !== undefined) onChange(chosen.value);
        }}
      >
        {options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.label}
          </option>
        ))}
      </select>
    </Labelled>
  );
}

/** Yes or no. */
export function Tick({
  label,
  value,
  onChange,
}: {
  readonly label: string;
  readonly value: boolean;
  readonly onChange: (value: boolean) => void;
}): VNode {
  return (
    <label class="tick">
      <input
        type="checkbox"
        checked={value}
        onChange={({ currentTarget }) => {
          onChange(currentTarget.checked);
        }}
      />
      {label}
    </label>
  );
}
