import type { AfterCount, PlanQuestion } from '@veligrid/api';
import type { VNode } from 'preact';
import { Trouble } from '../parts/trouble.js';
import { writeAddress } from '../state/address.js';
import { say, sayOr } from '../words/say.js';
import { AnswerView } from './answer-view.js';
import { FiguresUsed } from './figures-used.js';
import { KeepBox } from './keep-box.js';
import { QuestionForm } from './question-form.js';
import { questionWith } from './question-text.js';
import { TankTicks } from './tank-ticks.js';
import { useDesk, type Desk } from './use-desk.js';

interface Props {
  readonly after: AfterCount;
  readonly use: string;
  /** As count and record fill it in. */
  readonly first: PlanQuestion;
}

/** Every number that the plan rests on. */
function Asking({ after, use, desk }: Pick<Props, 'after' | 'use'> & { readonly desk: Desk }): VNode {
  const { base, fields, text, wrong, set, workOut, askAnew } = desk;
  return (
    <form
      class="stack"
      noValidate
      aria-label={say('plan.rests-on')}
      onSubmit={(event) => {
        event.preventDefault();
        workOut();
      }}
    >
      <h3>{say('plan.rests-on')}</h3>
      {(use === 'stocking' || use === 'egg-pool') && (
        <TankTicks tanks={after.tanks} question={questionWith(base, fields, text).question} onChange={askAnew} />
      )}
      <QuestionForm question={base} fields={fields} text={text} wrong={wrong} set={set} />
      <p>
        <button type="submit" class="button">
          {say('plan.work-out')}
        </button>
      </p>
    </form>
  );
}

/** A ration is given in litres of cultures: without one of known density there is nothing to work out. */
const lacksCulture = ({ kind, cultures }: PlanQuestion): boolean =>
  kind === 'ration' && Array.isArray(cultures) && cultures.length === 0;

/** What to do before a ration can be worked out. */
const NoCulture = (): VNode => (
  <div class="note stack">
    <p>{say('ration.no-culture')}</p>
    <p>
      <a class="button" href={writeAddress({ screen: 'cultures' })}>
        {say('ration.to-cultures')}
      </a>
    </p>
  </div>
);

/** Every number that a plan rests on, the answer, the figures with their sources, and keeping it. */
function Working({ after, use, first }: Props): VNode {
  const desk = useDesk(first);
  const { tried, trouble, changeFigure } = desk;
  const name = sayOr(`use.${use}`, use);
  return (
    <>
      <Asking after={after} use={use} desk={desk} />
      <Trouble text={trouble} />
      {tried !== null && (
        <>
          <h3>{say('plan.answer')}</h3>
          <AnswerView answer={tried.plan.answer} name={name} />
          <FiguresUsed figures={tried.plan.answer.figures} onChange={changeFigure} />
          <KeepBox after={after} tried={tried} />
        </>
      )}
    </>
  );
}

/** One plan, or what it takes to make it. */
export function PlanDesk({ after, use, first }: Props): VNode {
  const name = sayOr(`use.${use}`, use);
  return (
    <section class="sheet stack" aria-label={name}>
      <h2>{name}</h2>
      <p class="soft">{sayOr(`use.about.${use}`, '')}</p>
      {lacksCulture(first) ? <NoCulture /> : <Working after={after} use={use} first={first} />}
    </section>
  );
}
