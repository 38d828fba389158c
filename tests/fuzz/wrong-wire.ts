import { gzipSync } from 'node:zlib';
import type { Choose } from './choose.ts';

/** A body as it goes over the wire. */
export interface Wire {
  readonly headers: Readonly<Record<string, string>>;
  readonly body: Uint8Array | string;
}

const JSON_TYPE = { 'Content-Type': 'application/json' };

const TYPES = [
  'text/plain',
  'application/xml',
  'application/x-www-form-urlencoded',
  'application/json; charset=utf-99',
  'application/json; charset=utf-16',
  'application/json;;;',
  'multipart/form-data',
  'multipart/form-data; boundary=',
  `multipart/form-data; boundary=${'b'.repeat(300)}`,
  'image/svg+xml',
  'x',
];

type Spoil = (json: string, choose: Choose) => Wire;

/** What can be wrong with a body apart from the value in it. */
const SPOILS: readonly Spoil[] = [
  (json, choose) => ({ headers: { 'Content-Type': choose.of(TYPES) }, body: json }),
  (json, choose) => ({ headers: JSON_TYPE, body: json.slice(0, choose.below(json.length)) }),
  () => ({ headers: JSON_TYPE, body: '' }),
  (json) => ({ headers: JSON_TYPE, body: `\ufeff${json}` }),
  (json) => ({ headers: JSON_TYPE, body: Buffer.concat([Buffer.from([0xff, 0xfe, 0xc0, 0x80]), Buffer.from(json)]) }),
  (json) => ({ headers: JSON_TYPE, body: Buffer.from(json, 'utf16le') }),
  () => ({ headers: JSON_TYPE, body: Buffer.alloc(64) }),
  () => ({ headers: JSON_TYPE, body: '['.repeat(100_000) }),
  () => ({ headers: JSON_TYPE, body: `${'{"a":'.repeat(20_000)}1${'}'.repeat(20_000)}` }),
  () => ({ headers: JSON_TYPE, body: `"${'x'.repeat(9_000_000)}"` }),
  (json) => ({ headers: { ...JSON_TYPE, 'Content-Encoding': 'gzip' }, body: json }),
  (json) => ({ headers: { ...JSON_TYPE, 'Content-Encoding': 'gzip' }, body: gzipSync(json).subarray(0, 12) }),
  () => ({ headers: { ...JSON_TYPE, 'Content-Encoding': 'gzip' }, body: gzipSync(' '.repeat(12_000_000)) }),
  (json) => ({ headers: { ...JSON_TYPE, 'Content-Encoding': 'compress' }, body: json }),
  (json) => ({ headers: JSON_TYPE, body: json.replace('{', '{"name":1,"name":2,') }),
  (json) => ({ headers: JSON_TYPE, body: `${json}${json}` }),
  (json) => ({ headers: JSON_TYPE, body: json.replaceAll('"', "'") }),
];

/** JSON text with something wrong about how it is sent. */
export const wrongWire = (json: string, choose: Choose): Wire => choose.of(SPOILS)(json, choose);

/** JSON text sent as it should be. */
export const plainWire = (json: string): Wire => ({ headers: JSON_TYPE, body: json });

const BOUNDARY = 'edge';

const partOf = (headers: string, content: Uint8Array | string): Buffer =>
  Buffer.concat([Buffer.from(`--${BOUNDARY}\r\n${headers}\r\n\r\n`), Buffer.from(content), Buffer.from('\r\n')]);

/** A multipart form from names, values and files, none of them checked; at times cut short. */
export function formWire(
  parts: Readonly<Record<string, string>>,
  files: readonly { readonly field: string; readonly name: string; readonly bytes: Uint8Array }[],
  choose: Choose,
): Wire {
  const whole = Buffer.concat([
    ...Object.entries(parts).map(([name, value]) => partOf(`Content-Disposition: form-data; name="${name}"`, value)),
    ...files.map(({ field, name, bytes }) =>
      partOf(`Content-Disposition: form-data; name="${field}"; filename="${name}"\r\nContent-Type: image/png`, bytes),
    ),
    Buffer.from(choose.chance(0.9) ? `--${BOUNDARY}--\r\n` : ''),
  ]);
  const body = choose.chance(0.85) ? whole : whole.subarray(0, choose.below(whole.length));
  return { headers: { 'Content-Type': `multipart/form-data; boundary=${BOUNDARY}` }, body };
}
