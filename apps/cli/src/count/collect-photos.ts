import { readdir, stat } from 'node:fs/promises';
import { basename, extname, join, resolve, sep } from 'node:path';

/** Endings by which photos are known in a folder; a file named outright is taken whatever its ending. */
const ENDINGS = new Set(['.jpg', '.jpeg', '.png', '.webp', '.tif', '.tiff', '.bmp', '.gif', '.avif', '.heic', '.heif']);
/** Ending of the pictures that this program writes itself. */
const OVERLAY_ENDING = '.overlay.jpg';

/** A photo to count. */
export interface PhotoFile {
  readonly path: string;
  /** Path below the folder that was given, or the file's own name; forward slashes on every system. */
  readonly name: string;
  /** Name of the given folder, or of the folder the file lies in: tells apart what has one name twice. */
  readonly folder: string;
}

/** Something named or met that could not be looked into. */
export interface Unopened {
  readonly path: string;
  readonly reason: string;
}

/** What was found. */
export interface Collected {
  readonly photos: readonly PhotoFile[];
  readonly unopened: readonly Unopened[];
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'does not exist. Check the path.',
  ENOTDIR: 'does not exist: a part of the path is a file, not a folder. Check the path.',
  EACCES: 'may not be opened by this user. Change its permissions.',
  EPERM: 'may not be opened by this user. Change its permissions.',
  ELOOP: 'is a link that leads back to itself. Remove it.',
};

const reasonOf = (error: unknown): string =>
  REASONS[(error as NodeJS.ErrnoException).code ?? ''] ??
  `could not be opened (${String(error)}). Copy it to this machine.`;

const isPhotoName = (name: string): boolean =>
  !name.startsWith('.') && !name.toLowerCase().endsWith(OVERLAY_ENDING) && ENDINGS.has(extname(name).toLowerCase());

/** Lists a folder and the folders in it, sorted by name without regard to the language of the machine. */
async function walk(
  folder: string,
  below: string,
  leaveOut: string,
  found: { photos: [string, string][]; unopened: Unopened[] },
): Promise<void> {
  let entries;
  try {
    entries = await readdir(folder, { withFileTypes: true });
  } catch (error) {
    found.unopened.push({ path: folder, reason: reasonOf(error) });
    return;
  }
  entries.sort((a, b) => (a.name < b.name ? -1 : 1));
  for (const entry of entries) {
    const path = join(folder, entry.name);
    const name = below === '' ? entry.name : `${below}/${entry.name}`;
    if (entry.isDirectory()) {
      if (!entry.name.startsWith('.') && resolve(path) !== leaveOut) await walk(path, name, leaveOut, found);
    } else if (isPhotoName(entry.name)) {
      found.photos.push([path, name]);
    }
  }
}

/**
 * Finds the photos to count: files named outright, and in folders, at any depth, whatever ends like a photo. Hidden
 * files, links to folders, overlay pictures of this program and the folder of results are passed over; a photo that is
 * reached twice is taken once.
 *
 * @param inputs files and folders in the order given
 * @param outFolder folder of results
 * @returns photos in the order given, folders sorted by name; and what could not be opened, with the reason
 */
export async function collectPhotos(inputs: readonly string[], outFolder: string): Promise<Collected> {
  const photos = new Map<string, PhotoFile>();
  const unopened: Unopened[] = [];
  for (const input of inputs) {
    const whole = resolve(input);
    const add = (path: string, name: string, folder: string): void => {
      if (!photos.has(resolve(path))) photos.set(resolve(path), { path, name, folder });
    };
    try {
      if (!(await stat(input)).isDirectory()) {
        add(input, basename(whole), basename(resolve(whole, '..')));
        continue;
      }
    } catch (error) {
      unopened.push({ path: input, reason: reasonOf(error) });
      continue;
    }
    const found = { photos: [] as [string, string][], unopened };
    await walk(input, '', resolve(outFolder), found);
    for (const [path, name] of found.photos) add(path, name, whole.split(sep).pop() ?? '');
  }
  return { photos: [...photos.values()], unopened };
}
