/** Straight line y = intercept + slope x fitted by ordinary least squares. */
export interface LineFit {
  readonly intercept: number;
  readonly slope: number;
  /** Standard uncertainties; not a number for two points, where nothing is left to judge by. */
  readonly interceptUncertainty: number;
  readonly slopeUncertainty: number;
  /** Correlation of intercept and slope, -1..1. */
  readonly correlation: number;
  /** Standard deviation of the residuals with n - 2 degrees of freedom. */
  readonly residualDeviation: number;
  readonly points: number;
}

/**
 * Ordinary least squares with the standard uncertainties of JCGM 100:2008 (GUM), H.3.
 *
 * @param xs places, at least two different ones
 * @param ys values, as many
 * @throws RangeError when fewer than two different places are given
 */
export function fitLine(xs: ArrayLike<number>, ys: ArrayLike<number>): LineFit {
  const n = xs.length;
  let meanX = 0;
  let meanY = 0;
  for (let i = 0; i < n; i++) {
    meanX += xs[i] / n;
    meanY += ys[i] / n;
  }
  let xx = 0;
  let xy = 0;
  let squareX = 0;
  for (let i = 0; i < n; i++) {
    xx += (xs[i] - meanX) ** 2;
    xy += (xs[i] - meanX) * (ys[i] - meanY);
    squareX += xs[i] ** 2;
  }
  if (n !== ys.length || !(xx > 0))
    throw new RangeError('Expected as many values as places, two places of them different');
  const slope = xy / xx;
  const intercept = meanY - slope * meanX;
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (ys[i] - intercept - slope * xs[i]) ** 2;
  const residualDeviation = Math.sqrt(squares / (n - 2));
  return {
    intercept,
    slope,
    interceptUncertainty: residualDeviation * Math.sqrt(squareX / (n * xx)),
    slopeUncertainty: residualDeviation / Math.sqrt(xx),
    correlation: -meanX / Math.sqrt(squareX / n),
    residualDeviation,
    points: n,
  };
}

/** Standard uncertainty of the line at a place. */
export function lineUncertainty(fit: LineFit, x: number): number {
  const { interceptUncertainty: a, slopeUncertainty: b, correlation } = fit;
  return Math.sqrt(a * a + x * x * b * b + 2 * x * correlation * a * b);
}
