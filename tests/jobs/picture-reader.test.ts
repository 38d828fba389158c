import { existsSync, mkdtempSync, writeFileSync } from 'node:fs';
import { execFileSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPictureReader, type PictureReader } from '../../packages/jobs/dist/index.js';

const folder = mkdtempSync(join(tmpdir(), 'veligrid-pictures-'));
const path = join(folder, 'a.png');
let reader: PictureReader;

/** Processes that this one started and that read pictures. */
const processes = (): number[] =>
  execFileSync('ps', ['-o', 'pid=,args=', '--ppid', String(process.pid)], { encoding: 'utf8' })
    .split('\n')
    .filter((line) => line.includes('picture-process'))
    .map((line) => Number(line.trim().split(' ')[0]));

beforeAll(async () => {
  const black = { width: 900, height: 600, channels: 3, background: '#345' } as const;
  writeFileSync(path, await sharp({ create: black }).png().toBuffer());
  reader = createPictureReader({ atATime: 1 });
});
afterAll(() => {
  reader.stop();
});

describe('pictures that people send', () => {
  it('are looked at, made small and cut in a process of its own', async () => {
    const [page] = await reader.inspect(path, { name: 'a.png', maxPixels: 1e6 });
    expect(page).toMatchObject({ page: 1, widthPx: 900, heightPx: 600 });
    const to = join(folder, 'small.jpg');
    await reader.preview(path, 1, to);
    const small = await sharp(to).metadata();
    expect([small.format, (small.width ?? 0) / (small.height ?? 1)]).toEqual(['jpeg', 1.5]);
    await reader.pyramid(path, 1, join(folder, 'tiles'));
    expect(existsSync(join(folder, 'tiles', '0', '0_0.jpeg'))).toBe(true);
    expect(processes()).toHaveLength(1);
  });

  it('are refused in the words of who read them', async () => {
    const wrong = join(folder, 'b.jpg');
    writeFileSync(wrong, 'no picture');
    await expect(reader.inspect(wrong, { name: 'b.jpg', maxPixels: 1e6 })).rejects.toThrow('b.jpg is not a photo');
    await expect(reader.inspect(path, { name: 'a.png', maxPixels: 10 })).rejects.toThrow('over the limit');
  });

  it('end that process at worst: who waits is told, and the next picture is read', async () => {
    const large = join(folder, 'large.jpg');
    const noise = { width: 6000, height: 5000, channels: 3, background: '#777' } as const;
    writeFileSync(large, await sharp({ create: noise }).jpeg().toBuffer());
    const waiting = reader.pyramid(large, 1, join(folder, 'never'));
    const told = expect(waiting).rejects.toThrow('died of it');
    await expect.poll(processes).toHaveLength(1);
    for (const pid of processes()) process.kill(pid, 'SIGKILL');
    await told;
    expect(await reader.inspect(path, { name: 'a.png', maxPixels: 1e6 })).toHaveLength(1);
  });

  it('may take so long and no longer', async () => {
    const hasty = createPictureReader({ atATime: 1, mostMs: 1 });
    await expect(hasty.preview(path, 1, join(folder, 'late.jpg'))).rejects.toThrow('took too long');
    hasty.stop();
  });
});
