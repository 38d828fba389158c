/** Anything JSON can say. */
export type Json = null | boolean | number | string | readonly Json[] | JsonObject;
export type JsonObject = { readonly [key: string]: Json };

/** Who says something, and why. */
export interface Said {
  /** Name of a staff member, or of a part of the program such as `count`. */
  readonly by: string;
  /** One sentence, where there is a reason to give; not empty. */
  readonly why?: string;
}

/** An entry with the time it was kept. */
export type Entered<Fields> = Fields & { readonly id: string; readonly by: string; readonly at: string };

/** A kept record: its fields with id and who touched it when. */
export type Kept<Fields> = Fields & {
  readonly id: string;
  /** 1 when added, one more with every change. */
  readonly revision: number;
  readonly addedBy: string;
  readonly addedAt: string;
  readonly changedBy: string;
  readonly changedAt: string;
};

/** One entry of a record's history; the fields are those after the change. */
export interface Change<Fields> {
  readonly revision: number;
  readonly by: string;
  readonly at: string;
  readonly why: string | null;
  readonly fields: Fields;
}

/** Records that may be changed. Every version ever said is kept in the history. */
export interface Records<Fields> {
  add(fields: Fields, said: Said): Promise<Kept<Fields>>;
  /** @returns null when there is none with this id */
  get(id: string): Promise<Kept<Fields> | null>;
  /** All, in the order they were added. */
  list(): Promise<readonly Kept<Fields>[]>;
  /**
   * Changes some fields.
   *
   * @param revision the one that the changer saw; VeligridError `changed-meanwhile` when it is no longer the last
   */
  change(id: string, revision: number, fields: Partial<Fields>, said: Said): Promise<Kept<Fields>>;
  /** From the first version to the last. */
  history(id: string): Promise<readonly Change<Fields>[]>;
}
