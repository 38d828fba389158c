import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import sharp from 'sharp';
import { expect, it } from 'vitest';
import { newFolder } from '../../storage/new-folder.js';
import { serve } from '../running-program.ts';
import { runLoad } from './run-load.js';

const slide = readFileSync(join(import.meta.dirname, '../../../sample-images/drawn/umbo_04.jpg'));

it('stations at work at once get no error, and every decision is kept in its order', { timeout: 300_000 }, async () => {
  const place = join(newFolder(), 'hatchery');
  const program = await serve('--data', place);
  const first = await sharp(slide).extract({ left: 300, top: 300, width: 400, height: 400 }).jpeg().toBuffer();
  const plan = { url: program.url, place, first, photos: [first] };
  const figures = await runLoad({ ...plan, stations: 4, minutes: 0.2, photoEveryMs: 6000, correctionEveryMs: 500 });
  expect(figures.errors).toEqual([]);
  // each station can only skip a turn when the machine is too busy, never lose one
  expect(figures.corrections).toBeGreaterThan(20);
  expect(figures.photosSent).toBe(8);
  expect(figures.events).toBeGreaterThan(figures.corrections / 10);
  expect(await program.end('SIGTERM')).toBe(0);
});
