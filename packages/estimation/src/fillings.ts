/** A count with the volume of the container that it stands for. */
export interface Filling {
  readonly count: number;
  /** Volume of the container's own liquid that was looked at, in mL. */
  readonly volumeMl: number;
}

/**
 * Adds up parts of the same filling of the slide. Squares of one filling say how larvae lie on that slide; only
 * different fillings say how well the container was mixed.
 */
export function byFilling(parts: readonly (Filling & { readonly filling?: string })[]): Filling[] {
  const named = new Map<string, Filling>();
  const fillings: Filling[] = [];
  for (const { count, volumeMl, filling } of parts) {
    if (filling === undefined) {
      fillings.push({ count, volumeMl });
      continue;
    }
    const before = named.get(filling) ?? { count: 0, volumeMl: 0 };
    named.set(filling, { count: before.count + count, volumeMl: before.volumeMl + volumeMl });
  }
  return [...fillings, ...named.values()];
}
