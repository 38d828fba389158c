import type { Entered, JsonObject, Said } from './kept-contract.js';

/** A plan that staff kept: what was asked, what came out, and what both rest on. */
export interface PlanFields {
  /** Kind of plan, for example `stocking`. */
  readonly kind: string;
  readonly question: JsonObject;
  readonly answer: JsonObject;
  /** Presets it was worked out with, by name and version, for example `common 1, eastern-oyster 1`. */
  readonly figures: string;
  /** The house's own figures in force then (an id of `rules`); null when there were none. */
  readonly ownFiguresId: string | null;
  /** Figures that were changed for this plan alone, as they were taken. */
  readonly changedFigures: readonly JsonObject[];
  readonly sampleId: string | null;
  /** The sign-off of that sample's whole count that the plan was made from; null when it rests on none. */
  readonly signOffId: string | null;
  readonly batchId: string | null;
  readonly tankId: string | null;
  /** Version of the program that worked it out. */
  readonly program: string;
}

export type PlanEntry = Entered<PlanFields> & { readonly why: string | null };

/** Plans, append-only: what staff meant to do stays as it was, whatever the counts say later. */
export interface PlanLog {
  /** @throws VeligridError `bad-argument` for what can't be kept, or a sign-off that is not of the sample's whole count */
  append(fields: PlanFields, said: Said): Promise<PlanEntry>;
  get(id: string): Promise<PlanEntry | null>;
  /** Oldest first: all, or those of a sample, batch or tank. */
  list(choice?: {
    readonly sampleId?: string;
    readonly batchId?: string;
    readonly tankId?: string;
  }): Promise<readonly PlanEntry[]>;
}
