import type { CreateTableBuilder, Transaction } from 'kysely';
import type { Backend, Tables } from '../dialect/backend.js';

/** What every log of the season has, as this migration found it. */
const begin = (db: Transaction<Tables>, { types }: Backend, name: string): CreateTableBuilder<string, string> =>
  db.schema
    .createTable(name)
    .addColumn('entry', types.whole, (column) => column.notNull())
    .addColumn('id', types.text, (column) => column.notNull())
    .addColumn('order', types.whole, (column) => column.notNull())
    .addColumn('by', types.text, (column) => column.notNull())
    .addColumn('at', types.text, (column) => column.notNull())
    .addColumn('link', types.text, (column) => column.notNull())
    .addColumn('happened_at', types.text, (column) => column.notNull())
    .addColumn('note', types.text, (column) => column.notNull())
    .addColumn('why', types.text)
    .addColumn('corrects', types.text, (column) => column.references(`${name}.id`))
    .addColumn('withdrawn', types.whole, (column) => column.notNull())
    .addPrimaryKeyConstraint(`${name}_key`, ['entry'])
    .addUniqueConstraint(`${name}_id`, ['id'])
    .addUniqueConstraint(`${name}_order`, ['order']);

async function finish(
  db: Transaction<Tables>,
  backend: Backend,
  name: string,
  table: CreateTableBuilder<string, string>,
): Promise<void> {
  await backend.finishTable(table).execute();
  await backend.makeAppendOnly(db, name);
  await db.schema.createIndex(`${name}_by_first`).on(name).column('corrects').execute();
}

/** Parents of animals, and sperm seen on eggs. As this migration found things; it is never edited. */
export async function m0004Parents(db: Transaction<Tables>, backend: Backend): Promise<void> {
  const { text, whole, number } = backend.types;
  const parentage = begin(db, backend, 'parentage')
    .addColumn('animal_id', text, (column) => column.notNull().references('broodstock.id'))
    .addColumn('dam', text, (column) => column.notNull())
    .addColumn('sire', text, (column) => column.notNull());
  await finish(db, backend, 'parentage', parentage);
  const sperm = begin(db, backend, 'sperm_check')
    .addColumn('cross_id', text, (column) => column.notNull().references('cross_made.id'))
    .addColumn('attached_per_egg', number, (column) => column.notNull())
    .addColumn('eggs', whole);
  await finish(db, backend, 'sperm_check', sperm);
}
