import type { AccessParts, AccessTokenFields, SignInEventFields } from '../access-contract.js';
import { ACCESS_TOKEN, SIGN_IN_EVENT } from '../access-tables.js';
import { fromRow } from '../columns.js';
import type { Context } from '../context.js';
import { asEntered, enter } from '../entered.js';
import { asKept, recordsOf, type RecordTable } from '../records.js';

const TOKEN_RECORDS: RecordTable<AccessTokenFields> = { table: ACCESS_TOKEN };

/** Tokens of programs, and what happened at the door. */
export function accessPart(context: Context): AccessParts {
  return {
    tokens: {
      ...recordsOf(context, TOKEN_RECORDS),
      async find(tokenHash) {
        const row = await context.db
          .selectFrom(ACCESS_TOKEN.name)
          .selectAll()
          .where('token_hash', '=', tokenHash)
          .executeTakeFirst();
        if (row === undefined) return null;
        const token = asKept(TOKEN_RECORDS, row);
        const good = token.expiresAt === null || token.expiresAt > context.now();
        return token.active && good ? token : null;
      },
    },
    signInEvents: {
      append: async (fields, said) => asEntered<SignInEventFields>(await enter(context, SIGN_IN_EVENT, fields, said)),
      async latest(most) {
        const rows = await context.db
          .selectFrom(SIGN_IN_EVENT.name)
          .selectAll()
          .orderBy('entry', 'desc')
          .limit(most)
          .execute();
        return rows.map((row) => asEntered<SignInEventFields>(fromRow(SIGN_IN_EVENT, row)));
      },
    },
  };
}
