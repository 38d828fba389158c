import type { StageRules } from './stage-rules.js';

const DIGITS = 6;

/** The file form of rules: one line a field, numbers to six significant digits, so that versions compare line by line. */
export function rulesJson(rules: StageRules): string {
  const short = (_: string, value: unknown): unknown =>
    typeof value === 'number' ? Number(value.toPrecision(DIGITS)) : value;
  const json = (value: unknown): string => JSON.stringify(value, short);
  const lines = Object.entries(rules).map(([name, value]: [string, unknown]) => {
    if (name !== 'classes' && name !== 'covariance') return `  ${json(name)}: ${json(value)}`;
    const rows = (value as readonly unknown[]).map((row) => `    ${json(row)}`);
    return `  ${json(name)}: [\n${rows.join(',\n')}\n  ]`;
  });
  return `{\n${lines.join(',\n')}\n}\n`;
}
