import {
  learnRules,
  loadStartingRules,
  rulesJson,
  type Comparison,
  type LabelledCheck,
  type Learned,
} from '@veligrid/imaging';
import { VeligridError, type PhotoCount } from '@veligrid/model';
import type { Console } from '../console.js';
import { writeResult } from '../count/write-result.js';
import { EXIT } from '../exit-codes.js';
import { textTable } from '../text-table.js';
import { confusionTable } from './confusion-text.js';
import { readCorrections, type CorrectionLine } from './read-corrections.js';
import { readCounts } from './read-counts.js';
import { readRules } from './read-staging.js';

/** Arguments of `veligrid learn`. */
export interface LearnArguments {
  /** Folder of the count files that were corrected. */
  readonly detections: string;
  readonly corrections: string;
  /** Rules to learn on top of. Default: the starting rules. */
  readonly rules?: string;
  readonly out: string;
  /** Version of the new rules. Default: that of the old with the next number behind it. */
  readonly named?: string;
  /** Corrections of larvae that never change, on which new rules may not be worse. */
  readonly reference?: string;
}

/** Version that follows: `1` gives `1.1`, `1.1` gives `1.2`. */
function nextVersion(version: string): string {
  const match = /^(.*)\.(\d+)$/.exec(version);
  return match === null ? `${version}.1` : `${match[1] ?? ''}.${String(Number(match[2]) + 1)}`;
}

/** Counts by the name of their photo, by which corrections call them. */
function byName(counts: readonly PhotoCount[]): Map<string, PhotoCount> {
  const byPhoto = new Map<string, PhotoCount>();
  for (const count of counts) {
    if (byPhoto.has(count.photo)) {
      throw new VeligridError(
        'bad-argument',
        `There are two count files of ${count.photo}, so corrections can't tell which is meant. Give every photo a name of its own and count again.`,
      );
    }
    byPhoto.set(count.photo, count);
  }
  return byPhoto;
}

function checksOf(
  path: string,
  lines: readonly CorrectionLine[],
  byPhoto: ReadonlyMap<string, PhotoCount>,
): LabelledCheck[] {
  return lines.map(({ line, photo, detectionId, stage, how }) => {
    const one = byPhoto.get(photo)?.detections.find(({ id }) => id === detectionId);
    if (one === undefined) {
      throw new VeligridError(
        'bad-argument',
        `${path}, line ${String(line)}: there is no detection ${detectionId} of ${photo} among the count files. Name the folder that was corrected.`,
      );
    }
    return { slide: photo, stage, values: one.features, how };
  });
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

function comparisonText(title: string, comparison: Comparison): string {
  const { larvae, slides, agreementBefore, agreementAfter, onlyOldWrong, onlyNewWrong, p } = comparison;
  return `${title}: ${String(larvae)} larvae on ${String(slides)} slides
Right before ${percent(agreementBefore.accuracy)} (kappa ${agreementBefore.kappa.toFixed(3)}), after ${percent(agreementAfter.accuracy)} (kappa ${agreementAfter.kappa.toFixed(3)}); put right ${String(onlyOldWrong)}, put wrong ${String(onlyNewWrong)} (McNemar p ${p.toPrecision(2)})

Before
${confusionTable(comparison.before)}
After
${confusionTable(comparison.after)}`;
}

function touchedText({ touched }: Learned): string {
  const rows = touched.map(({ stage, larvae, slides, used }) => [
    stage,
    String(larvae),
    String(slides),
    used ? 'used' : 'kept, not used: too few, or the rules do not know the stage',
  ]);
  return textTable([['stage', 'larvae', 'slides', ''], ...rows], { right: [1, 2] });
}

/**
 * Learns new stage rules from corrections, shows the confusion before and after on slides left out, and writes the rules when
 * the gate accepts them.
 *
 * @returns exit code: 0 written, 4 refused by the gate; the reasons go to the error stream
 * @throws VeligridError `bad-argument` for files that can't be read or don't belong together
 */
export async function learnCommand(args: LearnArguments, console: Console): Promise<number> {
  const old = args.rules === undefined ? await loadStartingRules() : await readRules(args.rules);
  const counts = byName(await readCounts(args.detections));
  const checks = checksOf(args.corrections, await readCorrections(args.corrections), counts);
  if (checks.length === 0) {
    throw new VeligridError('bad-argument', `${args.corrections} holds no line. Write one for every larva looked at.`);
  }
  const reference =
    args.reference === undefined ? [] : checksOf(args.reference, await readCorrections(args.reference), counts);
  const learned = learnRules(old, checks, { version: args.named ?? nextVersion(old.version), reference });
  console.out(`${touchedText(learned)}\n`);
  if (learned.audited !== null) {
    console.out(`${comparisonText('Audited larvae, each judged without its own slide', learned.audited)}\n`);
  }
  if (learned.reference !== null) console.out(`${comparisonText('Reference set', learned.reference)}\n`);
  const { accepted, weak, reasons } = learned.gate;
  if (!accepted) {
    console.err(`Refused, rules ${old.version} stay in force: ${reasons.join('; ')}.\n`);
    return EXIT.refused;
  }
  await writeResult(args.out, rulesJson(learned.rules));
  console.out(
    `Rules ${learned.rules.version} written: ${args.out}${weak ? ' (weak: fewer than 300 held-out larvae)' : ''}. Back to ${old.version}: count with its own file.\n`,
  );
  return EXIT.done;
}
