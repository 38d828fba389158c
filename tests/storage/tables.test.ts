import { openStore } from '@veligrid/storage';
import { describe, expect, it } from 'vitest';
import { columnsOf, sqlName } from '../../packages/storage/src/columns.js';
import { TABLES } from '../../packages/storage/src/tables.js';
import { rawDatabase } from './every-row.js';
import { newFolder } from './new-folder.js';

describe('the tables as they are described', () => {
  it('are those that the migrations make, column by column', async () => {
    const folder = newFolder();
    await (await openStore(folder)).close();
    const database = rawDatabase(folder);
    const made = database.prepare(`select name from sqlite_master where type = 'table' and name <> 'migration'`).all();
    expect(made.map(({ name }) => name).toSorted()).toEqual(TABLES.map(({ name }) => name).toSorted());
    const types = { text: 'TEXT', whole: 'INTEGER', number: 'REAL', bytes: 'BLOB' } as const;
    for (const table of TABLES) {
      const columns = database.prepare(`select name, type, "notnull" from pragma_table_info('${table.name}')`).all();
      const there = columns.map(
        ({ name, type, notnull }) => `${String(name)} ${String(type).toUpperCase()} ${String(notnull)}`,
      );
      const said = columnsOf(table).map(
        ([key, column]) => `${sqlName(key)} ${types[column.type]} ${column.optional ? 0 : 1}`,
      );
      expect(there.toSorted(), table.name).toEqual(said.toSorted());
    }
    database.close();
  });
});
