/** Names within the folder of a store. */

/** The database; beside it lie its write-ahead log and that log's index while it is open. */
export const DATABASE = 'veligrid.sqlite';

/** Picture files by content. */
export const PICTURES = 'pictures';

/** Tiles and thumbnails, which may be thrown away. */
export const CACHE = 'cache';
