import type { AfterCount, PlanQuestion } from '@veligrid/api';
import type { VNode } from 'preact';
import { Tick } from '../parts/field.js';
import { threeFigures } from '../words/numbers.js';
import { say } from '../words/say.js';

interface Props {
  readonly tanks: AfterCount['tanks'];
  readonly question: PlanQuestion;
  readonly onChange: (question: PlanQuestion) => void;
}

interface TankRow {
  readonly name: string;
  readonly volumeMl: number;
}

const rowsOf = (question: PlanQuestion): readonly TankRow[] => (question['tanks'] ?? []) as readonly TankRow[];

/** Which tanks of the house the animals are shared out to. */
export function TankTicks({ tanks, question, onChange }: Props): VNode {
  const chosen = rowsOf(question);
  return (
    <fieldset>
      <legend>{say('plan.which-tanks')}</legend>
      <div class="side-by-side">
        {tanks.map(({ id, name, volumeMl, batch }) =>
          volumeMl === null ? null : (
            <Tick
              key={id}
              label={say('plan.tank-now', {
                name,
                litres: threeFigures(volumeMl / 1000),
                now: batch ?? say('plan.tank-empty'),
              })}
              value={chosen.some((one) => one.name === name)}
              onChange={(yes) => {
                const others = chosen.filter((one) => one.name !== name);
                onChange({ ...question, tanks: yes ? [...others, { name, volumeMl }] : others });
              }}
            />
          ),
        )}
      </div>
    </fieldset>
  );
}
