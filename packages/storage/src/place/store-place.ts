/** A bucket of S3-compatible storage. Its keys come from the environment, or whatever else its client looks at. */
export interface BucketPlace {
  readonly bucket: string;
  /** Begins the names of all photos, for example `hatchery/`; empty for none. */
  readonly prefix: string;
  /** Address of the storage, `https://...`; without one it is that of Amazon. */
  readonly endpoint?: string;
  readonly region?: string;
}

/** Where a store lies whose database is a server that many machines use. */
export interface DatabasePlace {
  /** Address of the PostgreSQL database, `postgresql://name@host:port/database`; it may hold a password. */
  readonly address: string;
  /** For the photos: a folder that all machines see, or a bucket. */
  readonly photos: string | BucketPlace;
  /** Folder of this machine's own, for what may be made again: tiles, uploads on their way; and copies before upgrades. */
  readonly folder: string;
}

/** A folder with everything in it, or a file that tells a database and a place of photos, or these themselves. */
export type StorePlace = string | DatabasePlace;
