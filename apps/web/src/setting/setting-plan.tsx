import type { PlanAnswer, SettingOfBatch } from '@veligrid/api';
import { useState } from 'preact/hooks';
import type { VNode } from 'preact';
import { EntryInputs } from '../entries/entry-inputs.js';
import type { EntryField } from '../entries/entry-field.js';
import { Cautions } from '../parts/cautions.js';
import { Trouble } from '../parts/trouble.js';
import { Warnings } from '../parts/warnings.js';
import { limitsWords } from '../words/limits.js';
import { percent, threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';
import { KeepPlan } from './keep-plan.js';
import { typedNumbers } from './plan-fields.js';
import { usePlan, type Question } from './use-plan.js';

type Answer = Extract<PlanAnswer, { readonly kind: 'setting' }>;

const planFields = (): EntryField[] => [
  { name: 'bags', label: say('move.bags'), hint: say('settle.bags-hint'), as: 'number' },
  { name: 'shells', label: say('move.shells'), hint: say('settle.shells-hint'), as: 'number' },
  { name: 'targetPerShell', label: say('settle.target'), hint: say('settle.preset-hint'), as: 'number' },
  { name: 'grams', label: say('settle.grams'), hint: say('settle.grams-hint'), as: 'number', unit: 'g' },
  { name: 'grainsPerGram', label: say('settle.grains'), as: 'number' },
];

/** The question as typed: larvae that there are, own sets, and whatever of the cultch is known. */
function questionOf(
  { available, ownSets, batch }: SettingOfBatch,
  text: Readonly<Record<string, string>>,
): Question | null {
  const { grams, grainsPerGram, bags, shells, ...rest } = typedNumbers(planFields(), text);
  // bags say it already; both would be the same cultch twice
  const cultch = bags !== undefined ? { bags } : shells !== undefined ? { shells } : {};
  if (available === null && Object.keys(cultch).length === 0) return null;
  const some = available !== null && available.estimate > 0;
  return {
    kind: 'setting',
    species: batch.species,
    ...rest,
    ...cultch,
    ...(some ? { larvae: available } : {}),
    ...(some && grams !== undefined && grainsPerGram !== undefined ? { microcultch: { grams, grainsPerGram } } : {}),
    ...(ownSets.length === 0
      ? {}
      : { ownSets: ownSets.map(({ limits, spat }) => ({ larvae: limits, spat: spat ?? limits })) }),
  };
}

function Line({ name, value }: { readonly name: string; readonly value: string }): VNode {
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{value}</td>
    </tr>
  );
}

/** Rows that the answer has something to say for. */
function linesOf({ efficiency, needed, expected, targetPerShell, microcultch }: Answer): [string, string][] {
  const share = (one: number): string => percent(one);
  return [
    [
      say(`settle.efficiency.${efficiency.basis === 'own sets' ? 'own' : 'preset'}`),
      limitsWords(efficiency.share, share),
    ],
    [say('settle.target'), threeFigures(targetPerShell)],
    ...(needed === null
      ? []
      : ([
          [say('settle.needed'), limitsWords(needed.larvae, threeFigures)],
          [say('settle.per-shell'), limitsWords(needed.perShell, threeFigures)],
          [say('settle.per-bag'), limitsWords(needed.perBag, threeFigures)],
        ] as [string, string][])),
    ...(expected === null
      ? []
      : ([
          [say('settle.spat'), limitsWords(expected.spat, threeFigures)],
          ...(expected.spatPerShell === null
            ? []
            : [[say('settle.spat-per-shell'), limitsWords(expected.spatPerShell, threeFigures)]]),
          [say('settle.serves-bags'), limitsWords(expected.serves.bags, threeFigures)],
        ] as [string, string][])),
    ...(microcultch === null
      ? []
      : ([
          [say('settle.per-grain'), limitsWords(microcultch.spatPerGrain, threeFigures)],
          [say('settle.doubles'), limitsWords(microcultch.doubles, share)],
          [say('settle.singles'), limitsWords(microcultch.singles, threeFigures)],
          [say('settle.grams-for'), `${threeFigures(microcultch.gramsForMostDoubles)} g`],
        ] as [string, string][])),
  ];
}

function Worked({ answer }: { readonly answer: Answer }): VNode {
  return (
    <>
      <table>
        <tbody>
          {linesOf(answer).map(([name, value]) => (
            <Line key={name} name={name} value={value} />
          ))}
        </tbody>
      </table>
      <Warnings warnings={answer.warnings} small />
      <Cautions cautions={answer.cautions} />
    </>
  );
}

/** How many larvae for how much cultch, by own sets where there are some. */
export function SettingPlan({ view }: { readonly view: SettingOfBatch }): VNode {
  const [text, setText] = useState<Readonly<Record<string, string>>>({});
  const question = questionOf(view, text);
  const { value, trouble } = usePlan('setting', question);
  return (
    <section class="sheet stack not-printed">
      <h2>{say('settle.title')}</h2>
      <p class="soft">
        {view.ownSets.length === 0 ? say('settle.no-own') : say('settle.own', { n: view.ownSets.length })}
      </p>
      <EntryInputs
        fields={planFields()}
        text={text}
        wrong={{}}
        set={(change) => {
          setText((last) => ({ ...last, ...change }));
        }}
      />
      {question === null ? <p>{say('settle.say-cultch')}</p> : <Trouble text={trouble} />}
      {question !== null && value === null && trouble === null && <p role="status">{say('app.loading')}</p>}
      {question !== null && value !== null && <Worked answer={value} />}
      {question !== null && value !== null && <KeepPlan question={question} batch={view.batch.id} />}
    </section>
  );
}
