import { FORMS } from '@veligrid/model';
import { isAnimal } from '@veligrid/review';
import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { StageSign } from '../parts/stage-sign.js';
import { say } from '../words/say.js';
import { relabel, remove, rightAsIs, setForm } from './acts.js';
import { LarvaFacts, WhyThisStage } from './larva-facts.js';
import { LarvaList } from './larva-list.js';
import type { SlideState } from './slide-state.js';
import { StageChoice } from './stage-choice.js';

/** How many need a look, and the way to the next of them. */
function LookBar({ state }: { readonly state: SlideState }): VNode {
  const left = state.look.value.length;
  const go = (step: 1 | -1) => (): void => {
    state.selectedId.value = state.neighbourToLook(step);
  };
  return (
    <div class="stack">
      <p>
        <span class={left > 0 ? 'chip open' : 'chip done'}>
          {left > 0 ? say('look.left', { n: left }) : say('look.none')}
        </span>
      </p>
      <div class="side-by-side">
        <Button onClick={go(-1)} disabled={left === 0} act="previous-look">
          {say('look.previous')}
        </Button>
        <Button
          onClick={go(1)}
          disabled={left === 0}
          act="next-look"
          look={state.selected.value === null ? 'main' : 'plain'}
        >
          {say('look.next')}
        </Button>
      </div>
    </div>
  );
}

/** The selected larva: what it is, what it may be called instead, its measures. */
function Selected({ state }: { readonly state: SlideState }): VNode {
  const object = state.selected.value;
  if (object === null) {
    const adding = state.work.value?.tool === 'add';
    return adding ? (
      <>
        <h2>{say('add.stage')}</h2>
        <StageChoice
          now={state.addedStage.value}
          onChoose={(stage) => {
            state.addedStage.value = stage;
          }}
        />
      </>
    ) : (
      <p class="soft">{say('slide.nothing-selected')}</p>
    );
  }
  const found = state.count.value?.detections.find(({ id }) => id === object.id);
  return (
    <>
      <h2 class="side-by-side">
        <StageSign stage={object.stage} /> {say('larva.title', { id: object.id, stage: say(`stage.${object.stage}`) })}
      </h2>
      <div class="side-by-side">
        <Button
          look="main"
          act="right-as-is"
          onClick={() => {
            rightAsIs(state);
          }}
        >
          {say('larva.right')}
        </Button>
        <Button
          look="stern"
          act="remove"
          onClick={() => {
            remove(state);
          }}
        >
          {say('larva.remove')}
        </Button>
      </div>
      <WhyThisStage object={object} found={found} />
      <StageChoice
        now={object.stage}
        onChoose={(stage) => {
          relabel(state, stage);
        }}
      />
      {isAnimal(object.stage) && <FormChoice state={state} />}
      <LarvaFacts object={object} found={found} />
    </>
  );
}

function FormChoice({ state }: { readonly state: SlideState }): VNode {
  return (
    <div role="group" aria-label={say('form.label')}>
      <h3 class="small soft">{say('form.label')}</h3>
      <div class="side-by-side">
        {FORMS.map((form) => (
          <Button
            key={form}
            pressed={state.selected.value?.form === form}
            onClick={() => {
              setForm(state, form);
            }}
          >
            {say(`form.${form}`)}
          </Button>
        ))}
      </div>
    </div>
  );
}

/** Beside the photo. */
export function LarvaCard({ state }: { readonly state: SlideState }): VNode {
  return (
    <section class="sheet card" aria-label={say('larva.card')}>
      <LookBar state={state} />
      <Selected state={state} />
      <details>
        <summary>{say('list.title', { n: state.shown.value.length })}</summary>
        <LarvaList state={state} />
      </details>
    </section>
  );
}
