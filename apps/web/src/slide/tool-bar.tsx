import { batch } from '@preact/signals';
import type { VNode } from 'preact';
import { Button } from '../parts/button.js';
import { announce } from '../state/announce.js';
import { say } from '../words/say.js';
import { step } from './acts.js';
import type { Point } from './shapes.js';
import { PLAIN_LIGHT, type Light, type SlideState } from './slide-state.js';
import type { SlideView } from './slide-view.js';
import { begin, TOOLS, type Tool } from './tools.js';

interface Props {
  readonly state: SlideState;
  readonly view: SlideView | null;
}

/** Tools that change the selected larva. */
const OF_SELECTED: readonly Tool[] = ['redraw', 'split', 'join'];

/** Takes a tool up, or puts it away again. */
export function useTool(state: SlideState, tool: Tool, cross: Point | null): void {
  if (OF_SELECTED.includes(tool) && state.selected.value === null) {
    announce(say('slide.select-first'));
    return;
  }
  batch(() => {
    if (tool === 'add') state.selectedId.value = null;
    state.hidden.value = false;
    state.use(tool, begin(tool, cross));
  });
}

/** Tools, undo and redo, above the photo. */
export function ToolBar({ state }: Props): VNode {
  return (
    <div class="bar" role="toolbar" aria-label={say('bar.tools')}>
      {TOOLS.map((tool) => (
        <Button
          key={tool}
          act={tool}
          pressed={state.work.value?.tool === tool}
          disabled={OF_SELECTED.includes(tool) && state.selected.value === null}
          onClick={() => {
            useTool(state, tool, null);
          }}
        >
          {say(`tool.${tool}`)}
        </Button>
      ))}
      <span class="gap" />
      <Button
        act="undo"
        onClick={() => {
          step(state, 'undo');
        }}
      >
        {say('bar.undo')}
      </Button>
      <Button
        act="redo"
        onClick={() => {
          step(state, 'redo');
        }}
      >
        {say('bar.redo')}
      </Button>
    </div>
  );
}

function LightSlider({ state, which }: { readonly state: SlideState; readonly which: keyof Light }): VNode {
  return (
    <>
      <label for={`light-${which}`}>{say(`light.${which}`)}</label>
      <input
        id={`light-${which}`}
        type="range"
        min="0.4"
        max="2.5"
        step="0.1"
        value={state.light.value[which]}
        onInput={({ currentTarget }) => {
          state.light.value = { ...state.light.value, [which]: Number(currentTarget.value) };
        }}
      />
    </>
  );
}

/** What is seen, below the photo: zoom, outlines, only those needing a look, brightness and contrast. */
export function SightBar({ state, view }: Props): VNode {
  const near = 1.5;
  return (
    <div class="bar" role="toolbar" aria-label={say('bar.sight')}>
      <Button label={say('sight.nearer')} onClick={() => view?.picture.zoomBy(near)}>
        +
      </Button>
      <Button label={say('sight.further')} onClick={() => view?.picture.zoomBy(1 / near)}>
        −
      </Button>
      <Button act="whole-slide" onClick={() => view?.picture.whole()}>
        {say('sight.whole')}
      </Button>
      <Button act="to-larva" disabled={state.selected.value === null} onClick={() => view?.toSelected()}>
        {say('sight.larva')}
      </Button>
      <span class="gap" />
      <Button
        act="hide-outlines"
        pressed={state.hidden.value}
        onClick={() => {
          state.hidden.value = !state.hidden.value;
        }}
      >
        {say('sight.hide')}
      </Button>
      <Button
        act="only-look"
        pressed={state.onlyLook.value}
        onClick={() => {
          state.onlyLook.value = !state.onlyLook.value;
        }}
      >
        {say('sight.only-look')}
      </Button>
      <details>
        <summary>{say('light.title')}</summary>
        <div class="light">
          <LightSlider state={state} which="brightness" />
          <LightSlider state={state} which="contrast" />
          <Button
            onClick={() => {
              state.light.value = PLAIN_LIGHT;
            }}
          >
            {say('light.plain')}
          </Button>
        </div>
      </details>
    </div>
  );
}
