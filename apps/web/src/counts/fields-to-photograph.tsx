import type { VNode } from 'preact';
import { Choice } from '../parts/field.js';
import type { OpenSample } from '../state/open-sample.js';
import { say } from '../words/say.js';
import { fieldsLeft, IN_ORDER, NO_FIELD } from './drawn-fields.js';

/** Which fields of the cell were drawn, in the order of the way over it; nothing when none were. */
export function FieldsToPhotograph({ open }: { readonly open: OpenSample }): VNode | null {
  const plan = open.sample.value?.fields;
  if (plan === null || plan === undefined) return null;
  const left = fieldsLeft(open);
  return (
    <section class="sheet stack">
      <h2>{say('fields.title')}</h2>
      <p>{say('fields.how')}</p>
      <ol class="fields">
        {plan.fields.map(({ number, name }) => (
          <li key={number}>
            <strong>{number}</strong> {name}
            {!left.includes(name) && <span aria-hidden="true"> ✓</span>}
            {!left.includes(name) && <span class="unseen">{say('fields.done')}</span>}
          </li>
        ))}
      </ol>
    </section>
  );
}

interface WhichProps {
  readonly left: readonly string[];
  readonly shows: string;
  readonly onChange: (shows: string) => void;
}

/** Which drawn fields the photos to be added show. */
export function WhichFields({ left, shows, onChange }: WhichProps): VNode {
  return (
    <Choice
      label={say('fields.which')}
      hint={say('fields.which-hint')}
      value={left.includes(shows) || shows === NO_FIELD ? shows : IN_ORDER}
      options={[
        { value: IN_ORDER, label: say('fields.in-order', { names: left.slice(0, 5).join(', ') }) },
        ...left.map((name) => ({ value: name, label: name })),
        { value: NO_FIELD, label: say('fields.none') },
      ]}
      onChange={onChange}
    />
  );
}
