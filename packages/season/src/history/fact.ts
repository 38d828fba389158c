import { figure } from './view.js';

/** What is known of a happening besides tank, batch and number, in English as commands say it. */
const FACTS = {
  name: '{name}',
  note: '{name}',
  cue: '{name}',
  warmed: '{of} to {number} C',
  raised: '{number} C',
  animal: '{name}',
  sex: '{name}',
  'gametes-ml': '{number} mL',
  parents: '{name}',
  'pooled-sperm': 'pooled sperm',
  'from-cross': 'from {name}',
  'to-tank': 'to {name}',
  'into-batch': 'now batch {name}',
  screen: '{number} um screen',
  emptied: 'nothing left',
  place: '{name}',
  why: 'corrected: {name}',
  'looked-at': '{number} animals looked at',
  'mean-length': 'mean {number} um',
  'dead-seen': '{number} of them dead',
  photos: '{number} {one:photo/photos}',
  'by-eye': 'by eye',
  corrections: '{number} {one:correction/corrections}',
  ration: '{number} L {name}',
  temperature: '{number} C',
  salinity: '{number} ppt',
  ph: '{number} pH',
  oxygen: '{number} mg/L oxygen',
  cultch: 'on {name}',
  shells: '{number} shells',
  bags: '{number} bags',
  'shells-looked-at': 'on {number} shells: {of} a shell',
  plan: '{name}',
  'set-share': '{number} % of the larvae, by this count alone',
} as const;

/** Names of facts. */
export const FACT_NAMES = Object.keys(FACTS) as readonly FactName[];
type FactName = keyof typeof FACTS;

/** One thing that is known of a happening. */
export interface Fact {
  readonly what: FactName;
  readonly name?: string;
  readonly number?: number;
  /** A second number, where there is one. */
  readonly of?: number;
}

type Told = string | number | null | undefined;

/** A fact, or nothing where nothing is known. */
export function fact(what: FactName, told: Told, more: Pick<Fact, 'name' | 'of'> = {}): Fact[] {
  if (told === null || told === undefined || told === '') return [];
  return [{ what, ...(typeof told === 'string' ? { name: told } : { number: told }), ...more }];
}

/** A fact that is told by its name alone. */
export const factIf = (what: FactName, holds: boolean): Fact[] => (holds ? [{ what }] : []);

/** A fact as a command says it. */
function factText({ what, name = '', number, of }: Fact): string {
  return FACTS[what]
    .replace(/\{one:(\w+)\/(\w+)\}/, (_, one: string, many: string) => (number === 1 ? one : many))
    .replace('{name}', name)
    .replace('{number}', number === undefined ? '' : figure(number))
    .replace('{of}', of === undefined ? '' : figure(of));
}

/** Facts in one line. */
export const factsText = (facts: readonly Fact[]): string => facts.map(factText).join(', ');
