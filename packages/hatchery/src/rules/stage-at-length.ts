/** Usual lengths of a stage, as the staging presets hold them. */
export interface StageSizes {
  readonly stage: string;
  readonly lowUm: number;
  readonly highUm: number;
}

/** Stages that are stocked and fed, in order. */
const SHELLED = ['d-larva', 'umbo', 'eyed', 'pediveliger'];

/**
 * Stage that a mean length stands for: ranges of neighbours overlap, and the geometric middle of the overlap parts them.
 * The sizes come from the species' staging preset, so that they are written down once only.
 *
 * @returns null when no shelled stage has a size
 */
export function stageAtLength(sizes: readonly StageSizes[], lengthUm: number): string | null {
  const shelled = sizes
    .filter(({ stage }) => SHELLED.includes(stage))
    .sort((a, b) => SHELLED.indexOf(a.stage) - SHELLED.indexOf(b.stage));
  const parted = shelled.filter((size, i) => {
    const before = shelled[i - 1];
    return before === undefined || lengthUm >= Math.sqrt(before.highUm * size.lowUm);
  });
  return parted.at(-1)?.stage ?? null;
}
