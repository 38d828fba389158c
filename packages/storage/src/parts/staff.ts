import { fromRow, toRow } from '../columns.js';
import { together, type Context } from '../context.js';
import type { Parts, StaffFields } from '../contract.js';
import { asKept, recordsOf, type RecordTable } from '../records.js';
import { SIGN_IN, STAFF } from '../record-tables.js';

/** Two names that look alike to people are one: case, and ways to write one letter, do not tell them apart. */
const nameKey = (name: string): string => name.normalize('NFKC').trim().toLowerCase();

export const STAFF_RECORDS: RecordTable<StaffFields> = {
  table: STAFF,
  derived: ({ name }) => ({ nameKey: name === undefined ? undefined : nameKey(name) }),
};

/** People. */
export function staffPart(context: Context): Parts['staff'] {
  return {
    ...recordsOf(context, STAFF_RECORDS),
    async named(name) {
      const row = await context.db
        .selectFrom(STAFF.name)
        .selectAll()
        .where('name_key', '=', nameKey(name))
        .executeTakeFirst();
      return row === undefined ? null : asKept(STAFF_RECORDS, row);
    },
  };
}

/** Browsers that are signed in. */
export function signInsPart(context: Context, staff: Parts['staff']): Parts['signIns'] {
  return {
    add: (signIn) =>
      together(context, async (working) => {
        const whole = { ...signIn, startedAt: working.now() };
        await working.db.insertInto(SIGN_IN.name).values(toRow(SIGN_IN, whole)).execute();
        return whole;
      }),
    async find(tokenHash) {
      const row = await context.db
        .selectFrom(SIGN_IN.name)
        .selectAll()
        .where('token_hash', '=', tokenHash)
        .where('expires_at', '>', context.now())
        .executeTakeFirst();
      if (row === undefined) return null;
      const signIn = fromRow(SIGN_IN, row);
      const who = await staff.get(signIn.staffId);
      return who === null ? null : { signIn, staff: who };
    },
    async extend(tokenHash, expiresAt) {
      await context.db
        .updateTable(SIGN_IN.name)
        .set(toRow(SIGN_IN, { expiresAt }))
        .where('token_hash', '=', tokenHash)
        .execute();
    },
    async remove(tokenHash) {
      await context.db.deleteFrom(SIGN_IN.name).where('token_hash', '=', tokenHash).execute();
    },
    async removeOf(staffId) {
      await context.db.deleteFrom(SIGN_IN.name).where('staff_id', '=', staffId).execute();
    },
    async removeExpired() {
      const { numDeletedRows } = await context.db
        .deleteFrom(SIGN_IN.name)
        .where('expires_at', '<=', context.now())
        .executeTakeFirst();
      return Number(numDeletedRows);
    },
  };
}
