import type { Transaction } from 'kysely';
import type { Backend, Tables } from '../dialect/backend.js';

/** Tokens of programs, and what happened at the door. As this migration found things; it is never edited. */
export async function m0005Access(db: Transaction<Tables>, backend: Backend): Promise<void> {
  const { text, whole } = backend.types;
  const tokens = db.schema
    .createTable('access_token')
    .addColumn('id', text, (column) => column.notNull())
    .addColumn('entry', whole, (column) => column.notNull())
    .addColumn('revision', whole, (column) => column.notNull())
    .addColumn('added_by', text, (column) => column.notNull())
    .addColumn('added_at', text, (column) => column.notNull())
    .addColumn('changed_by', text, (column) => column.notNull())
    .addColumn('changed_at', text, (column) => column.notNull())
    .addColumn('name', text, (column) => column.notNull())
    .addColumn('scope', text, (column) => column.notNull())
    .addColumn('token_hash', text)
    .addColumn('expires_at', text)
    .addColumn('active', whole, (column) => column.notNull())
    .addPrimaryKeyConstraint('access_token_key', ['id'])
    .addUniqueConstraint('access_token_entry', ['entry'])
    .addUniqueConstraint('access_token_hash', ['token_hash']);
  await backend.finishTable(tokens).execute();
  const events = db.schema
    .createTable('sign_in_event')
    .addColumn('entry', whole, (column) => column.notNull())
    .addColumn('id', text, (column) => column.notNull())
    .addColumn('order', whole, (column) => column.notNull())
    .addColumn('by', text, (column) => column.notNull())
    .addColumn('at', text, (column) => column.notNull())
    .addColumn('link', text, (column) => column.notNull())
    .addColumn('what', text, (column) => column.notNull())
    .addColumn('staff_id', text, (column) => column.references('staff.id'))
    .addColumn('token_id', text, (column) => column.references('access_token.id'))
    .addPrimaryKeyConstraint('sign_in_event_key', ['entry'])
    .addUniqueConstraint('sign_in_event_id', ['id'])
    .addUniqueConstraint('sign_in_event_order', ['order']);
  await backend.finishTable(events).execute();
  await backend.makeAppendOnly(db, 'sign_in_event');
}
