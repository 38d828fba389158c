import type { Stage } from '@veligrid/model';

/** Who decided, and when. */
export interface Made {
  /** Unique among all decisions of a count, for example a UUID; merging goes by it. */
  readonly id: string;
  readonly by: string;
  /** ISO 8601 with zone. */
  readonly at: string;
}

/** An outline drawn by a person: three corners or more in pixels, without a repeated end point. */
export type DrawnOutline = readonly (readonly [number, number])[];

/** A new object drawn by a person. */
export interface DrawnObject {
  /** Unique in its photo. */
  readonly id: string;
  readonly outline: DrawnOutline;
  readonly stage: Stage;
}

/** Whether a form is normal. */
export type Form = 'normal' | 'abnormal' | 'not-judged';

/** What was decided of one photo or one of its objects. Objects are named by id; found ones are never changed. */
export type Choice =
  | { readonly kind: 'relabel'; readonly photo: string; readonly object: string; readonly stage: Stage }
  | { readonly kind: 'form'; readonly photo: string; readonly object: string; readonly form: Form }
  | { readonly kind: 'remove'; readonly photo: string; readonly object: string }
  | { readonly kind: 'redraw'; readonly photo: string; readonly object: string; readonly outline: DrawnOutline }
  | { readonly kind: 'add'; readonly photo: string; readonly drawn: DrawnObject }
  | { readonly kind: 'split'; readonly photo: string; readonly object: string; readonly into: readonly DrawnObject[] }
  | { readonly kind: 'join'; readonly photo: string; readonly objects: readonly string[]; readonly into: DrawnObject }
  | { readonly kind: 'reject-photo'; readonly photo: string; readonly reason: string }
  /** Squares to count, by name; null counts the whole field. */
  | { readonly kind: 'choose-squares'; readonly photo: string; readonly squares: readonly string[] | null }
  | { readonly kind: 'note'; readonly photo: string; readonly text: string };

/** One entry of the log, which only ever grows: undoing is an entry of its own. */
export type Decision = Made &
  (
    Choice | { readonly kind: 'undo'; readonly decision: string } | { readonly kind: 'redo'; readonly decision: string }
  );

/** A decision that is not about another one. */
export type DirectDecision = Made & Choice;

/** Whether a decision says something of a photo itself. */
export const isDirect = (decision: Decision): decision is DirectDecision =>
  decision.kind !== 'undo' && decision.kind !== 'redo';
