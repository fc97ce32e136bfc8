import * as cephes from "cephes";

// The functions are compiled from C to WebAssembly, which loads asynchronously once.
await cephes.compiled;

/**
 * Distribution function of Student's t with real-valued degrees of freedom.
 * Relative error below 1e-10 in the lower tail down to 1e-12.
 * @see Abramowitz & Stegun 26.7.1 and 26.5.27 (t through the incomplete beta function)
 * @throws RangeError if df is not above 0
 */
export function studentTCdf(t: number, df: number): number {
  if (!(df > 0)) throw new RangeError(`studentTCdf needs df above 0, got ${df}`);
  if (t > 0) return 1 - studentTCdf(-t, df);
  // Beyond this the beta function, a difference of huge logarithms, loses more digits than the expansion.
  if (df > 2e5) return fisherExpansion(t, df);
  const square = t * t;
  // Each form is exact where the other one cancels: near the middle df / (df + t^2) rounds to 1, further out the
  // central part does.
  return square < 1
    ? 0.5 * (1 - cephes.incbet(0.5, df / 2, square / (df + square)))
    : 0.5 * cephes.incbet(df / 2, 0.5, df / (df + square));
}

/** Student's t as the normal with corrections in powers of 1 / df (Fisher 1925, Metron 5:109). */
function fisherExpansion(t: number, df: number): number {
  const s = t * t;
  const first = (s + 1) / 4;
  const second = (((3 * s - 7) * s - 5) * s - 3) / 96;
  const third = (((((s - 11) * s + 14) * s + 6) * s - 3) * s - 15) / 384;
  return normalCdf(t) - normalDensity(t) * t * (first + (second + third / df) / df) * (1 / df);
}

function normalDensity(x: number): number {
  return Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI);
}

function studentTDensity(t: number, df: number): number {
  const logBeta = cephes.lgam(0.5) + cephes.lgam(df / 2) - cephes.lgam((df + 1) / 2);
  return Math.exp(-0.5 * (df + 1) * Math.log1p((t * t) / df) - logBeta) / Math.sqrt(df);
}

/**
 * Quantile of Student's t with real-valued degrees of freedom.
 * @param p probability in (0, 1)
 * @throws RangeError if p is outside (0, 1) or df is not above 0
 */
export function studentTQuantile(p: number, df: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`studentTQuantile needs p in (0, 1), got ${p}`);
  if (!(df > 0)) throw new RangeError(`studentTQuantile needs df above 0, got ${df}`);
  if (p === 0.5) return 0;
  const key = `${p} ${df}`;
  const before = quantiles.get(key);
  if (before !== undefined) return before;
  const quantile = findQuantile(p, df);
  if (quantiles.size >= mostQuantiles) quantiles.clear();
  quantiles.set(key, quantile);
  return quantile;
}

/** Cells with as many passes and the same prior have the same degrees of freedom: most quantiles are asked for again. */
const quantiles = new Map<string, number>();
const mostQuantiles = 10_000;

function findQuantile(p: number, df: number): number {
  const tail = Math.min(p, 1 - p);
  let t = approximateQuantile(tail, df);
  // Newton steps take the start to the last digits.
  for (let step = 0; step < 5; step++) {
    const delta = (studentTCdf(t, df) - tail) / studentTDensity(t, df);
    if (!Number.isFinite(delta)) break;
    t -= delta;
    if (Math.abs(delta) < 1e-15 * Math.abs(t)) break;
  }
  return p < 0.5 ? t : -t;
}

/** A quantile of the lower tail good to a few percent at least. */
function approximateQuantile(tail: number, df: number): number {
  // Not far out an expansion is good enough for a start, and a fraction of the cost.
  if (df > 60 || (df > 4 && tail > 0.001)) {
    // Abramowitz & Stegun 26.7.5
    const z = cephes.ndtri(tail);
    const s = z * z;
    return z * (1 + (s + 1) / (4 * df) + ((5 * s + 16) * s + 3) / (96 * df * df));
  }
  const x = cephes.incbi(df / 2, 0.5, 2 * tail);
  return -Math.sqrt((df * (1 - x)) / x);
}

/** Distribution function of the standard normal. */
export function normalCdf(x: number): number {
  return cephes.ndtr(x);
}

/**
 * Quantile of the standard normal.
 * @throws RangeError if p is outside (0, 1)
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`normalQuantile needs p in (0, 1), got ${p}`);
  return cephes.ndtri(p);
}

/**
 * Probability that chi-squared with df degrees of freedom exceeds x (Abramowitz & Stegun 26.4.1). A tail below 1e-304,
 * as of many games that differ by far more than their noise, is 0.
 */
export function chiSquareUpperTail(x: number, df: number): number {
  const a = df / 2;
  const half = x / 2;
  // The library throws where the smaller of the two tails is below the smallest double.
  const logSmallerTail = a * Math.log(half) - half - cephes.lgam(a);
  if (logSmallerTail < -700) return half < a ? 1 : 0;
  return cephes.igamc(a, half);
}

/** Median of the F distribution with d1 and d2 degrees of freedom (Abramowitz & Stegun 26.6.2). */
export function medianOfF(d1: number, d2: number): number {
  const x = cephes.incbi(d1 / 2, d2 / 2, 0.5);
  return (d2 * x) / (d1 * (1 - x));
}
