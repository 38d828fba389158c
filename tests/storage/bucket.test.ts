import { readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import S3rver from 's3rver';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { machineDisk } from '../../packages/storage/src/files/disk.js';
import { bucketPlace } from '../../packages/storage/src/files/bucket-place.js';
import type { PicturePlace } from '../../packages/storage/src/files/picture-place.js';
import { sha256Of } from '../../packages/storage/src/append.js';
import { newFolder } from './new-folder.js';

const BUCKET = 'larvae';

async function* content(text: string): AsyncIterable<Uint8Array> {
  yield await Promise.resolve(Buffer.from(text));
}

// a server of the S3 protocol by other people, in this process: github.com/jamhall/s3rver
describe('photos in a bucket', () => {
  let server: S3rver;
  let endpoint = '';
  const cacheFolder = newFolder();
  const at = (cache = cacheFolder): Promise<PicturePlace> =>
    bucketPlace({ bucket: BUCKET, prefix: 'north/', endpoint, disk: machineDisk, cacheFolder: cache });
  const before = { ...process.env };

  beforeAll(async () => {
    // the keys that this server knows
    process.env['AWS_ACCESS_KEY_ID'] = 'S3RVER';
    process.env['AWS_SECRET_ACCESS_KEY'] = 'S3RVER';
    const configureBuckets = [{ name: BUCKET, configs: [] }];
    server = new S3rver({ port: 0, address: '127.0.0.1', silent: true, directory: newFolder(), configureBuckets });
    endpoint = `http://127.0.0.1:${(await server.run()).port}`;
  });
  afterAll(async () => {
    process.env = before;
    await server.close();
  });

  it('come back as they were, to a machine that has not seen them too', async () => {
    const place = await at();
    const sha256 = sha256Of('a photo');
    expect(await place.keep(content('a photo'))).toEqual({ sha256, bytes: 7 });
    expect(await place.size(sha256)).toBe(7);
    const elsewhere = await at(newFolder());
    expect((await readFile(await elsewhere.localPath(sha256))).toString()).toBe('a photo');
    expect(Buffer.from(await elsewhere.read(sha256)).toString()).toBe('a photo');
    const chunks: Uint8Array[] = [];
    for await (const chunk of place.stream(sha256)) chunks.push(chunk);
    expect(Buffer.concat(chunks).toString()).toBe('a photo');
    expect(place.nameOf(sha256)).toBe(`s3://larvae/north/${sha256.slice(0, 2)}/${sha256.slice(2, 4)}/${sha256}`);
  });

  it('are fetched again when the cache was cleaned, and are kept once', async () => {
    const place = await at();
    const { sha256 } = await place.keep(content('another'));
    await rm(join(cacheFolder, 'fetched'), { recursive: true });
    expect((await readFile(await place.localPath(sha256))).toString()).toBe('another');
    expect(await place.keep(content('another'))).toEqual({ sha256, bytes: 7 });
  });

  it('that are not there, or a storage that is not, are told in words', async () => {
    const place = await at();
    const none = sha256Of('none');
    expect(await place.size(none)).toBeNull();
    await expect(place.localPath(none)).rejects.toThrow(`The picture ${none} could not be read`);
    const nowhere = await bucketPlace({
      bucket: BUCKET,
      prefix: '',
      endpoint: 'http://127.0.0.1:1',
      disk: machineDisk,
      cacheFolder,
    });
    await expect(nowhere.keep(content('x'))).rejects.toThrow('the storage of photos refused or can');
  });
});
