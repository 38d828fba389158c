import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Detection } from '@veligrid/model';

/** What packages/imaging/training/drawer/filling.py says of a slide. */
export interface SlideTruth {
  readonly name: string;
  readonly um_per_px: number;
  readonly swim: number;
  /** Larvae, in pixels of the slide. */
  readonly objects: readonly {
    readonly x: number;
    readonly y: number;
    readonly size: number;
    readonly swims: boolean;
  }[];
  readonly photos: Readonly<
    Record<
      string,
      {
        readonly image: string;
        readonly slide_px_of_photo_px: readonly (readonly [number, number, number])[];
        readonly whole: readonly number[];
      }
    >
  >;
  readonly sets: readonly { readonly name: string; readonly photos: readonly string[] }[];
  readonly apart: readonly string[];
}

/** A slide and the folder that it lies in. */
export interface Slide {
  readonly dir: string;
  readonly truth: SlideTruth;
}

/** Slides below a folder, each with its own folder. */
export function slidesBelow(folder: string): Slide[] {
  const files = readdirSync(folder, { recursive: true }).map(String);
  return files
    .filter((name) => name.endsWith('truth.json'))
    .sort()
    .map((name) => {
      const path = join(folder, name);
      return { dir: join(path, '..'), truth: JSON.parse(readFileSync(path, 'utf8')) as SlideTruth };
    });
}

/** Centroids this near to a larva, over its size, are that larva's. */
const NEAR = 0.45;

/** Number of the still larva that a detection of a photo is, or -1. */
export function larvaOf(truth: SlideTruth, photo: string, { x, y }: Detection): number {
  const [across, down] = truth.photos[photo]?.slide_px_of_photo_px ?? [];
  if (across === undefined || down === undefined) throw new Error(`${truth.name} has no photo ${photo}`);
  const [u, v] = [across, down].map(([a, b, c]) => a * x + b * y + c) as [number, number];
  let nearest = { larva: -1, distance: Infinity };
  for (const [larva, one] of truth.objects.entries()) {
    const distance = Math.hypot(one.x - u, one.y - v);
    if (!one.swims && distance < NEAR * one.size && distance < nearest.distance) nearest = { larva, distance };
  }
  return nearest.larva;
}
