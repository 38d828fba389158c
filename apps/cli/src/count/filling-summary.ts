import type { JoinedCount } from '@veligrid/imaging';
import type { PhotoCount, Warning } from '@veligrid/model';
import { fillingWarnings, mayBeTwice } from './filling-warnings.js';

/** Two photos of one filling that show some of the same place. */
export interface FillingOverlap {
  readonly photos: readonly [string, string];
  /** Turn of the second photo against the first, degrees clockwise. */
  readonly turnDeg: number;
  /** Where the middle of the first photo lies in the second, pixels. */
  readonly middlePx: readonly [number, number];
  /** Things recognised in both, each counted in one of them at most. */
  readonly shared: number;
  /** Finds that both must show whole, counted in either photo, and those of them that look alike in both. */
  readonly there: number;
  readonly alike: number;
  /** Counted larvae that only the first, and only the second shows, of the place that both show. */
  readonly unpaired: readonly [number, number];
  /** Base-10 logarithm of the number of fits this good that chance would give; null for the same picture, or known by way of others. */
  readonly logFalse: number | null;
}

/** What is counted from one photo. */
export interface FillingPhoto {
  readonly photo: string;
  /** Larvae counted from this photo. */
  readonly counted: number;
  /** Things of this photo that stand in another photo's count. */
  readonly copies: number;
}

/** Photos of one filling as one count: written as `one-filling.json`; the published form is docs/one-filling.schema.json. */
export interface FillingSummary {
  readonly kind: 'veligrid-one-filling';
  readonly formatVersion: 1;
  readonly signedOff: false;
  readonly photos: readonly FillingPhoto[];
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
  /** Larvae that may be counted twice as they swam between two shots. */
  readonly mayBeTwice: number;
  readonly warnings: readonly Warning[];
  readonly limits: string;
}

/** What joining cannot do. */
const LIMITS =
  'Larvae that swam between two shots are not recognised and may be counted twice or missed: photograph without delay, or fix the sample. Photos that share too little to be recognised are taken for different places.';

const rounded = (value: number, decimals: number): number => Number(value.toFixed(decimals));

const copiesIn = ({ detections }: PhotoCount): number => detections.filter((one) => one.sameAs !== undefined).length;

/** Summary of photos joined. */
export function fillingSummary(joined: JoinedCount): FillingSummary {
  const { counts } = joined;
  const nameOf = (photo: number): string => counts[photo]?.photo ?? '';
  const overlaps = joined.overlaps.map(({ photos, map, shared, there, alike, unpaired, logFalse }): FillingOverlap => {
    const first: PhotoCount | undefined = counts[photos[0]];
    const [x, y] = [((first?.widthPx ?? 1) - 1) / 2, ((first?.heightPx ?? 1) - 1) / 2];
    return {
      photos: [nameOf(photos[0]), nameOf(photos[1])],
      turnDeg: rounded((Math.atan2(map.d - map.b, map.a + map.e) * 180) / Math.PI, 3),
      middlePx: [rounded(map.a * x + map.b * y + map.c, 1), rounded(map.d * x + map.e * y + map.f, 1)],
      shared,
      there,
      alike,
      unpaired,
      logFalse: logFalse === 0 || !Number.isFinite(logFalse) ? null : rounded(logFalse, 1),
    };
  });
  return {
    kind: 'veligrid-one-filling',
    formatVersion: 1,
    signedOff: false,
    photos: counts.map((count) => ({
      photo: count.photo,
      counted: count.detections.filter(({ counted }) => counted).length,
      copies: copiesIn(count),
    })),
    groups: joined.groups.map((group) => group.map(nameOf)),
    overlaps,
    counted: joined.counted,
    countedInArea: joined.countedInArea,
    areaMm2: joined.areaMm2 === null ? null : rounded(joined.areaMm2, 6),
    copies: counts.reduce((sum, one) => sum + copiesIn(one), 0),
    mayBeTwice: overlaps.reduce((sum, one) => sum + mayBeTwice(one), 0),
    warnings: fillingWarnings(joined, nameOf),
    limits: LIMITS,
  };
}

/** The summary in words. */
export function fillingText(summary: FillingSummary): string {
  const { overlaps, photos, counted, countedInArea, areaMm2, copies, warnings } = summary;
  const area = areaMm2 === null ? '' : ` of ${areaMm2.toFixed(2)} mm2`;
  const lines = [
    `NOT SIGNED OFF. One filling, ${String(photos.length)} photos: ${String(counted)} counted, each once; ${String(countedInArea)} in the counted area${area}.`,
    ...overlaps.map(
      ({ photos: both, turnDeg, shared }) =>
        `${both[0]} and ${both[1]} show the same place: turned by ${turnDeg.toFixed(1)} degrees, ${String(shared)} things in both.`,
    ),
    overlaps.length === 0 ? 'No two photos show the same place.' : `${String(copies)} copies are not counted again.`,
    ...warnings.map(({ code, message }) => `Warning ${code}: ${message}`),
    `Limits: ${summary.limits}`,
  ];
  return `${lines.join('\n')}\n`;
}
