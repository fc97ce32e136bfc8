import * as cephes from "cephes";
import { normalCdf, studentTCdf } from "./distributions.ts";

/** Beyond this e^(-delta^2 / 2) is nothing in double precision. */
const largestNoncentrality = 37;
const mostTerms = 10_000;

/**
 * Distribution function of the noncentral t: of (Z + noncentrality) / sqrt(chi-squared / df).
 * Absolute error below 1e-10 for df from 1; beyond a noncentrality of 37 an approximation good to 1e-3.
 * @see Lenth 1989, Applied Statistics 38:185, algorithm AS 243
 * @throws RangeError if df is not above 0
 */
export function noncentralTCdf(t: number, df: number, noncentrality: number): number {
  if (!(df > 0)) throw new RangeError(`noncentralTCdf needs df above 0, got ${df}`);
  if (noncentrality === 0) return studentTCdf(t, df);
  if (t < 0) return 1 - noncentralTCdf(-t, df, -noncentrality);
  const below = normalCdf(-noncentrality);
  if (t === 0) return below;
  if (Math.abs(noncentrality) > largestNoncentrality) return normalApproximation(t, df, noncentrality);

  const x = (t * t) / (df + t * t);
  const b = df / 2;
  const lambda = (noncentrality * noncentrality) / 2;
  // Letters are those of the paper: p and q weigh the incomplete beta functions of odd and even order.
  let p = Math.exp(-lambda) / 2;
  let q = Math.sqrt(2 / Math.PI) * p * noncentrality;
  let rest = 0.5 - p;
  let odd = cephes.incbet(0.5, b, x);
  let oddStep = 2 * Math.exp(0.5 * Math.log(x) + b * Math.log1p(-x) - logBeta(0.5, b));
  let even = -Math.expm1(b * Math.log1p(-x));
  let evenStep = b * x * Math.exp(b * Math.log1p(-x));
  let sum = p * odd + q * even;
  for (let j = 1; j <= mostTerms; j++) {
    odd -= oddStep;
    even -= evenStep;
    oddStep *= (x * (j - 0.5 + b)) / (j + 0.5);
    evenStep *= (x * (j + b)) / (j + 1);
    p *= lambda / j;
    q *= lambda / (j + 0.5);
    rest -= p;
    sum += p * odd + q * even;
    if (j > lambda && 2 * rest * Math.abs(odd) < 1e-13) break;
  }
  return Math.min(1, Math.max(0, below + sum));
}

function logBeta(a: number, b: number): number {
  return cephes.lgam(a) + cephes.lgam(b) - cephes.lgam(a + b);
}

/** Abramowitz & Stegun 26.7.10. */
function normalApproximation(t: number, df: number, noncentrality: number): number {
  return normalCdf((t * (1 - 1 / (4 * df)) - noncentrality) / Math.sqrt(1 + (t * t) / (2 * df)));
}
