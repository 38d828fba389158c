import { readFile } from 'node:fs/promises';
import { KINDS, type Kind } from '@veligrid/model';

/** What the committed finder expects and gives, and how its score becomes a probability. */
export interface FinderModel {
  readonly version: string;
  /** Scale of the picture that the network sees, micrometres per pixel. */
  readonly workingUm: number;
  /** Working pixels per cell of the output, along each side. */
  readonly cell: number;
  /** Spokes from a cell's middle to the outline, the first along +x, clockwise. */
  readonly spokes: number;
  /** Working pixels per unit of spoke length. */
  readonly spokeUnit: number;
  /** Classes in the order of the output; the last is the ground. */
  readonly classes: readonly string[];
  /** Kind of every class but the ground. */
  readonly kindOf: Readonly<Record<string, Kind>>;
  /**
   * Logit of the probability = offset + centre * logit(centre score) + kind * logit(probability of the kind group); spokes
   * of a kind are multiplied by its entry in `spokes` (1 without one): what the network draws them too small or too large.
   */
  readonly calibration: {
    readonly offset: number;
    readonly centre: number;
    readonly kind: number;
    readonly spokes: Readonly<Partial<Record<Kind, number>>>;
  };
  /** Least calibrated probability of a find that is reported. */
  readonly leastScore: number;
  /** The network itself, ONNX. */
  readonly network: Uint8Array;
}

const folder = new URL('../../models/', import.meta.url);

function isKind(value: string): value is Kind {
  return (KINDS as readonly string[]).includes(value);
}

/** Reads the committed finder: its description (models/finder.json) and its weights (models/finder.onnx). */
export async function readFinderModel(): Promise<FinderModel> {
  const [text, network] = await Promise.all([
    readFile(new URL('finder.json', folder), 'utf8'),
    readFile(new URL('finder.onnx', folder)),
  ]);
  const description = JSON.parse(text) as Omit<FinderModel, 'network'>;
  for (const name of description.classes.slice(0, -1)) {
    const kind = description.kindOf[name];
    if (kind === undefined || !isKind(kind)) throw new Error(`models/finder.json names no kind for class ${name}`);
  }
  return { ...description, network };
}
