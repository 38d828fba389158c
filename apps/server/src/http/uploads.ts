import { createWriteStream } from 'node:fs';
import { mkdir, rm } from 'node:fs/promises';
import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import type { RequestHandler } from 'express';
import multer, { type StorageEngine } from 'multer';
import type { House } from '../house.js';
import { ProblemError } from './problem-error.js';
import type { SentFile } from './call.js';

const MOST_NAME = 200;

/** A name to show: without folders and control characters, which no file's name has. */
function shownName(name: string): string {
  const last = name.split(/[/\\]/).pop() ?? '';
  // eslint-disable-next-line no-control-regex -- they are what is taken out
  const plain = last.replaceAll(/[\u0000-\u001f\u007f]/g, '').trim();
  return plain === '' ? 'photo' : plain.slice(-MOST_NAME);
}

/** Streams each file to a path that the server makes up; nothing the browser says reaches the file system. */
function toDisk(folder: string): StorageEngine {
  return {
    _handleFile(_req, file, done) {
      const path = join(folder, randomUUID());
      pipeline(file.stream, createWriteStream(path, { flags: 'wx' })).then(
        () => {
          done(null, { path });
        },
        (error: unknown) => {
          rm(path, { force: true }).then(
            () => {
              done(error);
            },
            () => {
              done(error);
            },
          );
        },
      );
    },
    _removeFile(_req, { path }, done) {
      rm(path, { force: true }).then(() => {
        done(null);
      }, done);
    },
  };
}

/** Takes the files of a form; they are removed when the answer is out, kept or not. */
export function receiveFiles(
  house: House,
  { field, most }: { readonly field: string; readonly most: number },
): RequestHandler {
  const { uploadFolder, uploadLimits } = house;
  const receive = multer({
    storage: toDisk(uploadFolder),
    limits: { fileSize: uploadLimits.bytes, files: most, parts: most + 10, fieldSize: 10_000, fields: 10 },
    // names come as UTF-8 from every browser (RFC 7578, 5.1.2)
    defParamCharset: 'utf8',
  }).array(field, most);
  return async (req, res, next) => {
    await mkdir(uploadFolder, { recursive: true });
    // a sender that stands still holds a connection and half a file for nothing; a slow one may take its time
    req.setTimeout(uploadLimits.stillMs, () => req.destroy());
    receive(req, res, (error: unknown) => {
      req.setTimeout(0);
      // files that did not come whole are gone by now, and stand in the list without names
      if (error !== undefined) {
        next(error);
        return;
      }
      const files = (Array.isArray(req.files) ? req.files : []).map(({ path, originalname }): SentFile => ({
        path,
        name: shownName(originalname),
      }));
      res.locals['files'] = files;
      res.on('close', () => {
        for (const { path } of files) void rm(path, { force: true });
      });
      if (files.length > 0) next();
      else next(new ProblemError('bad-request', `Send 1 to ${String(most)} files as ${field}.`));
    });
  };
}
