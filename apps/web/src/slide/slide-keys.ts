import type { Stage } from '@veligrid/model';
import { actOf, type Act } from '../state/keys.js';
import { settings } from '../state/settings.js';
import { relabel, remove, rightAsIs, setForm, step } from './acts.js';
import type { SlideState } from './slide-state.js';
import type { SlideView } from './slide-view.js';
import { useTool } from './tool-bar.js';
import { TOOLS, type Tool } from './tools.js';

/** What the keys work on. */
export interface Hands {
  readonly state: SlideState;
  readonly view: SlideView | null;
}

const isTool = (act: Act): act is Tool => (TOOLS as readonly string[]).includes(act);

type PlainAct = Exclude<Act, Tool | `stage:${Stage}`>;

const DOES: Readonly<Record<PlainAct, (hands: Hands) => void>> = {
  'next-look': ({ state }) => {
    state.selectedId.value = state.neighbourToLook(1);
  },
  'previous-look': ({ state }) => {
    state.selectedId.value = state.neighbourToLook(-1);
  },
  'right-as-is': ({ state }) => {
    rightAsIs(state);
  },
  remove: ({ state }) => {
    remove(state);
  },
  'change-form': ({ state }) => {
    setForm(state);
  },
  undo: ({ state }) => {
    step(state, 'undo');
  },
  redo: ({ state }) => {
    step(state, 'redo');
  },
  'hide-outlines': ({ state }) => {
    state.hidden.value = !state.hidden.value;
  },
  'hide-while-held': ({ state }) => {
    state.held.value = true;
  },
  'only-look': ({ state }) => {
    state.onlyLook.value = !state.onlyLook.value;
  },
  'to-larva': ({ view }) => view?.toSelected(),
  'whole-slide': ({ view }) => view?.picture.whole(),
};

/** Does what a key stands for. */
function doAct(act: Act, hands: Hands): void {
  if (act.startsWith('stage:')) relabel(hands.state, act.slice('stage:'.length) as Stage);
  else if (isTool(act)) {
    useTool(hands.state, act, hands.view?.middle() ?? null);
    document.querySelector<HTMLElement>('.stage-view')?.focus();
  } else DOES[act as PlainAct](hands);
}

/** Whether somebody is typing. */
const isTyping = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.matches('input:not([type=range]), select, textarea, [contenteditable]');

/** Listens for keys of the slide; returns what ends that. */
export function listenForKeys(hands: () => Hands): () => void {
  const down = (event: KeyboardEvent): void => {
    if (isTyping(event.target) || document.querySelector('dialog[open]') !== null) return;
    const { keys, letters } = settings.value;
    const act = actOf(event, keys, letters);
    if (act === null || (event.repeat && act !== 'undo' && act !== 'redo')) return;
    event.preventDefault();
    doAct(act, hands());
  };
  const up = (event: KeyboardEvent): void => {
    const { keys, letters } = settings.value;
    if (actOf(event, keys, letters) === 'hide-while-held') hands().state.held.value = false;
  };
  addEventListener('keydown', down);
  addEventListener('keyup', up);
  return () => {
    removeEventListener('keydown', down);
    removeEventListener('keyup', up);
  };
}
