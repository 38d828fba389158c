import { STAGES, type Stage } from '@veligrid/model';
import { mcNemar } from './binomial.js';
import { agreementOf, confusion, type Confusion, type TableAgreement } from './confusion.js';
import { judgedBy, type HeldOutCall } from './held-out.js';

/** Slides that must hold checked larvae. */
const FEWEST_SLIDES = 5;
/** Fewer held-out larvae make a weak case. */
const STRONG_LARVAE = 300;
/** A stage's recall may fall by this share at most. */
const RECALL_FALL = 0.05;
/** Below this agreement beyond chance the checks can't be told from chance. */
const LEAST_KAPPA = 0.4;
/** A stage's recall is looked at from this many larvae on: of fewer, one larva is more than the fall allowed. */
const FEWEST_FOR_RECALL = 20;

/** Old and new rules on the same larvae. */
export interface Comparison {
  readonly larvae: number;
  readonly slides: number;
  readonly before: Confusion;
  readonly after: Confusion;
  readonly agreementBefore: TableAgreement;
  readonly agreementAfter: TableAgreement;
  /** Larvae that only the old rules get wrong, and only the new ones. */
  readonly onlyOldWrong: number;
  readonly onlyNewWrong: number;
  /** McNemar's exact two-sided p; told, not judged by. */
  readonly p: number;
}

/** Whether new rules may replace the old ones. */
export interface GateAnswer {
  readonly accepted: boolean;
  /** Fewer than 300 held-out larvae. */
  readonly weak: boolean;
  /** Why not; empty when accepted. */
  readonly reasons: readonly string[];
}

/** Compares old and new calls of held-out larvae; one or more. */
export function compare(calls: readonly HeldOutCall[]): Comparison {
  const before = confusion(judgedBy(calls, 'old'), STAGES);
  const after = confusion(judgedBy(calls, 'new'), STAGES);
  const onlyOldWrong = calls.filter((one) => one.old !== one.larva.stage && one.new === one.larva.stage).length;
  const onlyNewWrong = calls.filter((one) => one.old === one.larva.stage && one.new !== one.larva.stage).length;
  return {
    larvae: calls.length,
    slides: new Set(calls.map(({ larva }) => larva.slide)).size,
    before,
    after,
    agreementBefore: agreementOf(before),
    agreementAfter: agreementOf(after),
    onlyOldWrong,
    onlyNewWrong,
    p: mcNemar(onlyOldWrong, onlyNewWrong),
  };
}

function recallOf({ stages, table }: Confusion, stage: Stage): { recall: number; larvae: number } {
  const row = stages.indexOf(stage);
  const larvae = row < 0 ? 0 : table[row].reduce((a, b) => a + b, 0);
  return { recall: larvae > 0 ? table[row][row] / larvae : 0, larvae };
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

/** Stages whose recall falls too far, in words. */
function fallen({ before, after }: Comparison): string[] {
  return before.stages.flatMap((stage) => {
    const [old, now] = [recallOf(before, stage), recallOf(after, stage)];
    if (old.larvae < FEWEST_FOR_RECALL || old.recall - now.recall <= RECALL_FALL) return [];
    return [`recall of ${stage} would fall from ${percent(old.recall)} to ${percent(now.recall)}`];
  });
}

/**
 * Whether rules learned from checks may be used: on audited larvae left out by slides, from five slides or more, they make
 * fewer errors than the rules at hand, no stage's recall falls by more than five points, the checks agree with them beyond
 * chance, and on the frozen reference set they are no worse.
 *
 * @param audited comparison on the held-out audit larvae; null when there are none
 * @param reference comparison on the frozen reference set; null when there is none
 */
export function gate(audited: Comparison | null, reference: Comparison | null): GateAnswer {
  const slides = audited?.slides ?? 0;
  if (audited === null || slides < FEWEST_SLIDES) {
    const reason = `audit lines on ${String(FEWEST_SLIDES)} slides are needed, there are ${String(slides)}: the corrections are kept, not used`;
    return { accepted: false, weak: true, reasons: [reason] };
  }
  const reasons: string[] = [];
  if (audited.onlyNewWrong >= audited.onlyOldWrong) {
    reasons.push(
      `the new rules are not better on slides they did not learn from: they put ${String(audited.onlyOldWrong)} larvae right and ${String(audited.onlyNewWrong)} wrong`,
    );
  }
  if (audited.agreementAfter.kappa < LEAST_KAPPA) {
    reasons.push(
      `the checks agree with the new rules hardly more than by chance (kappa ${audited.agreementAfter.kappa.toFixed(2)}): check that lines and ids belong together`,
    );
  }
  reasons.push(...fallen(audited));
  if (reference !== null && reference.onlyNewWrong > reference.onlyOldWrong) {
    reasons.push(
      `on the reference set the new rules are worse: ${String(reference.onlyOldWrong)} larvae put right, ${String(reference.onlyNewWrong)} wrong`,
    );
  }
  return { accepted: reasons.length === 0, weak: audited.larvae < STRONG_LARVAE, reasons };
}
