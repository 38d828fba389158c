import type { PhotoCount } from '@veligrid/model';

function refuseNotFinite(key: string, value: unknown): unknown {
  if (typeof value === 'number' && !Number.isFinite(value)) {
    throw new Error(`The count holds a number that is not finite: ${key}`);
  }
  return value;
}

const json = (value: unknown): string => JSON.stringify(value, refuseNotFinite);

/**
 * The count file: JSON with one line per field and one per detection, so that two versions can be compared line by
 * line. Keys come in a fixed order; every number is finite.
 */
export function countJson(count: PhotoCount): string {
  const { photo, widthPx, heightPx, method, sample, scale, field, grid, counting } = count;
  const { detections, warnings, timingMs } = count;
  const head = { photo, widthPx, heightPx, method, sample, scale, field, grid, counting };
  const lines = Object.entries(head).map(([name, value]) => `  ${json(name)}: ${json(value)}`);
  const rows = detections.map((detection) => `    ${json(detection)}`);
  lines.push(rows.length === 0 ? '  "detections": []' : `  "detections": [\n${rows.join(',\n')}\n  ]`);
  lines.push(`  "warnings": ${json(warnings)}`);
  if (timingMs !== undefined) lines.push(`  "timingMs": ${json(timingMs)}`);
  return `{\n${lines.join(',\n')}\n}\n`;
}
