import { say } from '../words/say.js';
import { announce } from '../state/announce.js';
import { finish, take } from './acts.js';
import type { Point } from './shapes.js';
import type { SlideState } from './slide-state.js';
import type { SlideView } from './slide-view.js';
import { crossMoved, mayFinish, tapped, untapped, type Work } from './tools.js';

/** Part of the view that an arrow key moves the photo by. */
const MOVE = 0.15;
/** Screen pixels that an arrow key moves the cross by, and with Shift. */
const STEP = 3;
const LONG_STEP = 24;
const ZOOM = 1.35;
/** How far beside an outline the cross still means it, screen pixels. */
const REACH = 10;

const ARROWS: Readonly<Record<string, Point>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** Moves the cross by screen pixels, and the photo with it when it would leave the view. */
function moveCross(view: SlideView, state: SlideState, work: Work, [dx, dy]: Point): void {
  const { scale } = view.picture.restSight();
  const moved = crossMoved(work, [dx / scale, dy / scale], view.middle());
  state.work.value = moved;
  if (moved.cross === null) return;
  const [x, y] = moved.cross;
  const room = 30 / scale;
  view.picture.keepInView({ minX: x - room, minY: y - room, maxX: x + room, maxY: y + room });
}

/** Enter: a point where the cross stands; a second time in the same place: done. */
function enter(view: SlideView, state: SlideState, work: Work): void {
  const cross = work.cross ?? view.middle();
  if (work.tool === 'join') {
    view.tap(cross, REACH / view.picture.restSight().scale);
    return;
  }
  const last = work.taps.at(-1);
  if (last !== undefined && last[0] === cross[0] && last[1] === cross[1]) {
    if (mayFinish(work)) finish(state);
    return;
  }
  take(state, tapped({ ...work, cross }, cross));
  announce(say('tool.point-set', { n: state.work.value?.taps.length ?? 0 }));
}

function keyWithTool(event: KeyboardEvent, view: SlideView, state: SlideState, work: Work): boolean {
  const arrow = ARROWS[event.key];
  const step = event.shiftKey ? LONG_STEP : STEP;
  if (arrow !== undefined) moveCross(view, state, work, [arrow[0] * step, arrow[1] * step]);
  else if (event.key === 'Enter' || event.key === ' ') enter(view, state, work);
  else if (event.key === 'Backspace') state.work.value = untapped(work);
  else if (event.key === 'Escape') state.putAway();
  else return false;
  return true;
}

/** Arrow keys, plus, minus and the keys of tools while the photo has the focus; true when the key did something. */
export function pressedOnPhoto(event: KeyboardEvent, view: SlideView, state: SlideState): boolean {
  if (event.ctrlKey || event.metaKey || event.altKey || !isPhoto(event.target)) return false;
  if (event.key === '+' || event.key === '=') view.picture.zoomBy(ZOOM);
  else if (event.key === '-' || event.key === '_') view.picture.zoomBy(1 / ZOOM);
  else if (event.key === 'Home') view.picture.whole();
  else {
    const work = state.work.value;
    if (work !== null) return keyWithTool(event, view, state, work);
    const arrow = ARROWS[event.key];
    if (arrow === undefined) return chosenByKey(event.key, view);
    view.picture.moveBy(MOVE * arrow[0], MOVE * arrow[1]);
  }
  return true;
}

/** Enter without a tool selects what lies in the middle of the view. */
function chosenByKey(key: string, view: SlideView): boolean {
  if (key !== 'Enter') return false;
  view.tap(view.middle(), (4 * REACH) / view.picture.restSight().scale);
  return true;
}

/** Keys on buttons that lie over the photo are the buttons' own. */
const isPhoto = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.closest('.told') === null;
