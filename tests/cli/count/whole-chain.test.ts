import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Ajv2020 } from 'ajv/dist/2020.js';
import sharp, { type Sharp } from 'sharp';
import { beforeAll, describe, expect, it } from 'vitest';
import { filesBelow, newFolder } from '../support/shell.js';

/** The command as it is installed: compiled, with the finder and refiner that ship. */
const main = fileURLToPath(new URL('../../../apps/cli/dist/main.js', import.meta.url));
const root = fileURLToPath(new URL('../../../', import.meta.url));
const folder = newFolder();
const photos = join(folder, 'photos');

function veligrid(...args: string[]): { code: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [main, ...args], { encoding: 'utf8' });
  return { code: status, out: stdout, err: stderr };
}

/** Part of a sample slide, without its file's metadata. */
const part = (): Sharp =>
  sharp(join(root, 'sample-images/drawn/d-hinge_04.jpg')).extract({ left: 200, top: 200, width: 700, height: 600 });

beforeAll(async () => {
  mkdirSync(photos);
  copyFileSync(join(root, 'sample-images/drawn/calibration_00.jpg'), join(photos, 'ruled.jpg'));
  copyFileSync(join(root, 'sample-images/coral-eggs/3L14_000_scale.jpg'), join(photos, 'eggs.jpg'));
  await part().png().toFile(join(photos, 'plain.png'));
  await part().toColourspace('rgb16').tiff().toFile(join(photos, 'deep.tif'));
  await part().toColourspace('cmyk').jpeg({ quality: 95 }).toFile(join(photos, 'four-inks.jpg'));
  const frame = await part().raw().toBuffer();
  const frames = { width: 700, height: 1200, channels: 3, pageHeight: 600 } as const;
  await sharp(Buffer.concat([frame, frame]), { raw: frames })
    .webp({ quality: 95 })
    .toFile(join(photos, 'moving.webp'));
  const grey = { width: 640, height: 480, channels: 3, background: { r: 190, g: 190, b: 185 } } as const;
  const noise = { type: 'gaussian', mean: 190, sigma: 3 } as const;
  await sharp({ create: { ...grey, noise } })
    .png()
    .toFile(join(photos, 'nothing.png'));
  writeFileSync(join(photos, 'notes.jpg'), 'Tank 4: 83 larvae, day 12');
});

describe('veligrid count, the whole chain', () => {
  const args = ['count', photos, '--scale', '1.956628', '--csv', '--overlay', '--out'];

  it('writes the same bytes with one thread and with two, files that fit the schema, and names the bad one', () => {
    const [one, two] = ['1', '2'].map((threads) => {
      const out = join(folder, `out-${threads}`);
      const answer = veligrid(...args, out, '--threads', threads);
      expect(answer.err).toMatch(/^notes\.jpg is not a photo/);
      expect(answer.code).toBe(3);
      return filesBelow(out);
    });
    expect(two).toEqual(one);
    const schema = JSON.parse(readFileSync(join(root, 'docs/count.schema.json'), 'utf8')) as object;
    const valid = new Ajv2020({ strict: true, strictTypes: false }).compile(schema);
    const counts = [...(one ?? [])].filter(([name]) => name.endsWith('.json'));
    expect(counts.map(([name]) => name)).toEqual([
      'deep.json',
      'eggs.json',
      'four-inks.json',
      'moving.json',
      'nothing.json',
      'plain.json',
      'ruled.json',
    ]);
    for (const [name, bytes] of counts) {
      valid(JSON.parse(bytes.toString()));
      expect(valid.errors ?? [], name).toEqual([]);
    }
    const counted = ([name]: readonly [string, Buffer]): readonly [string, number] => {
      const { detections } = JSON.parse((one?.get(name) ?? '').toString()) as { detections: { counted: boolean }[] };
      return [name, detections.filter((d) => d.counted).length];
    };
    const numbers = Object.fromEntries(counts.map(counted));
    expect(numbers['nothing.json']).toBe(0);
    expect(numbers['plain.json']).toBeGreaterThan(5);
    // the same picture in another coat
    expect(numbers['deep.json']).toBe(numbers['plain.json']);
    expect(numbers['moving.json']).toBe(numbers['plain.json']);
    expect(Math.abs((numbers['four-inks.json'] ?? 0) - (numbers['plain.json'] ?? 0))).toBeLessThanOrEqual(1);
  }, 120_000);
});

describe('the command in a pipe', () => {
  it('ends without complaint when the reader stops early', () => {
    const line = `"${process.execPath}" "${main}" stages | head -n 1; echo "\${PIPESTATUS[0]}"`;
    const { stdout, stderr } = spawnSync('bash', ['-c', line], { encoding: 'utf8' });
    expect(stderr).toBe('');
    expect(stdout).toMatch(/^Stage rules .*\n0\n$/);
  });
});
