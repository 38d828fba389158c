import type { CalibrationPicture } from '@veligrid/api';
import type { VNode } from 'preact';
import { decimals, percent } from '../words/numbers.js';
import { say } from '../words/say.js';
import { toldWords } from '../words/read-back.js';
import { warningWords } from '../words/warning-words.js';

type Lines = NonNullable<CalibrationPicture['found']>;

function Basis({ quality, eyepieceRuler, warnings }: Lines): VNode {
  return (
    <>
      <p>
        {say('calibration.lines', { n: quality.lines, px: decimals(quality.residualPx ?? 0, 2) })}{' '}
        {say('calibration.check-lines')}
      </p>
      {eyepieceRuler !== null && <p>{say('calibration.eyepiece', { um: decimals(eyepieceRuler.divisionUm, 2) })}</p>}
      {warnings.map((one) => (
        <p key={one.code + one.message} class="note warning">
          {warningWords(one)}
        </p>
      ))}
    </>
  );
}

/** What was found on the picture, or why nothing was. */
export function FoundLines({ found, why }: Pick<CalibrationPicture, 'found' | 'why'>): VNode {
  return (
    <>
      {why !== null && <p class="note">{toldWords(why)}</p>}
      {found !== null && (
        <>
          <p class="note good">
            {say('calibration.found', {
              um: decimals(found.umPerPx, 4),
              spread: percent(found.relativeStandardUncertainty),
            })}
          </p>
          <Basis {...found} />
        </>
      )}
    </>
  );
}
