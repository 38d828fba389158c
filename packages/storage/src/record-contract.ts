import type { SampleNotes } from '@veligrid/model';
import type { JsonObject } from './kept-contract.js';

/** What is kept of staff, microscopes, batches, tanks, samples and photos; rules for all of it: contract.ts. */

export const ROLES = ['viewer', 'counter', 'manager'] as const;
export type Role = (typeof ROLES)[number];

export interface StaffFields {
  /** As shown and as written into `by`; no two staff have the same, whatever the case of its letters. */
  readonly name: string;
  readonly role: Role;
  /** Hash of the password with its salt and cost, or null for who can't sign in. Not in exports. */
  readonly passwordHash: string | null;
  /** Whether they still work here; staff are never removed. */
  readonly active: boolean;
}

/** A browser that is signed in. */
export interface SignIn {
  /** SHA-256 of the secret token, hexadecimal; the token itself is nowhere kept. */
  readonly tokenHash: string;
  readonly staffId: string;
  readonly startedAt: string;
  readonly expiresAt: string;
}

export interface MicroscopeFields {
  readonly name: string;
  readonly note: string;
  readonly active: boolean;
}

/** A scale that was measured on a day; never changed, a later one follows. */
export interface CalibrationFields {
  readonly microscopeId: string;
  /** Objective or magnification as staff call it, for example `4x`. */
  readonly objective: string;
  readonly umPerPx: number;
  /** Standard uncertainty over the value, 0..1; null when not known. */
  readonly relativeStandardUncertainty: number | null;
  /** Width in pixels of the pictures it is for, or null for any. */
  readonly widthPx: number | null;
  /** What it was measured on, for example a ruler's smallest division. */
  readonly measuredOn: string;
  /** When it was measured. */
  readonly measuredAt: string;
}

export interface BatchFields {
  /** Text, also when it looks like a number. */
  readonly name: string;
  /** Species preset, for example `eastern-oyster`. */
  readonly species: string;
  readonly spawnedAt: string | null;
  readonly note: string;
  readonly active: boolean;
}

export interface TankFields {
  /** Text, also when it looks like a number. */
  readonly name: string;
  /** Millilitres, above 0, with standard uncertainty; null when not known. */
  readonly volumeMl: number | null;
  readonly volumeStandardUncertaintyMl: number | null;
  readonly note: string;
  readonly active: boolean;
}

/** One sample looked at under the microscope, of one container at one time. */
export interface SampleFields {
  readonly name: string;
  readonly batchId: string | null;
  readonly tankId: string | null;
  readonly takenAt: string;
  readonly species: string;
  /** Live, chilled or fixed, with what, and the age. */
  readonly notes: SampleNotes;
  /** Millilitres of the container the sample stands for, with standard uncertainty; null when not known yet. */
  readonly containerVolumeMl: number | null;
  readonly containerVolumeStandardUncertaintyMl: number | null;
  /** How its photos are counted: cell, rule, area, scale and the like, kept as given. */
  readonly counting: JsonObject;
  readonly note: string;
  readonly active: boolean;
}

/** One filling of the slide (a subsample). */
export interface FillingFields {
  readonly sampleId: string;
  /** 1 for the first of the sample; no two of a sample have the same. */
  readonly number: number;
  /** Millilitres looked at, with standard uncertainty; null when not known yet. */
  readonly volumeMl: number | null;
  readonly volumeStandardUncertaintyMl: number | null;
  /** Dilutions and concentrations in order, as volumes. */
  readonly steps: readonly { readonly takenMl: number; readonly madeUpToMl: number }[];
  readonly note: string;
}

export interface PhotoFields {
  readonly fillingId: string;
  /** The picture, as `files.put` named it; must be there. */
  readonly sha256: string;
  /** Page of a file with several, 1 for the first. */
  readonly page: number;
  /** Name of the file as staff gave it. */
  readonly name: string;
  /** Upright size; null until it has been read. */
  readonly widthPx: number | null;
  readonly heightPx: number | null;
  readonly takenAt: string | null;
  readonly calibrationId: string | null;
}
