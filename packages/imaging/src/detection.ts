import { COUNTED_KINDS, KINDS, type Detection, type Kind, type Measures } from '@veligrid/model';
import type { Place } from './area/page-area.js';
import type { Found } from './found.js';
import type { MeasuredObject } from './measure/measure-object.js';
import type { Outline } from './raster.js';
import { rounded } from './rounded.js';
import type { Judgement } from './stage/judge-stage.js';
import type { StageProbabilities } from './stage/rules/judge.js';

/** Least calibrated probability at which an egg, embryo or larva is counted. */
export const LEAST_COUNTED_SCORE = 0.5;

/** One object on its way into the count. */
export interface DetectionParts {
  readonly id: string;
  readonly found: Found;
  readonly outline: Outline;
  readonly measured: MeasuredObject;
  /** Where it lies. */
  readonly place: Place;
  /** Features by name, see stage/stage-features.ts. */
  readonly features: Readonly<Record<string, number>>;
  readonly judgement: Judgement;
}

/** Names of the finder's probabilities among the features. */
const KIND_FEATURE = Object.fromEntries(
  KINDS.map((kind) => [kind, `finder_kind_${kind.replaceAll('-', '_')}`]),
) as Readonly<Record<Kind, string>>;

function roundedOutline(outline: Outline): (readonly [number, number])[] {
  return Array.from({ length: outline.length / 2 }, (_, k) => [
    rounded(outline[2 * k], 2),
    rounded(outline[2 * k + 1], 2),
  ]);
}

function roundedMeasures(m: Measures): Measures {
  return {
    lengthPx: rounded(m.lengthPx, 3),
    heightPx: rounded(m.heightPx, 3),
    areaPx2: rounded(m.areaPx2, 2),
    perimeterPx: rounded(m.perimeterPx, 3),
    maxFeretPx: rounded(m.maxFeretPx, 3),
    minFeretPx: rounded(m.minFeretPx, 3),
    maxFeretUm: rounded(m.maxFeretUm, 3),
    minFeretUm: rounded(m.minFeretUm, 3),
    perimeterUm: rounded(m.perimeterUm, 3),
    solidity: rounded(m.solidity, 5),
    circularity: rounded(m.circularity, 5),
    hinge:
      m.hinge === null
        ? null
        : {
            xPx: rounded(m.hinge.xPx, 2),
            yPx: rounded(m.hinge.yPx, 2),
            axisDeg: rounded(m.hinge.axisDeg, 2),
            lengthPx: rounded(m.hinge.lengthPx, 3),
            lengthUm: rounded(m.hinge.lengthUm, 3),
          },
    darkness: rounded(m.darkness, 4),
    edgeContrast: rounded(m.edgeContrast, 3),
    edgeWidthPx: rounded(m.edgeWidthPx, 3),
  };
}

const roundedProbabilities = (probabilities: StageProbabilities): StageProbabilities =>
  Object.fromEntries(Object.entries(probabilities).map(([stage, p]) => [stage, rounded(p, 4)]));

/** Features, and what the finder saw, as plain numbers for learning: its score and its probability of each kind. */
function roundedFeatures({ found, features }: DetectionParts): Record<string, number> {
  const all: Record<string, number> = {};
  for (const name in features) all[name] = rounded(features[name], 4);
  all['finder_score'] = rounded(found.score, 4);
  for (const kind of KINDS) all[KIND_FEATURE[kind]] = rounded(found.kindProbabilities[kind], 4);
  return all;
}

/** The published form of one object. */
export function toDetection(parts: DetectionParts): Detection {
  const { id, found, outline, measured, place, judgement } = parts;
  const cut = measured.flags.includes('cut');
  const larva = COUNTED_KINDS.includes(found.kind) && found.score >= LEAST_COUNTED_SCORE;
  return {
    id,
    x: rounded(measured.x, 2),
    y: rounded(measured.y, 2),
    outline: roundedOutline(outline),
    lengthUm: rounded(measured.lengthUm, 3),
    lengthStandardUncertaintyUm: rounded(measured.lengthStandardUncertaintyUm, 3),
    heightUm: rounded(measured.heightUm, 3),
    axisDeg: rounded(measured.axisDeg, 2),
    areaUm2: rounded(measured.areaUm2, 2),
    equivalentDiameterUm: rounded(measured.equivalentDiameterUm, 3),
    kind: found.kind,
    stage: judgement.stage,
    ...(judgement.form === undefined ? {} : { form: judgement.form }),
    stageProbabilities: roundedProbabilities(judgement.stageProbabilities),
    confidence: rounded(judgement.confidence, 4),
    square: place.square,
    flags: judgement.notRounded ? [...measured.flags, 'not-rounded'] : measured.flags,
    measures: roundedMeasures(measured.measures),
    features: roundedFeatures(parts),
    counted: larva && !cut && judgement.stage !== 'debris',
    inArea: place.inArea,
    inclusionWeight: rounded(place.inclusionWeight, 6),
  };
}
