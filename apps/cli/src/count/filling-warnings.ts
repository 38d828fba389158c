import type { JoinedCount, OverlappingPhotos } from '@veligrid/imaging';
import type { Warning } from '@veligrid/model';

/** Larvae without their like on both photos of a pair: from this share of what both show on, they are taken to have swum. */
const SWAM_SHARE = 0.05;
const LEAST_SWUM = 2;

/** Larvae that both photos of a pair may show though they are recognised in neither. */
export const mayBeTwice = ({ unpaired }: Pick<OverlappingPhotos, 'unpaired'>): number => Math.min(...unpaired);

function swam(overlap: OverlappingPhotos): boolean {
  const twice = mayBeTwice(overlap);
  return twice >= LEAST_SWUM && twice > SWAM_SHARE * (overlap.shared + twice);
}

/** What the user should know of photos that were joined. */
export function fillingWarnings(joined: JoinedCount, nameOf: (photo: number) => string): Warning[] {
  const warnings: Warning[] = [];
  const pair = ([one, two]: readonly [number, number]): string => `${nameOf(one)} and ${nameOf(two)}`;
  const { overlaps, groups, refused } = joined;
  const alone = groups.filter(({ length }) => length === 1).flat();
  if (joined.counts.length > 1 && alone.length > 0) {
    const message = `Not joined to any other photo: ${alone.map(nameOf).join(', ')}. If one of them shows some of a place that another shows, its larvae are counted twice: photograph with a fifth of overlap, or leave it out.`;
    warnings.push({ code: 'photos-not-joined', message });
  }
  for (const { photos, isUnmoved } of overlaps) {
    if (!isUnmoved) continue;
    const message = `${pair(photos)} are the same picture or the same frame taken again: leave one of them out.`;
    warnings.push({ code: 'same-photo-twice', message });
  }
  for (const overlap of overlaps.filter(swam)) {
    const [first, second] = overlap.unpaired;
    const message = `${pair(overlap.photos)} show one place, but ${String(first)} larvae there are only in the first and ${String(second)} only in the second: they swam between the shots, so up to ${String(mayBeTwice(overlap))} are counted twice. Photograph without delay, or fix the sample.`;
    warnings.push({ code: 'moved-between-photos', message });
  }
  for (const photos of refused) {
    const message = `${pair(photos)} look like one place, but other photos say that they are not: they were not joined. Check both by eye.`;
    warnings.push({ code: 'photos-contradict', message });
  }
  return warnings;
}
