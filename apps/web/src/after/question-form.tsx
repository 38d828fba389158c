import type { PlanQuestion } from '@veligrid/api';
import type { VNode } from 'preact';
import { Choice, TextField } from '../parts/field.js';
import { limitsWords, type ShownLimits } from '../words/limits.js';
import { threeFigures } from '../words/numbers.js';
import { say, sayOr } from '../words/say.js';
import type { QuestionField, QuestionText } from './question-fields.js';
import { valueAt } from './question-text.js';

interface Props {
  readonly question: PlanQuestion;
  readonly fields: readonly QuestionField[];
  readonly text: QuestionText;
  readonly wrong: Readonly<Record<string, string>>;
  readonly set: (change: QuestionText) => void;
}

const isLimits = (value: unknown): value is ShownLimits =>
  typeof value === 'object' && value !== null && 'low' in value && 'high' in value;

/** What is said beside a number: where it comes from, and that a number of one's own has no limits. */
function hintOf({ as, hint, path }: QuestionField, question: PlanQuestion): string | undefined {
  const value = valueAt(question, path);
  if (as !== 'amount') return hint;
  return isLimits(value) ? say('plan.amount-hint', { limits: limitsWords(value, threeFigures) }) : say('plan.exact');
}

function Field({ field, props }: { readonly field: QuestionField; readonly props: Props }): VNode {
  const { question, text, wrong, set } = props;
  const { path, label, as, unit, options = [] } = field;
  const hint = hintOf(field, question);
  const onChange = (value: string): void => {
    set({ [path]: value });
  };
  const about = { label, wrong: wrong[path], ...(hint === undefined ? {} : { hint }) };
  if (as === 'choice') {
    const choices = options.map((value) => ({
      value,
      label: sayOr(`plan.by.${value}`, sayOr(`stage.${value}`, value)),
    }));
    return <Choice {...about} value={text[path] ?? ''} options={choices} onChange={onChange} />;
  }
  return (
    <TextField
      {...about}
      {...(unit === undefined ? {} : { unit })}
      digits={as !== 'numbers'}
      wide={as === 'numbers'}
      value={text[path] ?? ''}
      onInput={onChange}
    />
  );
}

/** Every number that a plan rests on, each with where it comes from, to be changed for this plan. */
export function QuestionForm(props: Props): VNode {
  return (
    <div class="columns">
      {props.fields.map((field) => (
        <Field key={field.path} field={field} props={props} />
      ))}
    </div>
  );
}
