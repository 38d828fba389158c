import { createReadStream } from 'node:fs';
import { utimes } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import type * as Client from '@aws-sdk/client-s3';
import { VeligridError } from '@veligrid/model';
import type { BucketPlace } from '../place/store-place.js';
import { onDisk } from './disk-failure.js';
import type { Disk } from './disk.js';
import type { PicturePlace } from './picture-place.js';
import { pathOf, placeFile } from './place-file.js';

type S3 = typeof Client;

/** Folder in the cache with photos that were fetched; they may be thrown away. */
const FETCHED = 'fetched';

/** Loaded when it is needed: who keeps photos in a folder need not have it. */
async function loadClient(): Promise<S3> {
  try {
    return await import('@aws-sdk/client-s3');
  } catch (error) {
    const message = 'Photos in a bucket need a package that is not installed: npm install @aws-sdk/client-s3@3.1175.0';
    throw new VeligridError('store-failed', message, { cause: error });
  }
}

/** Runs work on the storage and says in plain words why it failed. */
async function inBucket<T>(what: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof VeligridError) throw error;
    const { name, message } = error as Error;
    const words = `${what}: the storage of photos refused or can't be reached (${message === '' ? name : message}).`;
    throw new VeligridError('store-failed', `${words} Look at its address and keys, then try again.`, { cause: error });
  }
}

const isMissing = (error: unknown): boolean =>
  ['NotFound', 'NoSuchKey'].includes((error as { readonly name?: string }).name ?? '');

interface Bucket extends BucketPlace {
  readonly disk: Disk;
  /** Cache of this machine. */
  readonly cacheFolder: string;
}

class S3Pictures implements PicturePlace {
  readonly folder = null;
  readonly #client: Client.S3Client;
  readonly #s3: S3;
  readonly #at: Bucket;
  readonly #fetched: string;

  constructor(s3: S3, at: Bucket) {
    const { endpoint, region = 'us-east-1', cacheFolder } = at;
    // storage that is not Amazon's seldom has a name of its own for each bucket
    const own = endpoint === undefined ? {} : { endpoint, forcePathStyle: true };
    this.#client = new s3.S3Client({ region, ...own });
    this.#s3 = s3;
    this.#at = at;
    this.#fetched = join(cacheFolder, FETCHED);
  }

  get #bucket(): string {
    return this.#at.bucket;
  }

  #key(sha256: string): string {
    return `${this.#at.prefix}${sha256.slice(0, 2)}/${sha256.slice(2, 4)}/${sha256}`;
  }

  nameOf(sha256: string): string {
    return `s3://${this.#bucket}/${this.#key(sha256)}`;
  }

  /** Written here first, as its name is known only when all of it has been seen. The storage checks what arrives. */
  async keep(content: AsyncIterable<Uint8Array>): ReturnType<PicturePlace['keep']> {
    const written = await placeFile(this.#at.disk, this.#fetched, content);
    const { sha256, bytes } = written;
    if ((await this.size(sha256)) === bytes) return written;
    await inBucket('The picture was not kept', () =>
      this.#client.send(
        new this.#s3.PutObjectCommand({
          Bucket: this.#bucket,
          Key: this.#key(sha256),
          Body: createReadStream(pathOf(this.#fetched, sha256)),
          ContentLength: bytes,
          ChecksumSHA256: Buffer.from(sha256, 'hex').toString('base64'),
        }),
      ),
    );
    return written;
  }

  size(sha256: string): Promise<number | null> {
    return inBucket(`The picture ${sha256} was not found`, async () => {
      try {
        const asked = new this.#s3.HeadObjectCommand({ Bucket: this.#bucket, Key: this.#key(sha256) });
        return (await this.#client.send(asked)).ContentLength ?? 0;
      } catch (error) {
        if (isMissing(error)) return null;
        throw error;
      }
    });
  }

  async *stream(sha256: string): AsyncIterable<Uint8Array> {
    const { Body: body } = await inBucket(`The picture ${sha256} could not be read`, () =>
      this.#client.send(new this.#s3.GetObjectCommand({ Bucket: this.#bucket, Key: this.#key(sha256) })),
    );
    yield* body as unknown as AsyncIterable<Uint8Array>;
  }

  async read(sha256: string): Promise<Uint8Array> {
    return this.#at.disk.read(await this.localPath(sha256));
  }

  /** Fetched once and then kept in the cache, where what was used last stays longest. */
  async localPath(sha256: string): Promise<string> {
    const path = pathOf(this.#fetched, sha256);
    if ((await this.#at.disk.size(path)) === null) {
      const placed = await placeFile(this.#at.disk, this.#fetched, this.stream(sha256));
      if (placed.sha256 !== sha256) {
        const message = `The picture ${this.nameOf(sha256)} is not what was kept. Bring it back from a backup.`;
        throw new VeligridError('store-failed', message);
      }
    }
    const now = new Date();
    await onDisk(`The picture ${sha256} could not be read`, () => utimes(path, now, now));
    return resolve(path);
  }
}

/** Pictures in a bucket of S3-compatible storage, with those used last in the cache of this machine. */
export const bucketPlace = async (at: Bucket): Promise<PicturePlace> => new S3Pictures(await loadClient(), at);
