/** Rounds to a number of decimals; null stays null. Results are stored rounded so that they read the same everywhere. */
export function rounded(value: number, decimals: number): number;
export function rounded(value: number | null, decimals: number): number | null;
export function rounded(value: number | null, decimals: number): number | null {
  if (value === null) return null;
  const factor = 10 ** decimals;
  return Math.round(value * factor) / factor + 0;
}
