import type { PhotoCalibration } from '@veligrid/imaging';

const percent = (value: number): string => `${(100 * value).toFixed(2)} %`;

function basis({ target, quality }: PhotoCalibration): string {
  const { lines, hiddenLines, residualPx } = quality;
  if (target.kind === 'points') return `two points ${String(target.distanceUm)} um apart`;
  const stray = residualPx === null ? '' : `, which stray ${residualPx.toFixed(2)} px from the fit`;
  if (target.kind === 'grid') return `${String(lines)} ruled lines ${String(target.pitchUm)} um apart${stray}`;
  const hidden = hiddenLines === 0 ? '' : ` (${String(hiddenLines)} more are hidden)`;
  return `${String(lines)} lines of a ruler${hidden}, ${String(target.divisionUm)} um a division${stray}`;
}

function evenness({ quality }: PhotoCalibration): string[] {
  const { axisRatio, drift, bulge } = quality;
  const lines: string[] = [];
  if (axisRatio !== null) lines.push(`Across the squares over along them: ${axisRatio.toFixed(4)}`);
  if (drift !== null && bulge !== null) {
    lines.push(`Change along the ruler: ${percent(drift)}; ends against middle: ${percent(bulge)}`);
  }
  return lines;
}

/** What was found, for people. */
export function calibrationText(calibration: PhotoCalibration): string {
  const { umPerPx, relativeStandardUncertainty, eyepieceRuler, hint, warnings } = calibration;
  const lines = [
    `Scale: ${umPerPx.toPrecision(5)} um/px, standard uncertainty ${percent(relativeStandardUncertainty)}`,
    `From: ${basis(calibration)}`,
    ...evenness(calibration),
  ];
  if (eyepieceRuler !== null) {
    const { divisionPx, divisionUm } = eyepieceRuler;
    lines.push(`Ruler in the eyepiece: ${divisionPx.toPrecision(5)} px and ${divisionUm.toPrecision(4)} um a division`);
  }
  if (hint !== null) lines.push(`The file itself states ${hint.umPerPx.toPrecision(5)} um/px (a hint only)`);
  for (const { message } of warnings) lines.push(`! ${message}`);
  return `${lines.join('\n')}\n`;
}
