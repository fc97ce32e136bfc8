import { normalQuantile, studentTQuantile } from "./distributions.ts";
import { pctOfLog } from "./log-scale.ts";
import { logMargin } from "./verdict.ts";

/** The chance that a planned comparison shows what it was planned for. Convention. */
export const plannedPower = 0.8;
/** 80% for a verdict of `same` when nothing differs: 10% may be lost on each side. */
const plannedPowerPerSide = 0.9;
export const mostPasses = 100;

/**
 * How many standard errors a true difference must measure to be called with the given chance: a normal
 * approximation of the noncentral t that errs on the safe side.
 * @see Johnson & Welch 1940, Biometrika 31:362
 */
export function shift(alpha: number, df: number, power: number): number {
  const q = studentTQuantile(1 - alpha / 2, df);
  return q + normalQuantile(power) * Math.sqrt(1 + (q * q) / (2 * df));
}

/** The smallest difference, in percent, that this comparison had an 80% chance to show. */
export function resolvesPct(standardError: number, df: number, alphaEff: number): number {
  return pctOfLog(shift(alphaEff, df, plannedPower) * standardError);
}

/**
 * Passes per config that would settle a comparison: enough to show a difference of `mattersPct` if there is one,
 * and to show `same` if there is none, each with an 80% chance.
 * @param variance per pass, of the two configs together, on the log scale
 * @returns from 2 to 100; null for more than 100
 */
export function passesNeeded(plan: {
  readonly variance: number;
  readonly priorDf: number;
  readonly alphaEff: number;
  readonly alpha: number;
  readonly mattersPct: number;
}): number | null {
  const delta = logMargin(plan.mattersPct);
  const isEnough = (n: number): boolean => {
    const { df, standardError } = expectedPrecision(n, plan);
    const shows = shift(plan.alphaEff, df, plannedPower) * standardError <= delta;
    return shows && shift(plan.alpha, df, plannedPowerPerSide) * standardError <= delta;
  };
  return smallestEnough(2, mostPasses, isEnough);
}

/** What `n` passes per config will come to, were the noise what it seems now. */
export function expectedPrecision(
  n: number,
  { variance, priorDf }: { readonly variance: number; readonly priorDf: number },
): { df: number; standardError: number } {
  // Midway between the bounds n - 1 and 2 (n - 1) of Welch's degrees of freedom.
  return { df: 1.5 * (n - 1) + priorDf, standardError: Math.sqrt((2 * variance) / n) };
}

/**
 * The smallest whole number that is enough, searched by halves, since more passes never show less.
 * @returns from `least` to `most`; null where even `most` is not enough
 */
export function smallestEnough(least: number, most: number, isEnough: (n: number) => boolean): number | null {
  if (!isEnough(most)) return null;
  let low = least;
  let high = most;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (isEnough(middle)) high = middle;
    else low = middle + 1;
  }
  return high;
}
