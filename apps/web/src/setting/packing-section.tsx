import type { SettingOfBatch } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import type { EntryField } from '../entries/entry-field.js';
import { EntryInputs } from '../entries/entry-inputs.js';
import { Choice } from '../parts/field.js';
import { Trouble } from '../parts/trouble.js';
import { Print } from '../print/print-button.js';
import { limitsWords } from '../words/limits.js';
import { threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';
import { KeepPlan } from './keep-plan.js';
import { PackingSheet } from './packing-sheet.js';
import { typedNumbers } from './plan-fields.js';
import { usePlan, type Question } from './use-plan.js';

const WAYS = ['count', 'volume', 'weight'] as const;
type Way = (typeof WAYS)[number];

/** Larvae counted in a little of the drained mass; by volume a preset can stand in for it, by weight nothing can. */
const sampleFields = (by: 'volume' | 'weight'): EntryField[] => [
  {
    name: 'sampleLarvae',
    label: say('pack.sample-larvae'),
    as: 'number',
    ...(by === 'volume' ? { hint: say('pack.sample-hint') } : { required: true }),
  },
  by === 'volume'
    ? { name: 'sampleMl', label: say('pack.sample-ml'), as: 'number', unit: 'mL' }
    : { name: 'sampleGrams', label: say('pack.sample-grams'), as: 'number', unit: 'g', required: true },
];

const packingFields = (by: Way): EntryField[] => [
  { name: 'larvae', label: say('pack.larvae'), hint: say('pack.larvae-hint'), as: 'number' },
  { name: 'perPackage', label: say('pack.per-package'), as: 'number', required: true },
  { name: 'packages', label: say('pack.packages'), hint: say('begin.optional'), as: 'number' },
  ...(by === 'count'
    ? [{ name: 'suspensionMl', label: say('pack.suspension'), as: 'number', unit: 'mL', required: true } as const]
    : sampleFields(by)),
  { name: 'daysUnderway', label: say('pack.days'), hint: say('begin.optional'), as: 'number' },
];

/** Limits of a part of the lot: those of the lot, in proportion. */
function lotOf(available: NonNullable<SettingOfBatch['available']>, wanted: number | undefined): typeof available {
  if (wanted === undefined || available.estimate === 0) return available;
  const part = wanted / available.estimate;
  return { estimate: wanted, low: available.low * part, high: available.high * part };
}

function questionOf(view: SettingOfBatch, by: Way, text: Readonly<Record<string, string>>): Question | null {
  const said = typedNumbers(packingFields(by), text);
  const { larvae, perPackage, suspensionMl, sampleLarvae, sampleMl, sampleGrams, ...rest } = said;
  const amount = by === 'volume' ? { ml: sampleMl } : { grams: sampleGrams };
  const counted = sampleLarvae !== undefined && Object.values(amount).every((one) => one !== undefined);
  if (view.available === null || perPackage === undefined) return null;
  if (by === 'count' && suspensionMl === undefined) return null;
  if (by === 'weight' && !counted) return null;
  return {
    kind: 'packing',
    species: view.batch.species,
    larvae: lotOf(view.available, larvae),
    perPackage,
    by,
    ...rest,
    ...(by === 'count' ? { suspensionMl } : {}),
    ...(by !== 'count' && counted ? { sample: { larvae: sampleLarvae, ...amount } } : {}),
  };
}

/** Packing list and shipment, by count or by volume, with a sheet to print. */
export function PackingSection({ view }: { readonly view: SettingOfBatch }): VNode {
  const [by, setBy] = useState<Way>('count');
  const [text, setText] = useState<Readonly<Record<string, string>>>({});
  const question = questionOf(view, by, text);
  const { value, trouble } = usePlan('packing', question);
  return (
    <section class="sheet stack">
      <h2 class="not-printed">{say('pack.title')}</h2>
      <p class="soft not-printed">
        {view.available !== null && say('pack.there', { n: limitsWords(view.available, threeFigures) })}
      </p>
      <div class="not-printed stack">
        <Choice
          label={say('pack.by')}
          value={by}
          options={WAYS.map((value) => ({ value, label: say(`pack.by.${value}`) }))}
          onChange={setBy}
        />
        <EntryInputs
          fields={packingFields(by)}
          text={text}
          wrong={{}}
          set={(change) => {
            setText((last) => ({ ...last, ...change }));
          }}
        />
      </div>
      {question !== null && <Trouble text={trouble} />}
      {question !== null && value === null && trouble === null && <p role="status">{say('app.loading')}</p>}
      {question !== null && value !== null && (
        <>
          <PackingSheet
            batch={view.batch}
            tanks={view.tanks}
            packing={value}
            perPackage={Number(question['perPackage'])}
            wanted={typeof question['packages'] === 'number' ? question['packages'] : null}
          />
          <p class="side-by-side not-printed">
            <Print look="main" label={say('pack.print')} />
          </p>
          <KeepPlan question={question} batch={view.batch.id} />
        </>
      )}
    </section>
  );
}
