import type { PhotoCount } from '@veligrid/model';

function refuseNotFinite(key: string, value: unknown): unknown {
  if (typeof value === 'number' && !Number.isFinite(value)) {
    throw new Error(`The count holds a number that is not finite: ${key}`);
  }
  return value;
}

const json = (value: unknown): string => JSON.stringify(value, refuseNotFinite);

/** Detections that one part of the text holds. */
const ROWS = 500;

/**
 * The count file: JSON with one line per field and one per detection, so that two versions can be compared line by
 * line. Keys come in a fixed order; every number is finite. It comes in parts, since that of a photo with thousands of larvae
 * is as large as the photo.
 */
export function* countJsonParts(count: PhotoCount): Generator<string, void, undefined> {
  const { photo, widthPx, heightPx, method, sample, scale, field, grid, counting } = count;
  const { detections, warnings, timingMs } = count;
  const head = { photo, widthPx, heightPx, method, sample, scale, field, grid, counting };
  yield `{\n${Object.entries(head)
    .map(([name, value]) => `  ${json(name)}: ${json(value)},\n`)
    .join('')}`;
  yield '  "detections": [';
  for (let from = 0; from < detections.length; from += ROWS) {
    const rows = detections.slice(from, from + ROWS).map((detection) => `\n    ${json(detection)}`);
    yield `${from === 0 ? '' : ','}${rows.join(',')}`;
  }
  yield `${detections.length === 0 ? '' : '\n  '}],\n  "warnings": ${json(warnings)}`;
  yield `${timingMs === undefined ? '' : `,\n  "timingMs": ${json(timingMs)}`}\n}\n`;
}
