import type { Cell, SheetData } from 'write-excel-file/node';
import type { Context } from '../context.js';
import { partsOf } from '../parts/parts-of.js';

/** Text stays text in the sheet: `007` keeps its zeros, `1e3` and `=1+1` are names like any other. */
const text = (value: string | null): Cell => (value === null || value === '' ? null : { value, type: String });
const number = (value: number | null): Cell => (value === null ? null : { value, type: Number });
const heading = (names: readonly string[]): Cell[] =>
  names.map((value) => ({ value, type: String, fontWeight: 'bold' as const }));

interface Sheet {
  readonly sheet: string;
  readonly data: SheetData;
}

async function sheets(context: Context): Promise<Sheet[]> {
  const parts = partsOf(context);
  const [batches, tanks, samples] = [
    await parts.batches.list(),
    await parts.tanks.list(),
    await parts.samples.overview(),
  ];
  const names = new Map([...batches, ...tanks].map(({ id, name }) => [id, name]));
  const named = (id: string | null): Cell => text(id === null ? null : (names.get(id) ?? null));
  const signing = ({ signOff }: (typeof samples)[number]): Cell =>
    text(signOff?.kind === 'signed' ? `${signOff.by}, ${signOff.at}` : 'not signed off');
  return [
    {
      sheet: 'samples',
      data: [
        heading(['sample', 'taken at', 'batch', 'tank', 'photos', 'photos counted', 'found', 'signed off']),
        ...samples.map((one) => [
          text(one.sample.name),
          text(one.sample.takenAt),
          named(one.sample.batchId),
          named(one.sample.tankId),
          number(one.photos),
          number(one.countedPhotos),
          number(one.counted),
          signing(one),
        ]),
      ],
    },
    {
      sheet: 'batches',
      data: [
        heading(['batch', 'species', 'spawned at', 'note']),
        ...batches.map((one) => [text(one.name), text(one.species), text(one.spawnedAt), text(one.note)]),
      ],
    },
    {
      sheet: 'tanks',
      data: [
        heading(['tank', 'volume (mL)', 'standard uncertainty (mL)', 'note']),
        ...tanks.map((one) => [
          text(one.name),
          number(one.volumeMl),
          number(one.volumeStandardUncertaintyMl),
          text(one.note),
        ]),
      ],
    },
  ];
}

/** A workbook for people: samples, batches and tanks. Nothing reads it back. */
export async function writeWorkbook(context: Context): Promise<Uint8Array> {
  // many files, which no other work needs
  const { default: writeExcelFile } = await import('write-excel-file/node');
  return writeExcelFile(await sheets(context)).toBuffer();
}
