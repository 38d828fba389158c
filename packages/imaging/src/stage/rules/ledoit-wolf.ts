/**
 * Share by which a covariance is best shrunk towards its mean variance (Ledoit and Wolf 2004, "A well-conditioned
 * estimator for large-dimensional covariance matrices", J. Multivariate Analysis 88:365-411; from memory, checked against
 * scikit-learn): with S over n, mu = tr S / p, d2 = |S - mu I|^2 / p, b2 = min(d2, sum |x x' - S|^2 / (n^2 p)), the
 * answer is b2 / d2.
 *
 * @param rows centred observations, n of p numbers
 * @param covariance S = sum x x' / n
 * @returns 0..1; 1 when all variances are equal and nothing is correlated
 */
export function ledoitWolf(rows: readonly Float64Array[], covariance: readonly Float64Array[]): number {
  const p = covariance.length;
  const n = rows.length;
  const mu = covariance.reduce((sum, row, k) => sum + row[k], 0) / p;
  let d2 = 0;
  let square = 0;
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < p; j++) {
      square += covariance[i][j] ** 2;
      d2 += (covariance[i][j] - (i === j ? mu : 0)) ** 2 / p;
    }
  }
  // |x x' - S|^2 summed over the rows is sum |x|^4 - n |S|^2.
  const fourth = rows.reduce((sum, row) => sum + row.reduce((length, value) => length + value * value, 0) ** 2, 0);
  const b2 = Math.min(d2, (fourth - n * square) / (n * n * p));
  return d2 > 0 ? b2 / d2 : 1;
}
