import type { VNode } from 'preact';
import type { OpenSample } from '../state/open-sample.js';
import { say } from '../words/say.js';

/** Which fields of the cell were drawn, in the order of the way over it; nothing when none were. */
export function FieldsToPhotograph({ open }: { readonly open: OpenSample }): VNode | null {
  const plan = open.sample.value?.fields;
  if (plan === null || plan === undefined) return null;
  return (
    <section class="sheet stack">
      <h2>{say('fields.title')}</h2>
      <p>{say('fields.how')}</p>
      <ol class="fields">
        {plan.fields.map(({ number, name }) => (
          <li key={number}>
            <strong>{number}</strong> {name}
          </li>
        ))}
      </ol>
    </section>
  );
}
