import type { CalibrationPicture } from '@veligrid/api';
import type { VNode } from 'preact';
import { decimals, percent } from '../words/numbers.js';
import { say } from '../words/say.js';

type Lines = NonNullable<CalibrationPicture['found']>;

function Basis({ quality, eyepieceRuler, warnings }: Lines): VNode {
  return (
    <>
      <p>
        {say('calibration.lines', { n: quality.lines, px: decimals(quality.residualPx ?? 0, 2) })}{' '}
        {say('calibration.check-lines')}
      </p>
      {eyepieceRuler !== null && <p>{say('calibration.eyepiece', { um: decimals(eyepieceRuler.divisionUm, 2) })}</p>}
      {warnings.map(({ code, message }) => (
        <p key={code} class="note warning">
          {message}
        </p>
      ))}
    </>
  );
}

/** What was found on the picture, or why nothing was. */
export function FoundLines({ found, why }: Pick<CalibrationPicture, 'found' | 'why'>): VNode {
  return (
    <>
      {why !== null && <p class="note">{why}</p>}
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
