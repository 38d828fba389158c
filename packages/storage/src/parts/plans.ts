import { badArgument } from '@veligrid/model';
import { together, type Context } from '../context.js';
import { asEntered, enter, rowById, rowsOf } from '../entered.js';
import { PLAN, SIGN_OFF } from '../log-tables.js';
import type { PlanEntry, PlanFields, PlanLog } from '../plan-contract.js';
import { sqlName, type SqlValue } from '../columns.js';

/** A plan rests on the whole count of its own sample, or on none. */
async function checkBasis(working: Context, { sampleId, signOffId }: PlanFields): Promise<void> {
  if (signOffId === null) return;
  const basis = await rowById(working, SIGN_OFF, signOffId);
  if (basis?.sampleId === sampleId && basis.photoId === null && basis.kind === 'signed') return;
  throw badArgument('the sign-off of a plan', 'one of the whole count of its sample', signOffId);
}

/** Plans that staff kept. */
export function plansPart(context: Context): PlanLog {
  return {
    append: (fields, said) =>
      together(context, async (working) => {
        await checkBasis(working, fields);
        return asEntered(await enter(working, PLAN, { ...fields, why: said.why ?? null }, said));
      }),
    async get(id) {
      const row = await rowById(context, PLAN, id);
      return row === null ? null : asEntered(row);
    },
    list: async (choice = {}) => {
      const where = Object.entries(choice as Readonly<Record<string, SqlValue>>);
      const rows = await rowsOf(context, PLAN, Object.fromEntries(where.map(([key, value]) => [sqlName(key), value])));
      return rows.map((row) => asEntered(row) as PlanEntry);
    },
  };
}
