import type { CountJob, CountResult } from './count-file.js';
import { countOnWorkers, type CountPoolOptions } from './count-pool.js';
import { fillingSummary, type FillingSummary } from './filling-summary.js';

/**
 * Counts photos of one filling: all are counted, then joined, then written, so that what several photos show is counted
 * in one of them only.
 *
 * @returns results as `countOnWorkers` gives them, and the filling as a whole; a photo that failed is in no group
 */
export async function countOneFilling(
  jobs: readonly CountJob[],
  pool: CountPoolOptions,
): Promise<{ results: CountResult[]; filling: FillingSummary }> {
  const counted = await countOnWorkers(
    jobs.map((job) => ({ ...job, joining: true })),
    pool,
  );
  const views = counted.map((result) => (result.kind === 'counted' ? result.views : []));
  // only photos of one filling need the machinery on this side
  const { joinPhotos } = await import('@veligrid/imaging');
  const joined = joinPhotos(views.flat());
  let next = 0;
  const written = await countOnWorkers(
    jobs.map((job, k) => {
      const pages = views[k]?.length ?? 0;
      next += pages;
      return { ...job, counts: joined.counts.slice(next - pages, next) };
    }),
    { ...pool, onDone: () => undefined },
  );
  const results = counted.map((result, k) => (result.kind === 'counted' ? (written[k] ?? result) : result));
  return { results, filling: fillingSummary(joined) };
}
