import type { PhotoCount } from '@veligrid/model';
import type { Change, Entered, Json, JsonObject, Kept, Records, Said } from './kept-contract.js';
import type { AccessParts } from './access-contract.js';
import type { JobTable } from './job-contract.js';
import type { PlanLog } from './plan-contract.js';
import type {
  BatchFields,
  CalibrationFields,
  FillingFields,
  MicroscopeFields,
  PhotoFields,
  SampleFields,
  SignIn,
  StaffFields,
  TankFields,
} from './record-contract.js';
import type { SeasonParts } from './season-contract.js';

export type { Change, Entered, Json, JsonObject, Kept, Records, Said };
export type * from './job-contract.js';
export * from './record-contract.js';

/**
 * What every store must do, whichever database is behind it. Whatever a method has answered is on disk: neither a crash
 * nor a power cut loses it. All times are ISO 8601 in UTC (`2026-06-01T09:30:00.000Z`), all ids are given by the store
 * unless a field says otherwise.
 *
 * Errors are VeligridErrors: `bad-argument` for what can't be kept or an id that is not there, `changed-meanwhile` when
 * somebody else was faster, `store-failed` when the disk or the database refused. After an error nothing of the call is kept.
 */

/** A picture file. */
export interface StoredFile {
  /** SHA-256 of its content, 64 hexadecimal digits: its name. */
  readonly sha256: string;
  readonly bytes: number;
  readonly addedAt: string;
}

/** Picture files by content: one that comes twice is kept once. */
export interface Files {
  /**
   * Keeps bytes, or a copy of the file at a path (read as a stream, so size costs no memory). Answers when file and
   * folder are on disk.
   */
  put(content: Uint8Array | { readonly path: string }): Promise<StoredFile>;
  has(sha256: string): Promise<boolean>;
  /** @throws VeligridError `bad-argument` when there is none of this name */
  read(sha256: string): Promise<Uint8Array>;
  /** A path on this machine to read it from; nobody may write there. */
  localPath(sha256: string): Promise<string>;
}

/** What the method saw in one photo; never changed. */
export interface DetectionsFields {
  readonly photoId: string;
  /** With `count.photo` equal to `photoId`. */
  readonly count: PhotoCount;
}

/** Counts of photos by the method. One photo may have several, of different versions; the last is in force. */
export interface DetectionsLog {
  /**
   * Keeps a count. The one in force once more, word for word, changes nothing and answers the kept one, so that a job may
   * be done twice.
   */
  add(fields: DetectionsFields, said: Said): Promise<Entered<DetectionsFields>>;
  get(id: string): Promise<Entered<DetectionsFields> | null>;
  /** The one in force of each photo of a sample, in the order of `photos.ofSample`; photos without are left out. */
  ofSample(sampleId: string): Promise<readonly Entered<DetectionsFields>[]>;
  /** All of one photo, oldest first. */
  ofPhoto(photoId: string): Promise<readonly Entered<DetectionsFields>[]>;
}

/** A staff decision as the review room makes it; `payload` is the whole decision. */
export interface DecisionFields {
  /** Given by who decides, unique. */
  readonly id: string;
  /** Null for undoing and redoing, which name another decision instead. */
  readonly photoId: string | null;
  readonly kind: string;
  readonly by: string;
  /** When it was decided, by the clock of who decided; the order does not go by it. */
  readonly at: string;
  readonly payload: JsonObject;
}

export type DecisionEntry = DecisionFields & {
  readonly sampleId: string;
  /** 1, 2, 3 ... in each sample without gaps. */
  readonly order: number;
  /** When it was kept, by the store's clock. */
  readonly keptAt: string;
};

export type Appended =
  | { readonly kind: 'appended'; readonly last: number; readonly entries: readonly DecisionEntry[] }
  /** Nothing was kept: these came first. Merge and append again after `last`. */
  | { readonly kind: 'conflict'; readonly last: number; readonly newer: readonly DecisionEntry[] };

/** Decisions on a sample, append-only. */
export interface DecisionLog {
  /**
   * Appends all or none.
   *
   * @param after order number of the last decision that the decider knows; 0 for none. Entries that are kept already
   *   under the same ids, sent again because an answer was lost, are answered as appended.
   */
  append(sampleId: string, after: number, decisions: readonly DecisionFields[]): Promise<Appended>;
  /** In order. @param after leaves out all up to this number; 0 by default */
  ofSample(sampleId: string, after?: number): Promise<readonly DecisionEntry[]>;
}

/** Signing off one photo or the whole count of a sample, or taking that back. */
export interface SignOffFields {
  readonly sampleId: string;
  /** Null for the whole count. */
  readonly photoId: string | null;
  readonly kind: 'signed' | 'taken-back';
  /** Order number of the last decision it rests on; later decisions ask for a new one. */
  readonly decisions: number;
  /** Detections it rests on: photo id to id of detections. */
  readonly detections: Readonly<Record<string, string>>;
  /** The confirmed count as plain JSON, to show and export; totals are made from detections and decisions again. */
  readonly payload: JsonObject | null;
}

export type SignOffEntry = Entered<SignOffFields> & { readonly order: number; readonly why: string | null };

export interface SignOffLog {
  /** @throws VeligridError `changed-meanwhile` when `decisions` is no longer the last of the sample */
  append(fields: SignOffFields, said: Said): Promise<SignOffEntry>;
  /** In order. */
  ofSample(sampleId: string): Promise<readonly SignOffEntry[]>;
}

/** Figures computed from signed-off counts, append-only. */
export interface EstimateFields {
  readonly sampleId: string;
  /** The sign-off of the whole count that it rests on. */
  readonly signOffId: string;
  /** For example `count`, `share`, `lengths`. */
  readonly kind: string;
  readonly question: JsonObject;
  readonly answer: JsonObject;
  /** Version of the program that computed it. */
  readonly program: string;
}

export interface EstimateLog {
  append(fields: EstimateFields, said: Said): Promise<Entered<EstimateFields>>;
  /** Oldest first. */
  ofSample(sampleId: string): Promise<readonly Entered<EstimateFields>[]>;
}

/** Rules for stages, a species preset as this hatchery edited it, or (`figures:SPECIES`) its own figures for plans. */
export interface RulesFields {
  readonly kind: 'stage-rules' | 'species-preset';
  /** What they are for, for example `eastern-oyster`. */
  readonly name: string;
  /** Unique for kind and name. */
  readonly version: string;
  readonly content: JsonObject;
}

export interface RulesLog {
  append(fields: RulesFields, said: Said): Promise<Entered<RulesFields>>;
  /** The last appended, or null. */
  latest(kind: RulesFields['kind'], name: string): Promise<Entered<RulesFields> | null>;
  /** All of a kind, oldest first. */
  list(kind: RulesFields['kind']): Promise<readonly Entered<RulesFields>[]>;
}

/** Settings by key, for example `sign-in` or `rules-in-use`. Every value ever set is kept. */
export interface Settings {
  /** @returns null when never set */
  get(key: string): Promise<Json>;
  set(key: string, value: Json, said: Said): Promise<void>;
  /** Keys with their current values. */
  all(): Promise<Readonly<Record<string, Json>>>;
}

/** A sample with all that belongs to it, in one reading. */
export interface OpenSample {
  readonly sample: Kept<SampleFields>;
  readonly fillings: readonly Kept<FillingFields>[];
  readonly photos: readonly Kept<PhotoFields>[];
  /** In force, of those photos that have been counted. */
  readonly detections: readonly Entered<DetectionsFields>[];
  readonly decisions: readonly DecisionEntry[];
  readonly signOffs: readonly SignOffEntry[];
  readonly estimates: readonly Entered<EstimateFields>[];
}

/** One line of the list of samples, and of a batch's history. */
export interface SampleOverview {
  readonly sample: Kept<SampleFields>;
  readonly photos: number;
  /** Photos that have been counted, and objects counted in them before any decision. */
  readonly countedPhotos: number;
  readonly counted: number;
  readonly lastDecision: number;
  /** The last signing off or taking back of the whole count, without its payload; null when there is none. */
  readonly signOff: Omit<SignOffEntry, 'payload' | 'detections'> | null;
  /** The last of each kind. */
  readonly estimates: readonly Entered<EstimateFields>[];
}

/** A sample with the sign-off that stands and what follows from it; quick, as nothing of its photos is read. */
export type StandingSample = Pick<SampleOverview, 'sample' | 'signOff'> & {
  /** The last estimate of kind `count`, or none. The same object may be given twice: it must not be changed. */
  readonly estimates: SampleOverview['estimates'];
};

/** Something that `check` found wrong. */
export interface Flaw {
  /** Kebab-case, for example `photo-missing`. */
  readonly code: string;
  /** What and where, in one sentence that says what to do. */
  readonly message: string;
}

/** What the database keeps. */
export interface Parts extends SeasonParts, AccessParts {
  readonly staff: Records<StaffFields> & { named(name: string): Promise<Kept<StaffFields> | null> };
  readonly signIns: {
    add(signIn: Omit<SignIn, 'startedAt'>): Promise<SignIn>;
    /** Null when there is none or it has expired. */
    find(tokenHash: string): Promise<{ readonly signIn: SignIn; readonly staff: Kept<StaffFields> } | null>;
    /** Moves the end of it. */
    extend(tokenHash: string, expiresAt: string): Promise<void>;
    remove(tokenHash: string): Promise<void>;
    /** Signs a person out everywhere. */
    removeOf(staffId: string): Promise<void>;
    removeExpired(): Promise<number>;
  };
  readonly microscopes: Records<MicroscopeFields>;
  readonly calibrations: {
    append(fields: CalibrationFields, said: Said): Promise<Entered<CalibrationFields>>;
    get(id: string): Promise<Entered<CalibrationFields> | null>;
    /** Oldest measurement first; all microscopes without an id. */
    list(microscopeId?: string): Promise<readonly Entered<CalibrationFields>[]>;
  };
  readonly batches: Records<BatchFields>;
  readonly tanks: Records<TankFields>;
  readonly samples: Records<SampleFields> & {
    open(id: string): Promise<OpenSample | null>;
    /** Samples by the time they were taken: all, or those of a batch or tank (the history of a batch). */
    overview(choice?: { readonly batchId?: string; readonly tankId?: string }): Promise<readonly SampleOverview[]>;
    /** The same samples with no more than what stands of them. */
    standing(choice?: { readonly batchId?: string; readonly tankId?: string }): Promise<readonly StandingSample[]>;
  };
  readonly fillings: Records<FillingFields> & { ofSample(sampleId: string): Promise<readonly Kept<FillingFields>[]> };
  readonly photos: Records<PhotoFields> & {
    /** By filling, then as added. */
    ofSample(sampleId: string): Promise<readonly Kept<PhotoFields>[]>;
  };
  readonly detections: DetectionsLog;
  readonly decisions: DecisionLog;
  readonly signOffs: SignOffLog;
  readonly estimates: EstimateLog;
  readonly plans: PlanLog;
  readonly rules: RulesLog;
  readonly settings: Settings;
  readonly jobs: JobTable;
}

/** Everything that is kept. */
export interface Store extends Parts {
  readonly files: Files;
  /**
   * Does several things as one: all are kept or none. Whatever `work` asks of the store belongs to it. Others wait until it
   * is over, so it must be short; files are not part of it, and are put before.
   */
  together<T>(work: (parts: Parts) => Promise<T>): Promise<T>;
  /** Folder for tiles and thumbnails on this machine; everything in it may be thrown away at any time. */
  readonly cacheFolder: string;
  /** Folder of the photos; null when they lie elsewhere, as in a bucket. */
  readonly photoFolder: string | null;
  /** Whether the database answers and can be written. */
  ping(): Promise<boolean>;
  /** Looks through everything; an empty list means all is well. */
  check(): Promise<readonly Flaw[]>;
  /** Copies everything but the cache into a folder that is empty or new, while others go on working. */
  backup(folder: string): Promise<void>;
  close(): Promise<void>;
}
