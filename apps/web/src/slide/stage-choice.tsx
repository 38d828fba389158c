import type { Stage } from '@veligrid/model';
import type { VNode } from 'preact';
import { KeyHint, keyShortcut } from '../parts/key-hint.js';
import { StageSign } from '../parts/stage-sign.js';
import { say, type Word } from '../words/say.js';

/** A group of stages as buttons. */
interface StageGroup {
  readonly name: Word;
  readonly stages: readonly Stage[];
}

/** Stages in the groups that people at the bench think in, the ones chosen most first. */
const STAGE_GROUPS: readonly StageGroup[] = [
  {
    name: 'group.larvae',
    stages: ['trochophore', 'd-larva', 'umbo', 'eyed', 'pediveliger', 'unsure'],
  },
  { name: 'group.gone', stages: ['empty-shell', 'dead'] },
  {
    name: 'group.early',
    stages: ['egg', 'fertilised-egg', 'two-cell', 'four-cell', 'morula', 'blastula', 'gastrula'],
  },
  { name: 'group.other', stages: ['debris', 'bubble', 'fibre', 'ciliate', 'alga'] },
];

interface Props {
  /** Stage that it is now, or null. */
  readonly now: Stage | null;
  readonly onChoose: (stage: Stage) => void;
}

/** All stages as buttons. */
export function StageChoice({ now, onChoose }: Props): VNode {
  return (
    <div class="stack">
      {STAGE_GROUPS.map(({ name, stages }) => (
        <div key={name} role="group" aria-label={say(name)}>
          <h3 class="small soft">{say(name)}</h3>
          <div class="pick">
            {stages.map((stage) => (
              <button
                key={stage}
                type="button"
                class="button"
                aria-pressed={stage === now}
                aria-keyshortcuts={keyShortcut(`stage:${stage}`)}
                onClick={() => {
                  onChoose(stage);
                }}
              >
                <StageSign stage={stage} />
                <span>{say(`stage.${stage}`)}</span>
                <KeyHint act={`stage:${stage}`} />
              </button>
            ))}
          </div>
        </div>
      ))}
    </div>
  );
}
