import type { Batch, Tank } from '@veligrid/api';
import type { VNode } from 'preact';
import { Choice, TextField } from '../parts/field.js';
import { say } from '../words/say.js';
import { faultOf, type FormProps } from './form-props.js';

interface SampleProps extends FormProps {
  readonly tanks: readonly Tank[];
  readonly batches: readonly Batch[];
}

function TankFields({ text, wrong, set, tanks, batches }: SampleProps): VNode {
  return (
    <>
      <TextField
        label={say('begin.tank')}
        hint={say('begin.tank-hint')}
        value={text.tank}
        list={tanks.map(({ name }) => name)}
        wrong={faultOf(wrong, 'tank')}
        onInput={(tank) => {
          set({ tank });
        }}
      />
      <Choice
        label={say('begin.batch')}
        value={text.batch}
        options={[
          { value: '', label: say('begin.batch-in-tank') },
          ...batches.map(({ id, name }) => ({ value: id, label: name })),
        ]}
        onChange={(batch) => {
          set({ batch });
        }}
      />
    </>
  );
}

/** Tank, batch, time and state of the sample. */
export function SampleFields(props: SampleProps): VNode {
  const { text, wrong, set } = props;
  return (
    <fieldset class="stack">
      <legend>{say('begin.sample')}</legend>
      <TankFields {...props} />
      <TextField
        label={say('begin.taken-at')}
        type="datetime-local"
        value={text.takenAt}
        wrong={faultOf(wrong, 'takenAt')}
        onInput={(takenAt) => {
          set({ takenAt });
        }}
      />
      <Choice
        label={say('begin.condition')}
        value={text.condition}
        options={(['live', 'chilled', 'fixed'] as const).map((value) => ({ value, label: say(`condition.${value}`) }))}
        onChange={(condition) => {
          set({ condition });
        }}
      />
      {text.condition === 'fixed' && (
        <TextField
          label={say('begin.fixative')}
          hint={say('begin.fixative-hint')}
          value={text.fixative}
          wrong={faultOf(wrong, 'fixative')}
          onInput={(fixative) => {
            set({ fixative });
          }}
        />
      )}
      <TextField
        label={say('begin.age')}
        hint={say('begin.age-hint')}
        unit="h"
        digits
        value={text.ageHours}
        wrong={faultOf(wrong, 'ageHours')}
        onInput={(ageHours) => {
          set({ ageHours });
        }}
      />
    </fieldset>
  );
}
