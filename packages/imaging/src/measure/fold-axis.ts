/** Same axis as an angle from 0 up to, not including, pi. */
export function foldAxis(angleRad: number): number {
  const folded = angleRad - Math.PI * Math.floor(angleRad / Math.PI);
  return folded < Math.PI ? folded : 0;
}
