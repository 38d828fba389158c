import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { TextField } from '../parts/field.js';
import { say } from '../words/say.js';
import type { StepText } from './new-count.js';

interface Props {
  readonly steps: readonly StepText[];
  readonly wrong: string | null;
  readonly onChange: (steps: readonly StepText[]) => void;
}

const MOST = 10;

/** Dilutions and concentrations as volumes: taken, and made up to. A ratio such as 1:10 means two things to two people. */
export function StepFields({ steps, wrong, onChange }: Props): VNode {
  const change = (at: number, part: Partial<StepText>): void => {
    onChange(steps.map((step, i) => (i === at ? { ...step, ...part } : step)));
  };
  return (
    <div class="stack" role="group" aria-label={say('begin.steps')}>
      <p>
        <strong>{say('begin.steps')}</strong> <span class="hint soft small">{say('begin.steps-hint')}</span>
      </p>
      {steps.map(({ takenMl, madeUpToMl }, i) => (
        <div key={i} class="side-by-side">
          <TextField
            label={say('begin.taken')}
            unit="mL"
            digits
            value={takenMl}
            onInput={(value) => {
              change(i, { takenMl: value });
            }}
          />
          <TextField
            label={say('begin.made-up-to')}
            unit="mL"
            digits
            value={madeUpToMl}
            onInput={(value) => {
              change(i, { madeUpToMl: value });
            }}
          />
          <Button
            look="quiet"
            label={say('begin.step-away', { n: i + 1 })}
            onClick={() => {
              onChange(steps.toSpliced(i, 1));
            }}
          >
            ×
          </Button>
        </div>
      ))}
      {wrong !== null && <p class="note bad small">{wrong}</p>}
      {steps.length < MOST && (
        <Button
          onClick={() => {
            onChange([...steps, { takenMl: '', madeUpToMl: '' }]);
          }}
        >
          {say('begin.step-more')}
        </Button>
      )}
    </div>
  );
}
