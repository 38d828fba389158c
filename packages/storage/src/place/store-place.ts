/** Where a store lies whose database is a server that many machines use. */
export interface DatabasePlace {
  /** Address of the PostgreSQL database, `postgresql://name@host:port/database`; it may hold a password. */
  readonly address: string;
  /** Folder that all machines see, for the photos. */
  readonly photos: string;
  /** Folder of this machine's own, for what may be made again: tiles, uploads on their way; and copies before upgrades. */
  readonly folder: string;
}

/** A folder with everything in it, or a database with a place for photos. */
export type StorePlace = string | DatabasePlace;
