import type { Transaction } from 'kysely';
import type { Backend, Tables } from '../dialect/backend.js';

/** Plans that staff kept. As this migration found things; it is never edited. */
export async function m0003Plans(db: Transaction<Tables>, backend: Backend): Promise<void> {
  const { text, whole } = backend.types;
  const table = db.schema
    .createTable('plan')
    .addColumn('entry', whole, (column) => column.notNull())
    .addColumn('id', text, (column) => column.notNull())
    .addColumn('order', whole, (column) => column.notNull())
    .addColumn('by', text, (column) => column.notNull())
    .addColumn('at', text, (column) => column.notNull())
    .addColumn('link', text, (column) => column.notNull())
    .addColumn('kind', text, (column) => column.notNull())
    .addColumn('question', text, (column) => column.notNull())
    .addColumn('answer', text, (column) => column.notNull())
    .addColumn('figures', text, (column) => column.notNull())
    .addColumn('own_figures_id', text, (column) => column.references('rules_version.id'))
    .addColumn('changed_figures', text, (column) => column.notNull())
    .addColumn('sample_id', text, (column) => column.references('sample.id'))
    .addColumn('sign_off_id', text, (column) => column.references('sign_off.id'))
    .addColumn('batch_id', text, (column) => column.references('batch.id'))
    .addColumn('tank_id', text, (column) => column.references('tank.id'))
    .addColumn('program', text, (column) => column.notNull())
    .addColumn('why', text)
    .addPrimaryKeyConstraint('plan_key', ['entry'])
    .addUniqueConstraint('plan_id', ['id'])
    .addUniqueConstraint('plan_order', ['order']);
  await backend.finishTable(table).execute();
  await backend.makeAppendOnly(db, 'plan');
  for (const column of ['sample_id', 'batch_id', 'tank_id']) {
    await db.schema.createIndex(`plan_by_${column}`).on('plan').column(column).execute();
  }
}
