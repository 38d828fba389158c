import { loadStartingRules, thresholdTable, type StageThreshold, type WeighingFeature } from '@veligrid/imaging';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';
import { textTable } from '../text-table.js';
import { readRules } from './read-staging.js';

/** Arguments of `veligrid stages`. */
export interface StagesArguments {
  /** File of stage rules. Default: the starting rules. */
  readonly rules?: string;
}

const HEADING = ['stages', 'length cut um', 'usual lengths um', 'larvae behind', 'what weighs most (share)'];

const whole = (value: number): string => value.toFixed(0);

function range([middle, low, high]: readonly [number, number, number]): string {
  return `${whole(middle)} (${whole(low)}-${whole(high)})`;
}

function featureWords({ words, unit, halfWay, secondIsAbove, share }: WeighingFeature): string {
  const value = `${halfWay.toPrecision(3)}${unit === '' ? '' : ` ${unit}`}`;
  return `${words} ${secondIsAbove ? 'above' : 'below'} ${value} (${(100 * share).toFixed(0)} %)`;
}

function rows(threshold: StageThreshold): string[][] {
  const { first, second, lengthCutUm, firstLengthUm, secondLengthUm, larvae, features } = threshold;
  const [top = '', ...others] = features.map(featureWords);
  return [
    [
      `${first} | ${second}`,
      lengthCutUm === null ? 'alike' : whole(lengthCutUm),
      `${range(firstLengthUm)} | ${range(secondLengthUm)}`,
      larvae.join(' | '),
      top,
    ],
    ...others.map((words) => ['', '', '', '', words]),
  ];
}

/**
 * Prints the rules as a table for people: for every pair of neighbouring stages the length at which both are equally likely,
 * and the features that weigh most.
 *
 * @returns exit code 0
 */
export async function stagesCommand(args: StagesArguments, console: Console): Promise<number> {
  const rules = args.rules === undefined ? await loadStartingRules() : await readRules(args.rules);
  const { version, parent, species, origin } = rules;
  console.out(
    `Stage rules ${version}${parent === null ? '' : `, learned from ${parent}`}, ${species}\n${origin.what}\n`,
  );
  console.out(`${String(origin.larvae)} larvae on ${String(origin.slides)} slides\n\n`);
  console.out(textTable([HEADING, ...thresholdTable(rules).flatMap(rows)], { right: [1] }));
  console.out(
    '\nLength cut: where both stages are equally likely if only the length were known. Feature values stand half way\nbetween the two stages; above or below it speaks for the second. All features are weighed together.\nUmbo larvae are judged in three sizes; lengths are those of the size next to the other stage.\n',
  );
  return EXIT.done;
}
