import { fertilisationCheck, type FertilisationCheck } from '@veligrid/imaging';
import type { Console } from '../console.js';
import { EXIT } from '../exit-codes.js';
import { textTable } from '../text-table.js';
import { readCounts } from './read-counts.js';

/** Arguments of `veligrid fertilisation`. */
export interface FertilisationArguments {
  /** Folder of count files of one spawn. */
  readonly counts: string;
  readonly minutes: number;
  readonly attachedSperm?: number;
  readonly addedSperm?: number;
  /** Per cent. */
  readonly target?: number;
  readonly json?: boolean;
}

const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;

function spermText({ attachedSperm, addedSpermPerEgg }: FertilisationCheck): string {
  const attached =
    attachedSperm === null
      ? ''
      : `Attached sperm per egg, counted under the microscope: ${String(attachedSperm.perEgg)}, ${attachedSperm.band}\n`;
  const added =
    addedSpermPerEgg === null
      ? ''
      : `Sperm added per egg: ${String(addedSpermPerEgg)} (no sourced band to judge it by)\n`;
  return attached + added;
}

function checkText(check: FertilisationCheck): string {
  const { slides, fertilised, takenAsFertilised, atLeast, minutes } = check;
  const rows = slides.map((one) =>
    [one.photo, one.fertilised, one.unfertilised, one.unscorable, one.notRounded].map(String),
  );
  const heading = ['photo', 'fertilised', 'not fertilised', 'not scorable', 'not rounded'];
  const words =
    fertilised === null
      ? 'No egg could be scored.'
      : `Fertilised: ${atLeast ? 'at least ' : ''}${percent(fertilised.share)}, 95 % limits ${percent(fertilised.low)} to ${percent(fertilised.high)}, design effect ${fertilised.designEffect.toFixed(2)}`;
  return `NOT SIGNED OFF: stages found by the program, to be checked and confirmed by a person

${textTable([heading, ...rows], { right: [1, 2, 3, 4] })}
${words}
${String(minutes)} minutes after fertilisation; taken as fertilised: ${takenAsFertilised.join(', ')}
Eggs that are not scorable are in neither number.
${spermText(check)}${check.warnings.map(({ message }) => `Warning: ${message}\n`).join('')}`;
}

/**
 * Prints the share of fertilised eggs over the count files of one spawn.
 *
 * @returns exit code 0
 * @throws VeligridError `bad-argument`
 */
export async function fertilisationCommand(args: FertilisationArguments, console: Console): Promise<number> {
  const { counts, minutes, attachedSperm, addedSperm, target, json = false } = args;
  const check = fertilisationCheck(await readCounts(counts), {
    minutes,
    ...(attachedSperm === undefined ? {} : { attachedSpermPerEgg: attachedSperm }),
    ...(addedSperm === undefined ? {} : { addedSpermPerEgg: addedSperm }),
    ...(target === undefined ? {} : { target: target / 100 }),
  });
  console.out(json ? `${JSON.stringify(check, null, 2)}\n` : checkText(check));
  return EXIT.done;
}
