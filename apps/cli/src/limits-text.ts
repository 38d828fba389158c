/** A figure with limits. */
export interface Limits {
  readonly estimate: number;
  readonly low: number;
  readonly high: number;
}

/** A number to three significant figures; `round` turns the last one down, up, or to the nearest. */
export function threeFigures(value: number, round: (x: number) => number = Math.round): string {
  if (value === 0) return '0';
  const unit = 10 ** (Math.floor(Math.log10(Math.abs(value))) - 2);
  const rounded = round(value / unit + (round === Math.floor ? 1e-9 : round === Math.ceil ? -1e-9 : 0)) * unit;
  const decimals = Math.max(0, -Math.floor(Math.log10(unit)));
  return Math.abs(rounded) < 1e-4
    ? rounded.toExponential(2)
    : rounded.toLocaleString('en-US', { maximumFractionDigits: decimals, minimumFractionDigits: decimals });
}

/** Estimate with limits rounded outward. */
export const around = ({ estimate, low, high }: Limits, factor = 1, unit = ''): string =>
  `${threeFigures(estimate * factor)}${unit} (${threeFigures(low * factor, Math.floor)} to ${threeFigures(high * factor, Math.ceil)})`;
