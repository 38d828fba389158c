import type { ColumnDataType, CreateTableBuilder, Expression, Kysely, Transaction } from 'kysely';
import type { Row, SqlType } from '../columns.js';

/** Every table by name; columns are checked by their descriptions, not by the compiler. */
export type Tables = Record<string, Row>;
export type Db = Kysely<Tables>;

/** Types of columns in one kind of database. */
export type ColumnTypes = Readonly<Record<SqlType, ColumnDataType | Expression<unknown>>>;

/** What differs from one kind of database to the other. Everything outside this folder is the same for all. */
export interface Backend {
  readonly db: Db;
  readonly types: ColumnTypes;
  /** Ends a table's making the way this database checks types strictly. */
  finishTable(table: CreateTableBuilder<string, string>): CreateTableBuilder<string, string>;
  /** Makes the database refuse to change or remove rows of a table. */
  makeAppendOnly(db: Transaction<Tables>, table: string): Promise<void>;
  /** Names of the columns that a table has. */
  columnNames(table: string): Promise<readonly string[]>;
  /** What the database itself finds wrong with its content, foreign keys included; empty when all is well. */
  integrity(): Promise<readonly string[]>;
  /** Writes one consistent copy of the database to a new SQLite file while others go on writing. */
  copyTo(path: string): Promise<void>;
  /** The time by the one clock that all programs on this database have in common; null where each has its own machine's. */
  commonTime(on: Db): Promise<string | null>;
  close(): Promise<void>;
}

/** A database that is one file. */
export interface FileBackend extends Backend {
  /**
   * Brings everything written into the one database file, closes it, and leaves nothing beside it: the file may then be
   * renamed. Nobody else may have it open.
   */
  closeWhole(): Promise<void>;
}
