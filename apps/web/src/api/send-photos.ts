import type { Problem, Uploaded } from '@veligrid/api';
import { addressOf, Refusal } from './ask.js';
import { Unreachable } from './reach.js';

/** Where the photos go, and whom to tell how far they are. */
export interface Sending {
  readonly sample: string;
  readonly filling: string;
  /** Drawn field that each file shows, or null. */
  readonly fields: readonly (string | null)[];
  /** Part sent, 0..1. */
  readonly onSent: (part: number) => void;
}

/** Sends photos; `fetch` can't say how far an upload is, so this is the older request. */
export function sendPhotos(files: readonly File[], { sample, filling, fields, onSent }: Sending): Promise<Uploaded> {
  const form = new FormData();
  form.append('filling', filling);
  if (fields.some((name) => name !== null)) form.append('fields', JSON.stringify(fields));
  for (const file of files) form.append('photos', file, file.name);
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', addressOf('/samples/{sample}/photos', { sample }));
    request.responseType = 'json';
    request.upload.addEventListener('progress', ({ loaded, total }) => {
      onSent(total > 0 ? loaded / total : 0);
    });
    request.addEventListener('load', () => {
      if (request.status < 300) resolve(request.response as Uploaded);
      else reject(new Refusal(problemOf(request)));
    });
    request.addEventListener('error', () => {
      reject(new Unreachable('The server does not answer'));
    });
    request.send(form);
  });
}

function problemOf({ response, status, statusText }: XMLHttpRequest): Problem {
  if (typeof response === 'object' && response !== null && 'detail' in response) return response as Problem;
  const detail = statusText || String(status);
  return { type: 'about:blank', title: detail, detail, status, kind: 'server-fault' };
}
