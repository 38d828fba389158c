/**
 * A small alphabet of straight strokes, so that a picture with writing looks the same on every machine, with or
 * without fonts. Each letter stands on a grid 4 wide and 6 high, y down; a stroke is a run of digit pairs x y.
 */
const LETTERS: Readonly<Record<string, string>> = {
  A: '0602204246 0444',
  B: '0600304142330306 3344453606',
  C: '4130100105163645',
  D: '00304145360600',
  E: '40000646 0333',
  F: '400006 0333',
  G: '41301001051636454323',
  H: '0006 4046 0343',
  I: '1030 2026 1636',
  J: '4045361605',
  K: '0006 400346',
  L: '000646',
  M: '0600234046',
  N: '06004640',
  O: '103041453616050110',
  P: '06003041423303',
  Q: '103041453616050110 3446',
  R: '06003041423303 2346',
  S: '413010010213334445361605',
  T: '0040 2026',
  U: '000516364540',
  V: '002640',
  W: '0016233640',
  X: '0046 4006',
  Y: '002340 2326',
  Z: '00400646',
  0: '103041453616050110',
  1: '112026 1636',
  2: '01103041420646',
  3: '01103041423313 334445361605',
  4: '36300444',
  5: '400002324345361605',
  6: '413010010516364544331304',
  7: '004016',
  8: '13020110304142331304051636454433',
  9: '051636454130100102133342',
  '.': '2626',
  ',': '2617',
  ':': '2222 2525',
  '-': '1333',
  '~': '04133443',
  '(': '30111536',
  ')': '10313516',
  '?': '0110304142242425 2626',
  '%': '0640 1111 3535',
  '/': '0640',
  '+': '2125 0343',
  µ: '0207 05163645 4246',
  m: '0602 03122326 23324346',
};

/** Widths of a letter with the gap after it, and heights, in grid steps. */
const ADVANCE = 6;
const HEIGHT = 6;

const lettersOf = (text: string): string[] =>
  Array.from(text, (letter) => LETTERS[letter] ?? LETTERS[letter.toUpperCase()] ?? '');

/** Width of a text in pixels at a letter height in pixels. */
export function textWidth(text: string, height: number): number {
  return Math.max(0, Array.from(text).length * ADVANCE - (ADVANCE - 4)) * (height / HEIGHT);
}

/**
 * Path data (SVG) of a text in capitals; signs without a letter leave a space.
 *
 * @param text what to write; `m` and the micro sign stay small
 * @param x left end, px
 * @param y top, px
 * @param height height of a capital, px
 */
export function textPath(text: string, x: number, y: number, height: number): string {
  const step = height / HEIGHT;
  const parts: string[] = [];
  lettersOf(text).forEach((letter, index) => {
    for (const stroke of letter.split(' ').filter((run) => run !== '')) {
      const points: string[] = [];
      for (let i = 0; i + 1 < stroke.length; i += 2) {
        const px = x + (index * ADVANCE + Number(stroke[i])) * step;
        points.push(`${px.toFixed(1)} ${(y + Number(stroke[i + 1]) * step).toFixed(1)}`);
      }
      parts.push(`M${points.join('L')}`);
    }
  });
  return parts.join('');
}
