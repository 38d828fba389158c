/** A ruler as the glass of an eyepiece bears it. */
export interface DrawnRuler {
  /** Size of the photo in pixels. */
  readonly width: number;
  readonly height: number;
  readonly divisions: number;
  /** Pixels from one line to the next. */
  readonly pitchPx: number;
}

/** Strokes of the digits in a box 1 wide and 2 high. */
const DIGITS = [
  'M0 0H1V2H0Z',
  'M.5 0V2',
  'M0 0H1V1H0V2H1',
  'M0 0H1V2H0M0 1H1',
  'M0 0V1H1M1 0V2',
  'M1 0H0V1H1V2H0',
  'M1 0H0V2H1V1H0',
  'M0 0H1V2',
  'M0 0H1V2H0ZM0 1H1',
  'M1 1H0V0H1V2H0',
];

/** Digits of a number, one after the other, `high` pixels high. */
function numberPath(value: number, x: number, y: number, high: number): string {
  const scale = high / 2;
  return String(value)
    .split('')
    .map(
      (digit, k) =>
        `<path transform="translate(${String(x + k * 1.6 * scale)} ${String(y)}) scale(${String(scale)})" stroke-width="${String(2 / scale)}" d="${DIGITS[Number(digit)] ?? ''}"/>`,
    )
    .join('');
}

/** Black division lines through the middle of the photo, every fifth longer, every tenth longest and numbered. */
export function rulerSvg({ width, height, divisions, pitchPx }: DrawnRuler): string {
  const left = (width - divisions * pitchPx) / 2;
  const base = height / 2;
  const lines = Array.from({ length: divisions + 1 }, (_, k) => {
    const x = left + k * pitchPx;
    const long = k % 10 === 0 ? 34 : k % 5 === 0 ? 26 : 18;
    const line = `<path stroke-width="2" d="M${String(x)} ${String(base)}V${String(base - long)}"/>`;
    return k % 10 === 0 ? line + numberPath(k, x - 6, base + 8, 16) : line;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${String(width)}" height="${String(height)}"><g fill="none" stroke="#111">${lines.join('')}</g></svg>`;
}
