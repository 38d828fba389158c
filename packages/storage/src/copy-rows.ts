import type { AnyTable, Row } from './columns.js';
import type { Db } from './dialect/backend.js';
import { walk } from './walk.js';

/** Rows written by one statement: databases take some ten thousand values at once. */
const AT_ONCE = 200;

/**
 * Copies all rows of tables into a database where these tables are empty.
 *
 * @param tables those named by others first
 */
export async function copyRows(from: Db, to: Db, tables: readonly AnyTable[]): Promise<void> {
  for (const table of tables) {
    let waiting: Row[] = [];
    const write = async (): Promise<void> => {
      if (waiting.length > 0) await to.insertInto(table.name).values(waiting).execute();
      waiting = [];
    };
    for await (const row of walk({ db: from }, table)) {
      waiting.push(row);
      if (waiting.length === AT_ONCE) await write();
    }
    await write();
  }
}

/** Those of some tables that a database has: one of an older program lacks the newest. */
export async function tablesThere(
  { columnNames }: { readonly columnNames: (table: string) => Promise<readonly string[]> },
  tables: readonly AnyTable[],
): Promise<AnyTable[]> {
  const there: AnyTable[] = [];
  for (const table of tables) if ((await columnNames(table.name)).length > 0) there.push(table);
  return there;
}
