import { stringify } from 'csv-stringify/sync';
import type { Photo, Result, Sample } from '@veligrid/api';
import type { ConfirmedObject, ConfirmedPhoto } from '@veligrid/model';
import type { Call, Handlers } from '../http/call.js';
import { ProblemError } from '../http/problem-error.js';
import { decisionOf } from '../review/counts.js';
import { findSample, readSample } from '../samples/read-sample.js';
import { standingSignOff } from '../samples/sample-answer.js';
import { COLUMNS, type ObjectRow } from './object-row.js';
import { resultsOf } from './sign-off-handlers.js';
import { workbook } from './workbook.js';

interface SignedOff {
  readonly sample: Sample;
  readonly photos: readonly Photo[];
  readonly result: Result;
  readonly rows: readonly ObjectRow[];
  readonly decisions: readonly ReturnType<typeof decisionOf>[];
}

function rowOf(
  object: ConfirmedObject,
  photo: Photo | undefined,
  { sample, result }: Omit<SignedOff, 'rows'>,
): ObjectRow {
  return {
    photo: photo?.name ?? '',
    filling: photo?.filling ?? 1,
    square: object.square,
    object: object.id,
    stage: object.stage,
    form: object.form,
    length_um: object.lengthUm,
    height_um: object.heightUm,
    measurable: object.measurable,
    tank: sample.tankName,
    batch: sample.batchName,
    taken_at: sample.takenAt,
    signed_off_by: result.signedOff.by,
    signed_off_at: result.signedOff.at,
  };
}

/** @throws ProblemError `not-signed-off` while the count is open */
async function signedOff({ house, params }: Call<'exportCsv' | 'exportXlsx' | 'exportJson'>): Promise<SignedOff> {
  const { answer, photos, signOffs, decisions } = await readSample(house, await findSample(house, params['sample']));
  const standing = standingSignOff(signOffs);
  const result = (await resultsOf(house, answer.id)).find(({ id }) => id === standing?.id);
  if (standing === null || result === undefined) {
    throw new ProblemError(
      'not-signed-off',
      'This count is not signed off, so there is no result to take away. Sign it off first.',
    );
  }
  const { photos: confirmed } = standing.payload as unknown as { readonly photos: readonly ConfirmedPhoto[] };
  const log = decisions.slice(0, result.decisions).map(decisionOf);
  const whole = { sample: answer, photos, result, decisions: log };
  const byId = new Map(photos.map((photo) => [photo.id, photo]));
  const rows = confirmed.flatMap(({ photo, objects }) =>
    objects.map((object) => rowOf(object, byId.get(photo), whole)),
  );
  return { ...whole, rows };
}

/** File name from tank and day; other characters than letters, digits, dot and dash are left out. */
const fileName = ({ sample }: SignedOff, ending: string): string =>
  `${sample.tankName}-${sample.takenAt.slice(0, 10)}`.replaceAll(/[^\p{L}\p{N}.-]+/gu, '-') + ending;

export const exportHandlers: Handlers<'exportCsv' | 'exportXlsx' | 'exportJson'> = {
  exportCsv: async (call) => {
    const all = await signedOff(call);
    const text = stringify(
      all.rows.map((row) => COLUMNS.map((column) => row[column])),
      { header: true, columns: [...COLUMNS], escape_formulas: true, cast: { boolean: String } },
    );
    call.res.attachment(fileName(all, '.csv')).type('text/csv').send(text);
  },
  exportXlsx: async (call) => {
    const all = await signedOff(call);
    call.res.attachment(fileName(all, '.xlsx')).send(await workbook(all.sample, all.result, all.rows));
  },
  exportJson: async (call) => {
    const all = await signedOff(call);
    const { result, sample, photos, decisions, rows } = all;
    call.res.attachment(fileName(all, '.json')).json({ result, sample, photos, decisions, objects: rows });
  },
};
