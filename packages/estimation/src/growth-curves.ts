import type { Curve } from './fit-curve.js';

/** Gompertz: A exp(-exp(-k (t - ti))); parameters A, k, ti. */
export const GOMPERTZ: Curve = {
  value: (t, [A = 0, k = 0, ti = 0]) => A * Math.exp(-Math.exp(-k * (t - ti))),
  slopes: (t, [A = 0, k = 0, ti = 0]) => {
    const inner = Math.exp(-k * (t - ti));
    const outer = Math.exp(-inner);
    return [outer, A * outer * inner * (t - ti), -A * outer * inner * k];
  },
};

/** Logistic: A / (1 + exp((mid - t)/scale)); parameters A, mid, scale. */
export const LOGISTIC: Curve = {
  value: (t, [A = 0, mid = 0, scale = 1]) => A / (1 + Math.exp((mid - t) / scale)),
  slopes: (t, [A = 0, mid = 0, scale = 1]) => {
    const e = Math.exp((mid - t) / scale);
    const f = 1 / (1 + e);
    const common = A * f * f * e;
    return [f, -common / scale, (common * (mid - t)) / (scale * scale)];
  },
};

/** A day at which a curve reaches a length, with its derivative by each parameter; null when it never does. */
export type Reach = (
  parameters: readonly number[],
  length: number,
) => { readonly day: number; readonly slopes: readonly number[] } | null;

/** t = ti - ln(-ln(L/A))/k. */
export const gompertzReach: Reach = ([A = 0, k = 0, ti = 0], length) => {
  if (!(k > 0 && length > 0 && length < A)) return null;
  const inner = Math.log(A / length);
  const logInner = Math.log(inner);
  return { day: ti - logInner / k, slopes: [-1 / (A * inner * k), logInner / (k * k), 1] };
};

/** t = mid - scale ln(A/L - 1). */
export const logisticReach: Reach = ([A = 0, mid = 0, scale = 1], length) => {
  if (!(scale > 0 && length > 0 && length < A)) return null;
  const odds = A / length - 1;
  return { day: mid - scale * Math.log(odds), slopes: [-scale / (length * odds), 1, -Math.log(odds)] };
};
