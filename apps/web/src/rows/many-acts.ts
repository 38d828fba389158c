import type { Stage } from '@veligrid/model';
import { announce } from '../state/announce.js';
import type { Larva } from '../state/larvae.js';
import type { OpenSample } from '../state/open-sample.js';
import { mayCount } from '../state/session.js';
import { say } from '../words/say.js';

/** Whether anything may be decided now; says why not. */
function mayDecide(open: OpenSample): boolean {
  if (!mayCount.value) announce(say('decide.may-not'), 'trouble');
  else if (open.sample.value?.state === 'signed-off') announce(say('decide.signed-off'), 'trouble');
  else return true;
  return false;
}

/** Gives all of them one stage. */
export function relabelAll(open: OpenSample, larvae: readonly Larva[], stage: Stage): void {
  if (larvae.length === 0 || !mayDecide(open)) return;
  for (const { photo, object } of larvae) open.decisions.decide({ kind: 'relabel', photo, object: object.id, stage });
  announce(say('did.relabel-many', { n: larvae.length, stage: say(`stage.${stage}`) }));
}

/** Says of all that they are right. */
export function rightAsTheyAre(open: OpenSample, larvae: readonly Larva[]): void {
  if (larvae.length === 0 || !mayDecide(open)) return;
  for (const { photo, object } of larvae) {
    open.decisions.decide({ kind: 'relabel', photo, object: object.id, stage: object.stage });
  }
  announce(say('did.right-many', { n: larvae.length }));
}

/** Takes all of them out. */
export function removeAll(open: OpenSample, larvae: readonly Larva[]): void {
  if (larvae.length === 0 || !mayDecide(open)) return;
  for (const { photo, object } of larvae) open.decisions.decide({ kind: 'remove', photo, object: object.id });
  announce(say('did.remove-many', { n: larvae.length }));
}
