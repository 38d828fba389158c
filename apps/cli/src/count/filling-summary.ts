import type { JoinedCount } from '@veligrid/imaging';
import type { PhotoCount } from '@veligrid/model';

/** Two photos of one filling that show some of the same place. */
export interface FillingOverlap {
  readonly photos: readonly [string, string];
  /** Turn of the second photo against the first, degrees clockwise. */
  readonly turnDeg: number;
  /** Where the middle of the first photo lies in the second, pixels. */
  readonly middlePx: readonly [number, number];
  /** Things recognised in both. */
  readonly shared: number;
  /** Parts of the pictures compared, and those that look alike. */
  readonly compared: number;
  readonly alike: number;
}

/** Photos of one filling as one count: written as `one-filling.json`. */
export interface FillingSummary {
  readonly signedOff: false;
  /** Photos that hang together by overlaps; one alone overlaps none. */
  readonly groups: readonly (readonly string[])[];
  readonly overlaps: readonly FillingOverlap[];
  /** Eggs, embryos and larvae, each once. */
  readonly counted: number;
  readonly countedInArea: number;
  /** Counted area seen, each place once; null without a scale. */
  readonly areaMm2: number | null;
  /** Copies left out because the same thing is counted in another photo. */
  readonly copies: number;
  readonly limits: string;
}

/** What joining cannot do. */
const LIMITS =
  'Larvae that swam between two shots are not recognised and may be counted twice or missed: photograph without delay, or fix the sample. Photos that share too little to be recognised are taken for different places.';

const rounded = (value: number, decimals: number): number => Number(value.toFixed(decimals));

/** Summary of photos joined. */
export function fillingSummary(joined: JoinedCount): FillingSummary {
  const nameOf = (photo: number): string => joined.counts[photo]?.photo ?? '';
  const overlaps = joined.overlaps.map(({ photos, map, shared, blocks, alike }): FillingOverlap => {
    const first: PhotoCount | undefined = joined.counts[photos[0]];
    const [x, y] = [((first?.widthPx ?? 1) - 1) / 2, ((first?.heightPx ?? 1) - 1) / 2];
    return {
      photos: [nameOf(photos[0]), nameOf(photos[1])],
      turnDeg: rounded((Math.atan2(map.d - map.b, map.a + map.e) * 180) / Math.PI, 3),
      middlePx: [rounded(map.a * x + map.b * y + map.c, 1), rounded(map.d * x + map.e * y + map.f, 1)],
      shared,
      compared: blocks,
      alike,
    };
  });
  return {
    signedOff: false,
    groups: joined.groups.map((group) => group.map(nameOf)),
    overlaps,
    counted: joined.counted,
    countedInArea: joined.countedInArea,
    areaMm2: joined.areaMm2 === null ? null : rounded(joined.areaMm2, 6),
    copies: joined.counts.reduce((sum, one) => sum + one.detections.filter((d) => d.sameAs !== undefined).length, 0),
    limits: LIMITS,
  };
}

/** The summary in words. */
export function fillingText(summary: FillingSummary): string {
  const { overlaps, groups, counted, countedInArea, areaMm2, copies } = summary;
  const area = areaMm2 === null ? '' : ` of ${areaMm2.toFixed(2)} mm2`;
  const lines = [
    `NOT SIGNED OFF. One filling, ${String(groups.flat().length)} photos: ${String(counted)} counted, each once; ${String(countedInArea)} in the counted area${area}.`,
    ...overlaps.map(
      ({ photos, turnDeg, shared }) =>
        `${photos[0]} and ${photos[1]} show the same place: turned by ${turnDeg.toFixed(1)} degrees, ${String(shared)} things in both.`,
    ),
    overlaps.length === 0 ? 'No two photos show the same place.' : `${String(copies)} copies are not counted again.`,
    `Limits: ${summary.limits}`,
  ];
  return `${lines.join('\n')}\n`;
}
