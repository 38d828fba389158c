import type { PhotoCount, Stage } from '@veligrid/model';
import type { DrawnOutline, Form } from './decision.js';

/** One object as it stands now. */
export interface ReviewedObject {
  readonly id: string;
  readonly x: number;
  readonly y: number;
  readonly outline: DrawnOutline;
  readonly stage: Stage;
  readonly form: Form;
  readonly square: string | null;
  /** Greatest length for outlines drawn by hand. */
  readonly lengthUm: number | null;
  readonly heightUm: number | null;
  /** Neither cut, edge-on nor out of focus. */
  readonly measurable: boolean;
  /** An egg, embryo or larva, alive or dead, not cut, and inside the counted field where the whole field is counted. */
  readonly counted: boolean;
  /** Decisions that made it what it is, in order; empty when it is as found. */
  readonly decisions: readonly string[];
}

/** One photo as it stands now. */
export interface ReviewedPhoto {
  readonly count: PhotoCount;
  readonly objects: readonly ReviewedObject[];
  /** Squares to count, or null for the whole field. */
  readonly squares: readonly string[] | null;
  /** Why the photo is not used, or null. */
  readonly rejected: string | null;
  readonly notes: readonly { readonly by: string; readonly at: string; readonly text: string }[];
}
