import type { Plan } from '@veligrid/api';
import type { VNode } from 'preact';
import { ask } from '../api/ask.js';
import { ScrollX } from '../parts/scroll-x.js';
import { Trouble } from '../parts/trouble.js';
import { useAnswer } from '../parts/use-answer.js';
import { Print } from '../print/print-button.js';
import { writeAddress } from '../state/address.js';
import { limitsWords, type ShownLimits } from '../words/limits.js';
import { dateTime, threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import { AnswerView } from './answer-view.js';
import { FiguresUsed } from './figures-used.js';
import { Standing } from './plan-list.js';
import { fieldsOf, type QuestionField } from './question-fields.js';
import { startOf, valueAt } from './question-text.js';
import { RecordAfter } from './record-after.js';

/** A value that a plan rests on, as it was kept. */
function assumed(plan: Plan, { path, as, unit = '' }: QuestionField, text: string): string {
  const value = valueAt(plan.question, path);
  if (as === 'amount' && typeof value === 'object') return limitsWords(value as ShownLimits, threeFigures);
  if (as === 'choice') return sayOr(`plan.by.${text}`, sayOr(`stage.${text}`, text));
  return `${text} ${unit}`.trim();
}

function Assumptions({ plan }: { readonly plan: Plan }): VNode {
  const fields = fieldsOf(plan.question);
  const text = startOf(fields, plan.question);
  const said = fields.filter(({ path }) => (text[path] ?? '') !== '');
  return (
    <section class="stack">
      <h2>{say('plan.rests-on')}</h2>
      <ScrollX label={say('plan.rests-on')}>
        <table class="small">
          <tbody>
            {said.map((field) => (
              <tr key={field.path}>
                <th scope="row">{field.label}</th>
                <td>{assumed(plan, field, text[field.path] ?? '')}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollX>
    </section>
  );
}

function About({ plan: { sample, batch, tank, made, why, standing } }: { readonly plan: Plan }): VNode {
  return (
    <>
      <p class="side-by-side">
        <Standing standing={standing} />
        <span>{say('plan.kept-by', { by: made.by, at: dateTime(made.at) })}</span>
        {sample !== null && (
          <a href={writeAddress({ screen: 'after', id: sample.id })}>{say('plan.of-count', { name: sample.name })}</a>
        )}
        {tank !== null && (
          <a href={writeAddress({ screen: 'tank', id: tank.id })}>{say('after.tank', { name: tank.name })}</a>
        )}
        {batch !== null && (
          <a href={writeAddress({ screen: 'batch', id: batch.id })}>{say('batch.title', { name: batch.name })}</a>
        )}
      </p>
      {(standing === 'reopened' || standing === 'signed-anew') && (
        <p class="note bad">{say(`standing.about.${standing}`)}</p>
      )}
      {why !== null && <p>{why}</p>}
    </>
  );
}

/** A kept plan as it was worked out then, to print, with what may be recorded after it. */
export function PlanScreen({ id }: { readonly id: string }): VNode {
  const { value: plan, trouble } = useAnswer(() => ask<'getPlan'>('get', '/plans/{plan}', { at: { plan: id } }), [id]);
  if (plan === null) {
    return trouble === null ? <p role="status">{say('app.loading')}</p> : <Trouble text={trouble} />;
  }
  const use = plan.kind === 'stocking' && plan.question['larvae'] === undefined ? 'thinning' : plan.kind;
  const name = sayOr(`use.${use}`, use);
  return (
    <div class="stack page">
      <div class="side-by-side spread">
        <h1>{say('plan.title', { name })}</h1>
        <span class="not-printed">
          <Print look="main" label={say('print.go')} />
        </span>
      </div>
      <About plan={plan} />
      <section class="sheet stack">
        <h2>{say('plan.answer')}</h2>
        <AnswerView answer={plan.answer} name={name} />
      </section>
      <RecordAfter plan={plan} />
      <div class="sheet stack">
        <Assumptions plan={plan} />
        <FiguresUsed figures={plan.answer.figures} />
        <p class="soft small">{say('plan.presets', { figures: plan.figures, program: plan.program })}</p>
      </div>
    </div>
  );
}
