import type { PlanQuestion, TriedPlan } from '@veligrid/api';
import { useEffect, useState } from 'preact/hooks';
import { ask, troubleWords } from '../api/ask.js';
import type { ChangedFigure } from './figures-used.js';
import { fieldsOf, type QuestionField, type QuestionText } from './question-fields.js';
import { questionWith, startOf } from './question-text.js';

/** What was asked last, with what came out. */
export interface Tried {
  readonly question: PlanQuestion;
  readonly changed: readonly ChangedFigure[];
  readonly plan: TriedPlan;
}

/** A plan on the desk: what is asked and typed, and what came out. */
export interface Desk {
  readonly base: PlanQuestion;
  readonly fields: readonly QuestionField[];
  readonly text: QuestionText;
  readonly wrong: Readonly<Record<string, string>>;
  readonly tried: Tried | null;
  readonly trouble: string | null;
  readonly set: (change: QuestionText) => void;
  /** Works it out as it is typed. */
  readonly workOut: () => void;
  /** Asks something else of the same kind, such as with other tanks, and works it out. */
  readonly askAnew: (question: PlanQuestion) => void;
  /** Changes a figure for this plan alone, and works it out. */
  readonly changeFigure: (changed: ChangedFigure) => void;
}

/** @param first as count and record fill it in; worked out at once */
export function useDesk(first: PlanQuestion): Desk {
  const [base, setBase] = useState(first);
  const [text, setText] = useState<QuestionText>(() => startOf(fieldsOf(first), first));
  const [wrong, setWrong] = useState<Readonly<Record<string, string>>>({});
  const [changed, setChanged] = useState<readonly ChangedFigure[]>([]);
  const [tried, setTried] = useState<Tried | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const work = (from: PlanQuestion, typed: QuestionText, figures: readonly ChangedFigure[]): void => {
    const found = questionWith(from, fieldsOf(from), typed);
    setWrong(found.wrong);
    if (Object.keys(found.wrong).length > 0) return;
    const { question } = found;
    ask<'tryPlan'>('post', '/plans/try', { body: { question, changed: [...figures] } }).then(
      (plan) => {
        setTried({ question, changed: figures, plan });
        setTrouble(null);
      },
      (error: unknown) => {
        setTried(null);
        setTrouble(troubleWords(error));
      },
    );
  };
  useEffect(() => {
    work(first, text, []);
  }, []);
  return {
    base,
    fields: fieldsOf(base),
    text,
    wrong,
    tried,
    trouble,
    set: (change) => {
      setText((last) => ({ ...last, ...change }));
    },
    workOut: () => {
      work(base, text, changed);
    },
    askAnew: (question) => {
      const start = startOf(fieldsOf(question), question);
      setBase(question);
      setText(start);
      work(question, start, changed);
    },
    changeFigure: (one) => {
      const figures = [...changed.filter(({ name }) => name !== one.name), one];
      setChanged(figures);
      work(base, text, figures);
    },
  };
}
