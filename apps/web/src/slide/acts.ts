import { FORMS, type Stage } from '@veligrid/model';
import type { Choice, Decision, DrawnOutline, ReviewedObject } from '@veligrid/review';
import { announce } from '../state/announce.js';
import { mayCount } from '../state/session.js';
import { say, sayOr, type Word } from '../words/say.js';
import { cutOutline, joinOutlines, outlineFromTaps } from './shapes.js';
import type { SlideState } from './slide-state.js';
import { isFull, mayFinish, type Work } from './tools.js';

/** Decides, unless the sample is signed off or the person may only look. */
function decide(state: SlideState, choice: Choice): Decision | null {
  if (!mayCount.value) {
    announce(say('decide.may-not'), 'trouble');
    return null;
  }
  if (state.open.sample.value?.state === 'signed-off') {
    announce(say('decide.signed-off'), 'trouble');
    return null;
  }
  return state.open.decisions.decide(choice);
}

/** A name for a drawn object that the photo has not: `h` for by hand, and four signs that can be read out. */
function newId(state: SlideState): string {
  for (;;) {
    const id = `h${Math.random().toString(36).slice(2, 6)}`;
    if (id.length === 5 && !state.byId.value.has(id)) return id;
  }
}

/** Calls the stage of the selected larva something else, or the same, which says that it was looked at. */
export function relabel(state: SlideState, stage: Stage): void {
  const object = state.selected.value;
  if (object === null) {
    if (state.work.value?.tool === 'add') state.addedStage.value = stage;
    else announce(say('slide.select-first'));
    return;
  }
  if (decide(state, { kind: 'relabel', photo: state.photoId, object: object.id, stage }) !== null) {
    announce(say('did.relabel', { id: object.id, stage: sayOr(`stage.${stage}`, stage) }));
  }
}

/** Says that the selected larva is right as it is, and goes on to the next that needs a look. */
export function rightAsIs(state: SlideState): void {
  const object = state.selected.value;
  if (object === null) {
    announce(say('slide.select-first'));
    return;
  }
  const next = state.neighbourToLook(1);
  const choice: Choice = { kind: 'relabel', photo: state.photoId, object: object.id, stage: object.stage };
  if (decide(state, choice) === null) return;
  announce(say('did.right', { id: object.id }));
  if (next !== null && next !== object.id) state.selectedId.value = next;
}

/** Takes the selected object out. */
export function remove(state: SlideState): void {
  const object = state.selected.value;
  if (object === null) {
    announce(say('slide.select-first'));
    return;
  }
  const next = state.look.value.includes(object.id) ? state.neighbourToLook(1) : null;
  if (decide(state, { kind: 'remove', photo: state.photoId, object: object.id }) === null) return;
  announce(say('did.remove', { id: object.id }));
  state.selectedId.value = next === object.id ? null : next;
}

/** Sets the form of the selected larva; without one the next of normal, abnormal, not judged. */
export function setForm(state: SlideState, form?: ReviewedObject['form']): void {
  const object = state.selected.value;
  if (object === null) {
    announce(say('slide.select-first'));
    return;
  }
  const next = form ?? FORMS[(FORMS.indexOf(object.form) + 1) % FORMS.length] ?? 'not-judged';
  if (decide(state, { kind: 'form', photo: state.photoId, object: object.id, form: next }) !== null) {
    announce(say('did.form', { id: object.id, form: sayOr(`form.${next}`, next) }));
  }
}

/** Takes back or does again, and says what. */
export function step(state: SlideState, which: 'undo' | 'redo'): void {
  const log = state.open.decisions;
  const done = which === 'undo' ? log.undo() : log.redo();
  if (done === null) announce(say(which === 'undo' ? 'undo.nothing' : 'redo.nothing'));
  else announce(say(which === 'undo' ? 'undo.done' : 'redo.done', { what: whatOf(state, done) }));
}

/** What an undone or redone decision was, in words. */
function whatOf(state: SlideState, { kind, ...rest }: Decision): string {
  const target = 'decision' in rest ? state.open.decisions.log.value.find(({ id }) => id === rest.decision) : undefined;
  const about = target !== undefined && 'object' in target ? ` (${target.object})` : '';
  return say(`kind.${target?.kind ?? kind}` as Word) + about;
}

function finishAdd(state: SlideState, { taps }: Work): boolean {
  const outline = outlineFromTaps(taps);
  if (outline === null) return false;
  const drawn = { id: newId(state), outline, stage: state.addedStage.value };
  if (decide(state, { kind: 'add', photo: state.photoId, drawn }) === null) return false;
  state.selectedId.value = drawn.id;
  announce(say('did.add', { stage: sayOr(`stage.${drawn.stage}`, drawn.stage) }));
  return true;
}

function finishRedraw(state: SlideState, { taps }: Work): boolean {
  const [object, outline] = [state.selected.value, outlineFromTaps(taps)];
  if (object === null || outline === null) return false;
  if (decide(state, { kind: 'redraw', photo: state.photoId, object: object.id, outline }) === null) return false;
  announce(say('did.redraw', { id: object.id }));
  return true;
}

function finishSplit(state: SlideState, { taps }: Work): boolean {
  const [object, [from, to]] = [state.selected.value, taps];
  if (object === null || from === undefined || to === undefined) return false;
  const parts = cutOutline(object.outline, from, to);
  if (parts === null) {
    announce(say('split.misses'), 'trouble');
    state.work.value = { tool: 'split', taps: [], cross: state.work.value?.cross ?? null };
    return false;
  }
  const into = parts.map((outline: DrawnOutline) => ({ id: newId(state), outline, stage: object.stage }));
  if (decide(state, { kind: 'split', photo: state.photoId, object: object.id, into }) === null) return false;
  state.selectedId.value = into[0]?.id ?? null;
  announce(say('did.split', { id: object.id, n: into.length }));
  return true;
}

/** Joins the selected larva with the picked ones. */
export function finishJoin(state: SlideState): void {
  const object = state.selected.value;
  const picked = state.pickedIds.value.map((id) => state.byId.value.get(id)).filter((one) => one !== undefined);
  if (object === null || picked.length === 0) return;
  const all = [object, ...picked];
  const into = { id: newId(state), outline: joinOutlines(all.map(({ outline }) => outline)), stage: object.stage };
  const choice: Choice = { kind: 'join', photo: state.photoId, objects: all.map(({ id }) => id), into };
  if (decide(state, choice) === null) return;
  state.putAway();
  state.selectedId.value = into.id;
  announce(say('did.join', { n: all.length }));
}

/** Does what the tool and its taps say, as far as they say it. The ruler stays on screen. */
export function finish(state: SlideState): void {
  const work = state.work.value;
  if (work === null || !mayFinish(work) || work.tool === 'ruler') return;
  const done =
    work.tool === 'add'
      ? finishAdd(state, work)
      : work.tool === 'redraw'
        ? finishRedraw(state, work)
        : finishSplit(state, work);
  if (done) state.putAway();
}

/** A tap more with the tool in use; finishes when it was the last. */
export function take(state: SlideState, work: Work): void {
  state.work.value = work;
  if (isFull(work)) finish(state);
}
