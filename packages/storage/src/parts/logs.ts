import { badArgument } from '@veligrid/model';
import { together, type Context } from '../context.js';
import type {
  CalibrationFields,
  EstimateFields,
  EstimateLog,
  Json,
  Parts,
  RulesFields,
  RulesLog,
  Settings,
} from '../contract.js';
import { lastOf } from '../append.js';
import { asEntered, enter, rowById, rowsOf } from '../entered.js';
import { CALIBRATION, ESTIMATE, RULES, SETTING, SIGN_OFF } from '../log-tables.js';

/** Scales of microscopes. */
export function calibrationsPart(context: Context): Parts['calibrations'] {
  return {
    append: async (fields, said) => asEntered<CalibrationFields>(await enter(context, CALIBRATION, fields, said)),
    async get(id) {
      const row = await rowById(context, CALIBRATION, id);
      return row === null ? null : asEntered<CalibrationFields>(row);
    },
    async list(microscopeId) {
      const rows = await rowsOf(context, CALIBRATION, microscopeId === undefined ? {} : { microscopeId });
      return rows
        .map((row) => asEntered<CalibrationFields>(row))
        .sort((a, b) => (a.measuredAt < b.measuredAt ? -1 : a.measuredAt > b.measuredAt ? 1 : 0));
    },
  };
}

/** Figures of samples. */
export function estimatesPart(context: Context): EstimateLog {
  return {
    append: (fields, said) =>
      together(context, async (working) => {
        const basis = await rowById(working, SIGN_OFF, fields.signOffId);
        if (basis?.sampleId !== fields.sampleId || basis.photoId !== null || basis.kind !== 'signed') {
          throw badArgument('the sign-off of an estimate', 'one of the whole count of its sample', fields.signOffId);
        }
        return asEntered<EstimateFields>(await enter(working, ESTIMATE, fields, said));
      }),
    ofSample: async (sampleId) =>
      (await rowsOf(context, ESTIMATE, { sampleId })).map((row) => asEntered<EstimateFields>(row)),
  };
}

/** Rules for stages and species presets. */
export function rulesPart(context: Context): RulesLog {
  return {
    append: async (fields, said) => asEntered<RulesFields>(await enter(context, RULES, fields, said)),
    async latest(kind, name) {
      const row = await lastOf(context, RULES, { kind, name });
      return row === null ? null : asEntered<RulesFields>(row);
    },
    list: async (kind) => (await rowsOf(context, RULES, { kind })).map((row) => asEntered<RulesFields>(row)),
  };
}

/** Settings by key. */
export function settingsPart(context: Context): Settings {
  return {
    async get(key) {
      const row = await lastOf(context, SETTING, { key });
      return row?.value ?? null;
    },
    async set(key, value, said) {
      await enter(context, SETTING, { key, value, why: said.why ?? null }, said);
    },
    async all() {
      const rows = await rowsOf(context, SETTING);
      return Object.fromEntries(rows.map(({ key, value }): [string, Json] => [key, value]));
    },
  };
}
