import { mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { collectPhotos } from '../../../apps/cli/src/count/collect-photos.js';
import { countTable } from '../../../apps/cli/src/count/count-table.js';
import { csvHeading, csvRows } from '../../../apps/cli/src/count/detections-csv.js';
import { lengthFigures, percentile } from '../../../apps/cli/src/count/length-figures.js';
import { outputNames, pageName } from '../../../apps/cli/src/count/output-names.js';
import { progressBar } from '../../../apps/cli/src/progress.js';
import { countOf, detectionOf } from '../support/fake-imaging.js';
import { newFolder } from '../support/shell.js';

const page = { raster: { width: 80, height: 60, data: new Uint8Array(0) }, page: 1, warnings: [] };

describe('photos to count', () => {
  function folderWith(names: string[]): string {
    const folder = newFolder();
    for (const name of names) {
      mkdirSync(dirname(join(folder, name)), { recursive: true });
      writeFileSync(join(folder, name), '');
    }
    return folder;
  }

  it('are sorted, at any depth, of any photo ending, without our own pictures', async () => {
    const folder = folderWith([
      'b.JPG',
      'B.png',
      'a/z.tiff',
      'notes.txt',
      '._b.jpg',
      '.hid/c.jpg',
      'b.overlay.jpg',
      'out/d.jpg',
    ]);
    const { photos, unopened } = await collectPhotos([folder], join(folder, 'out'));
    expect(photos.map(({ name }) => name)).toEqual(['B.png', 'a/z.tiff', 'b.JPG']);
    expect(unopened).toEqual([]);
  });

  it('given twice are taken once, and a file named outright needs no ending', async () => {
    const folder = folderWith(['a.jpg', 'scan']);
    const { photos } = await collectPhotos([join(folder, 'scan'), folder, join(folder, 'a.jpg')], '/nowhere');
    expect(photos.map(({ name }) => name)).toEqual(['scan', 'a.jpg']);
  });

  it('may lie in the folder of results', async () => {
    const folder = folderWith(['a.jpg', 'a.overlay.jpg']);
    expect((await collectPhotos([folder], folder)).photos.map(({ name }) => name)).toEqual(['a.jpg']);
  });

  it('that can not be reached are told, with the reason', async () => {
    const folder = folderWith(['a.jpg']);
    symlinkSync(join(folder, 'loop'), join(folder, 'loop'));
    const inputs = [join(folder, 'no'), join(folder, 'a.jpg', 'x'), join(folder, 'loop')];
    const { photos, unopened } = await collectPhotos(inputs, '/nowhere');
    expect(photos).toEqual([]);
    expect(unopened.map(({ reason }) => reason)).toEqual([
      'does not exist. Check the path.',
      'does not exist: a part of the path is a file, not a folder. Check the path.',
      'is a link that leads back to itself. Remove it.',
    ]);
  });
});

describe('names of results', () => {
  const names = (...photos: [string, string?][]): string[] =>
    outputNames(photos.map(([name, folder = 'day']) => ({ path: name, name, folder })));

  it('keep the path and leave the ending off', () => {
    expect(names(['a.jpg'], ['x/b.c.jpg'], ['scan'])).toEqual(['a', 'x/b.c', 'scan']);
  });

  it('keep the ending on a clash, by letter case too', () => {
    expect(names(['IMG_1.png'], ['IMG_1.jpg'], ['img_1.webp'], ['b.jpg'])).toEqual([
      'IMG_1.png',
      'IMG_1.jpg',
      'img_1.webp',
      'b',
    ]);
  });

  it('go into the folder they came from when that is not enough, and get a number at last', () => {
    expect(names(['a.jpg', 'mon'], ['a.jpg', 'tue'])).toEqual(['mon/a.jpg', 'tue/a.jpg']);
    expect(names(['a.jpg', 'mon'], ['a.jpg', 'mon'])).toEqual(['mon/a.jpg', 'mon/a.jpg-2']);
  });

  it('of pages end in the page, and of photos never like the page of another', () => {
    expect(pageName('a', 1, 1)).toBe('a');
    expect([1, 2].map((number) => pageName('a', number, 2))).toEqual(['a-p1', 'a-p2']);
    expect(names(['a.tif'], ['a-p2.jpg'], ['b-p2.jpg'])).toEqual(['a', 'a-p2.jpg', 'b-p2']);
  });
});

describe('length figures', () => {
  it('leave out edge-on, cut and out-of-focus objects, and tell how many', () => {
    const count = {
      ...countOf('a.jpg', page),
      detections: [
        ...[50, 60, 70, 80, 90].map((lengthUm, i) => detectionOf(i, { lengthUm })),
        detectionOf(6, { lengthUm: 500, flags: ['edge-on'] }),
        detectionOf(7, { lengthUm: 500, flags: ['out-of-focus', 'edge-on'] }),
        detectionOf(8, { lengthUm: 500, flags: ['cut', 'out-of-focus'], counted: false }),
        detectionOf(9, { lengthUm: 500, kind: 'bubble', counted: false, flags: ['cut'] }),
      ],
    };
    expect(lengthFigures(count)).toEqual({
      measured: 5,
      leftOut: { cut: 1, 'edge-on': 2, 'out-of-focus': 0, 'not-rounded': 0 },
      // by hand: mean 350 / 5; tenth at position 0.4 of 50..60, ninetieth at 0.6 of 80..90
      lengthUm: { mean: 70, median: 70, p10: 54, p90: 86 },
    });
  });

  it('weigh each length by the chance that one of its size is whole in the photo', () => {
    const lengths = [80, 80, 80, 300];
    const detections = lengths.map((lengthUm, k) => {
      // Miles-Lantuejoul in a frame of 1000 um
      const inclusionWeight = 1 / (1 - lengthUm / 1000) ** 2;
      return detectionOf(k, { lengthUm, inclusionWeight });
    });
    const { lengthUm } = lengthFigures({ ...countOf('a.jpg', page), detections });
    // unweighted 135; weighted by hand: (240 * 1.181474 + 300 * 2.040816) / (3 * 1.181474 + 2.040816)
    expect(lengthUm?.mean).toBeCloseTo(160.3868, 4);
    expect(lengthUm?.median).toBe(80);
  });

  it('are none without a scale', () => {
    const count = { ...countOf('a.jpg', page), detections: [detectionOf(1, { lengthUm: null })] };
    expect(lengthFigures(count)).toMatchObject({ measured: 1, lengthUm: null });
  });

  it('have the percentiles of numpy.percentile (1.24, method linear)', () => {
    // numpy.percentile([3, 5, 9, 14], [10, 25, 50, 90]) = 3.6, 4.5, 7.0, 12.5
    expect(
      [0.1, 0.25, 0.5, 0.9].map((share) =>
        percentile(
          [3, 5, 9, 14].map((um) => ({ um, weight: 2 })),
          share,
        ),
      ),
    ).toEqual([expect.closeTo(3.6, 12), expect.closeTo(4.5, 12), expect.closeTo(7, 12), expect.closeTo(12.5, 12)]);
  });
});

describe('the CSV', () => {
  it('has one line an object and units in its heading', () => {
    const text = csvHeading() + csvRows(countOf('=1+1.jpg', page), 1);
    // no cell of this one needs quotes
    const [heading = [], ...lines] = text
      .trimEnd()
      .split('\n')
      .map((line) => line.split(','));
    const rows = lines.map((line) => Object.fromEntries(line.map((cell, i) => [heading[i] ?? '', cell])));
    expect(rows).toHaveLength(3);
    expect(rows[0]).toMatchObject({
      page: '1',
      id: 'd1',
      kind: 'egg-or-embryo',
      counted: 'yes',
      signed_off: 'no',
      length_um: '61',
      x_px: '40',
      scale_um_per_px: '3',
      flags: '',
    });
    // a spreadsheet would run it
    expect(rows[0]?.['photo']).toBe("'=1+1.jpg");
    expect(rows[1]).toMatchObject({ counted: 'no', flags: 'cut' });
  });
});

describe('the table', () => {
  it('is empty when nothing was counted', () => {
    expect(countTable([])).toBe('');
  });
});

describe('the progress bar', () => {
  const draw = (errIsTerminal: boolean): string => {
    let text = '';
    let time = 0;
    const console = { out: () => undefined, err: (more: string) => (text += more), errIsTerminal };
    const bar = progressBar(console, 4, () => time);
    time = 10_000;
    bar.step();
    bar.end();
    return text;
  };

  it('shows how far it is and how long it takes, on a terminal', () => {
    // one of four after 10 s: three more take 30 s
    expect(draw(true)).toContain(`[======${' '.repeat(18)}] 1 of 4 photos, 30 s left`);
  });

  it('is quiet elsewhere', () => {
    expect(draw(false)).toBe('');
  });
});
