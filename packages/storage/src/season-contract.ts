import type {
  AnimalFields,
  CrossFields,
  CultureFields,
  CultureReadingFields,
  MoveFields,
  OriginFields,
  ParentageFields,
  RationFields,
  SettingEventFields,
  SpatCountFields,
  SpawnFields,
  SpawnResultFields,
  SpermCheckFields,
  WaterNoteFields,
} from '@veligrid/model';
import type { Records, Said } from './kept-contract.js';

/** Something that staff recorded, as it stands. */
export type SeasonEntry<Fields> = Fields & {
  /** Stays the same through corrections; this is what others name. */
  readonly id: string;
  /** 1 as first said, one more with every correction. */
  readonly version: number;
  /** Who said it as it stands, and when it was kept. */
  readonly by: string;
  readonly at: string;
  readonly why: string | null;
};

/** One saying of an entry: the first, a correction, or taking it back. */
export type SeasonVersion<Fields> = SeasonEntry<Fields> & { readonly withdrawn: boolean };

/** What staff recorded of one kind, append-only. A correction is one more row that stands in for what was said before. */
export interface SeasonLog<Fields> {
  /** @throws VeligridError `bad-argument` for what can't be kept or names something that is not there */
  append(fields: Fields, said: Said): Promise<SeasonEntry<Fields>>;
  /** @returns null when there is none, or it was taken back */
  get(id: string): Promise<SeasonEntry<Fields> | null>;
  /** What stands, by the time it happened, then as it was first said. */
  list(): Promise<readonly SeasonEntry<Fields>[]>;
  /**
   * Says some fields anew. What was taken back stands again.
   *
   * @param version the one that the corrector saw; VeligridError `changed-meanwhile` when it is no longer the last
   */
  correct(id: string, version: number, fields: Partial<Fields>, said: Said): Promise<SeasonEntry<Fields>>;
  /** Takes back what never happened. */
  withdraw(id: string, version: number, said: Said): Promise<void>;
  /** From the first saying to the last, those taken back too. */
  versions(id: string): Promise<readonly SeasonVersion<Fields>[]>;
}

/** The season's part of a store. */
export interface SeasonParts {
  readonly broodstock: Records<AnimalFields>;
  readonly parents: SeasonLog<ParentageFields>;
  readonly spawns: SeasonLog<SpawnFields>;
  readonly spawnResults: SeasonLog<SpawnResultFields>;
  readonly crosses: SeasonLog<CrossFields>;
  readonly spermChecks: SeasonLog<SpermCheckFields>;
  readonly origins: SeasonLog<OriginFields>;
  readonly moves: SeasonLog<MoveFields>;
  readonly cultures: Records<CultureFields>;
  readonly cultureReadings: SeasonLog<CultureReadingFields>;
  readonly rations: SeasonLog<RationFields>;
  readonly waterNotes: SeasonLog<WaterNoteFields>;
  readonly settingEvents: SeasonLog<SettingEventFields>;
  readonly spatCounts: SeasonLog<SpatCountFields>;
}
