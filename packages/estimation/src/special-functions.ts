import { badArgument } from '@veligrid/model';

/**
 * Distribution functions and their inverses, to about 1e-12 relative for shapes up to 1e9.
 *
 * Sources. Prefactors: Loader 2000, "Fast and accurate computation of binomial probabilities" (saddle-point form, no
 * cancellation at large shapes). Log gamma: Stirling's series, NIST DLMF 5.11.1, shifted up by 5.5.1. Incomplete
 * gamma: series DLMF 8.7.1 and continued fraction 8.9.2. Incomplete beta: continued fraction DLMF 8.17.22. Both
 * fractions by Lentz's method as changed by Thompson and Barnett 1986. Inverses: Newton steps kept inside a bracket.
 */

const TINY = 1e-300;
const EPSILON = 2 ** -53;
const LN_SQRT_2PI = 0.9189385332046727;
const MOST_TERMS = 2_000_000;

/** Stirling's series without its leading terms: ln Gamma(x+1) - [(x+1/2) ln x - x + ln sqrt(2 pi)]; x > 0. */
function stirlingError(x: number): number {
  let shifted = x;
  let sum = 0;
  for (; shifted < 16; shifted += 1) sum += (shifted + 0.5) * Math.log1p(1 / shifted) - 1;
  const r = 1 / (shifted * shifted);
  const tail = 1 / 12 - r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r * (1 / 1188 - (r * 691) / 360360))));
  return sum + tail / shifted;
}

/** x ln(x/m) + m - x without cancellation (Loader's deviance part). */
function deviance(x: number, m: number): number {
  if (Math.abs(x - m) >= 0.1 * (x + m)) return x * Math.log(x / m) + m - x;
  const v = (x - m) / (x + m);
  let sum = (x - m) * v;
  let term = 2 * x * v;
  for (let j = 1; j < 1000; j += 1) {
    term *= v * v;
    const next = sum + term / (2 * j + 1);
    if (next === sum) break;
    sum = next;
  }
  return sum;
}

/** m^x e^-m / Gamma(x+1) for real x > 0. */
const poissonTerm = (x: number, m: number): number =>
  Math.exp(-stirlingError(x) - deviance(x, m)) / Math.sqrt(2 * Math.PI * x);

/** Gamma(a+b+1)/(Gamma(a+1) Gamma(b+1)) x^a y^b for real a, b > 0 and y = 1 - x. */
function binomialTerm(a: number, b: number, x: number, y: number): number {
  const n = a + b;
  const exponent = stirlingError(n) - stirlingError(a) - stirlingError(b) - deviance(a, n * x) - deviance(b, n * y);
  return Math.exp(exponent) * Math.sqrt(n / (2 * Math.PI * a * b));
}

/** Natural logarithm of the gamma function, for x > 0. */
export function logGamma(x: number): number {
  if (!(x > 0)) throw badArgument('x', 'a number above 0', x);
  if (x < 1) return logGamma(x + 1) - Math.log(x);
  return stirlingError(x) + (x - 0.5) * Math.log(x) - x + LN_SQRT_2PI;
}

/** Derivative of the log gamma function, for x > 0 (DLMF 5.11.2, shifted by 5.5.2). */
export function digamma(x: number): number {
  let shifted = x;
  let sum = 0;
  for (; shifted < 12; shifted += 1) sum -= 1 / shifted;
  const r = 1 / (shifted * shifted);
  const tail = 1 / 12 - r * (1 / 120 - r * (1 / 252 - r * (1 / 240 - r * (1 / 132 - (r * 691) / 32760))));
  return sum + Math.log(shifted) - 0.5 / shifted - r * tail;
}

/** Derivative of the digamma function, for x > 0 (DLMF 5.15.8). */
export function trigamma(x: number): number {
  let shifted = x;
  let sum = 0;
  for (; shifted < 12; shifted += 1) sum += 1 / (shifted * shifted);
  const r = 1 / (shifted * shifted);
  const tail = 1 / 6 - r * (1 / 30 - r * (1 / 42 - r * (1 / 30 - (r * 5) / 66)));
  return sum + 1 / shifted + r / 2 + (r * tail) / shifted;
}

/** Continued fraction b0 + a1/(b1 + a2/(b2 + ...)) by the modified Lentz method; `term(i)` gives [a_i, b_i]. */
function continuedFraction(b0: number, term: (i: number) => readonly [number, number]): number {
  let value = b0 === 0 ? TINY : b0;
  let c = value;
  let d = 0;
  for (let i = 1; i < MOST_TERMS; i += 1) {
    const [a, b] = term(i);
    d = b + a * d;
    d = 1 / (d === 0 ? TINY : d);
    c = b + a / c;
    if (c === 0) c = TINY;
    const step = c * d;
    value *= step;
    if (Math.abs(step - 1) < 4 * EPSILON) break;
  }
  return value;
}

/** Both tails of the gamma distribution of shape a and scale 1 at x. */
function gammaTails(a: number, x: number): { readonly lower: number; readonly upper: number } {
  if (x <= 0) return { lower: 0, upper: 1 };
  if (x === Infinity) return { lower: 1, upper: 0 };
  const front = poissonTerm(a, x);
  if (x < a + 1) {
    let term = 1;
    let sum = 1;
    for (let k = 1; k < MOST_TERMS && term > EPSILON * sum * 0.1; k += 1) {
      term *= x / (a + k);
      sum += term;
    }
    const lower = Math.min(1, front * sum);
    return { lower, upper: 1 - lower };
  }
  const fraction = continuedFraction(x + 1 - a, (i) => [-i * (i - a), x + 2 * i + 1 - a]);
  const upper = Math.min(1, (front * a) / fraction);
  return { lower: 1 - upper, upper };
}

/** Regularised lower incomplete gamma function P(a, x), for a > 0 and x >= 0. */
export const gammaLower = (a: number, x: number): number => gammaTails(a, x).lower;

/** Regularised upper incomplete gamma function Q(a, x) = 1 - P(a, x), for a > 0 and x >= 0. */
export const gammaUpper = (a: number, x: number): number => gammaTails(a, x).upper;

function betaFraction(a: number, b: number, x: number): number {
  return continuedFraction(1, (i) => {
    const m = Math.floor(i / 2);
    if (i % 2 === 0) return [(m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m)), 1];
    return [(-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1)), 1];
  });
}

/** Regularised incomplete beta function I_x(a, b), with y = 1 - x given apart so that neither end loses digits. */
function betaLowerAt(a: number, b: number, x: number, y: number): number {
  if (x <= 0) return 0;
  if (y <= 0) return 1;
  const front = binomialTerm(a, b, x, y) / (a + b);
  return x < (a + 1) / (a + b + 2)
    ? Math.min(1, (front * b) / betaFraction(a, b, x))
    : Math.max(0, 1 - (front * a) / betaFraction(b, a, y));
}

/** Regularised incomplete beta function I_x(a, b), for a, b > 0 and x in 0..1. */
export const betaLower = (a: number, b: number, x: number): number => betaLowerAt(a, b, x, 1 - x);

/** What `solve` needs to know of a distribution on 0..end. */
interface Solvable {
  /** Lower tail less the wanted probability (or the wanted less the upper tail): rises with x. */
  readonly excess: (x: number) => number;
  readonly density: (x: number) => number;
  readonly start: number;
  readonly end: number;
}

/** The x where a rising function crosses 0: Newton steps, or the middle of the bracket on a log scale. */
function solve({ excess, density, start, end }: Solvable): number {
  let low = 0;
  let high = end;
  let x = start;
  for (let i = 0; i < 400; i += 1) {
    const off = excess(x);
    if (off === 0) return x;
    if (off > 0) high = x;
    else low = x;
    const newton = x - off / density(x);
    const inside = newton > low && newton < high;
    const next = inside ? newton : middle(low, high);
    if (Math.abs(next - x) <= 8 * EPSILON * x) return next;
    x = next;
  }
  return x;
}

function middle(low: number, high: number): number {
  if (high === Infinity) return 2 * low + 1;
  return low > 0 && high > 4 * low ? Math.sqrt(low * high) : low === 0 ? high / 16 : (low + high) / 2;
}

function checkProbability(p: number): void {
  if (!(p >= 0 && p <= 1)) throw badArgument('the probability', 'a number from 0 to 1', p);
}

/** Standard normal distribution function. */
export function normalLower(z: number): number {
  const tail = gammaUpper(0.5, (z * z) / 2) / 2;
  return z < 0 ? tail : 1 - tail;
}

/** Density of the standard normal distribution. */
export const normalDensity = (z: number): number => Math.exp((-z * z) / 2 - LN_SQRT_2PI);

/** Standard normal quantile; -Infinity at 0 and Infinity at 1. */
export function normalQuantile(p: number): number {
  checkProbability(p);
  if (p === 0.5) return 0;
  if (p > 0.5) return -normalQuantile(1 - p);
  if (p === 0) return -Infinity;
  return -Math.sqrt(2 * gammaUpperQuantile(2 * p, 0.5));
}

/** Wilson and Hilferty's approximation of a gamma quantile (1931), the start of the search. */
function gammaStart(p: number, a: number): number {
  const s = Math.sqrt(-2 * Math.log(Math.min(p, 1 - p) + TINY));
  const z = (p < 0.5 ? -1 : 1) * (s - (2.30753 + 0.27061 * s) / (1 + s * (0.99229 + 0.04481 * s)));
  const root = 1 - 1 / (9 * a) + z / (3 * Math.sqrt(a));
  const cube = a * root ** 3;
  return cube > 0.05 * a && a > 0.3 ? cube : Math.max(TINY, Math.exp((Math.log(p) + logGamma(a + 1)) / a));
}

/** Quantile of the gamma distribution of shape a > 0 and scale 1; 0 at p = 0 and Infinity at p = 1. */
export function gammaQuantile(p: number, a: number): number {
  checkProbability(p);
  if (p === 0) return 0;
  if (p === 1) return Infinity;
  return p > 0.5 ? gammaUpperQuantile(1 - p, a) : gammaSearch(a, gammaStart(p, a), (x) => gammaLower(a, x) - p);
}

/** Gamma quantile by its upper tail q, exact also for tiny q. */
function gammaUpperQuantile(q: number, a: number): number {
  return gammaSearch(a, gammaStart(1 - q, a), (x) => q - gammaUpper(a, x));
}

const gammaSearch = (a: number, start: number, excess: (x: number) => number): number =>
  solve({ excess, density: (x) => (poissonTerm(a, x) * a) / x, start, end: Infinity });

/** Quantile of the chi-square distribution with df > 0 degrees of freedom. */
export const chiSquareQuantile = (p: number, df: number): number => 2 * gammaQuantile(p, df / 2);

/** Probability that chi-square with df > 0 degrees of freedom is x or more. */
export const chiSquareUpper = (x: number, df: number): number => gammaUpper(df / 2, x / 2);

/** Quantile of the beta distribution with a, b > 0; 0 at p = 0 and 1 at p = 1. */
export function betaQuantile(p: number, a: number, b: number): number {
  checkProbability(p);
  if (p === 0 || p === 1) return p;
  // Above the mean the complement is searched for, so that the shorter side keeps its digits.
  if (betaLower(a, b, a / (a + b)) < p) return 1 - betaSearch(b, a, (y) => betaLowerAt(b, a, y, 1 - y) - (1 - p));
  return betaSearch(a, b, (x) => betaLower(a, b, x) - p);
}

const betaSearch = (a: number, b: number, excess: (x: number) => number): number =>
  solve({
    excess,
    density: (x) => (binomialTerm(a, b, x, 1 - x) * a * b) / ((a + b) * x * (1 - x)),
    start: a / (a + b),
    end: 1,
  });

/** Probability that Student's t with df > 0 degrees of freedom is t or more. */
export function studentUpper(t: number, df: number): number {
  const x = 1 / (1 + (t * t) / df);
  const tail = betaLowerAt(df / 2, 0.5, x, t === 0 ? 0 : 1 / (1 + df / (t * t))) / 2;
  return t < 0 ? 1 - tail : tail;
}

/** Student's t quantile with df > 0 degrees of freedom (Infinity gives the normal); infinite at p = 0 and 1. */
export function studentQuantile(p: number, df: number): number {
  checkProbability(p);
  if (df === Infinity) return normalQuantile(p);
  if (p < 0.5) return -studentQuantile(1 - p, df);
  if (p === 0.5) return 0;
  if (p === 1) return Infinity;
  const q = 1 - p;
  const z = -normalQuantile(q);
  if (df > 1e6) return z + ((z * z + 1) * z) / (4 * df);
  const front = Math.exp(stirlingError((df + 1) / 2) - stirlingError(df / 2)) * Math.sqrt(1 / (2 * Math.PI * Math.E));
  const scale = front * Math.sqrt(df / (df + 1)) * ((df + 1) / df) ** ((df + 1) / 2);
  return solve({
    excess: (t) => q - studentUpper(t, df),
    density: (t) => scale * Math.exp((-(df + 1) / 2) * Math.log1p((t * t) / df)),
    start: z + (z ** 3 + z) / (4 * df),
    end: Infinity,
  });
}

/** Probability that F with (d1, d2) degrees of freedom, both above 0, is f or more; d2 may be Infinity. */
export function fUpper(f: number, d1: number, d2: number): number {
  if (f <= 0) return 1;
  if (d2 > 1e12) return chiSquareUpper(f * d1, d1);
  return betaLowerAt(d2 / 2, d1 / 2, 1 / (1 + (d1 * f) / d2), 1 / (1 + d2 / (d1 * f)));
}

/**
 * Quantile of the F distribution with (d1, d2) degrees of freedom, both above 0.
 *
 * @public
 */
export function fQuantile(p: number, d1: number, d2: number): number {
  const x = betaQuantile(p, d1 / 2, d2 / 2);
  return (d2 * x) / (d1 * (1 - x));
}

/** Probability of k or fewer successes in n trials with chance p each; k whole, n >= 0. */
export function binomialLower(k: number, n: number, p: number): number {
  if (k < 0) return 0;
  return k >= n ? 1 : betaLowerAt(n - k, k + 1, 1 - p, p);
}
