/** Longest of 1, 2 or 5 times a power of ten that fits. */
export function roundLength(room: number): number {
  const power = 10 ** Math.floor(Math.log10(room));
  return power * ([5, 2, 1].find((step) => step * power <= room) ?? 1);
}
