import { mean, median, sampleVariance } from "simple-statistics";
import { varianceFloor } from "./pair-variance.ts";
import { digamma, inverseTrigamma, trigamma } from "./polygamma.ts";

/** Belief before seeing a game: as if this many games had already shown ... */
export const priorWeightGames = 10;
/** ... a typical variance known to this many degrees of freedom. Chosen by simulation for its control of false alarms. */
export const priorBeliefDf = 3;

/** What all games together say about the noise of one metric and pair of configs. */
export interface VariancePrior {
  readonly priorDf: number;
  readonly priorVariance: number;
  /** How much ln variances differ between games beyond chance, as measured (may be negative) ... */
  readonly spreadRaw: number;
  /** ... and after the imaginary games steadied it. */
  readonly spreadRegularised: number;
}

/** Variances drawn away from zero, which no real measurement has. Order kept. */
export function floorVariances(u: readonly number[]): number[] {
  const lowest = Math.max(1e-5 * median([...u]), varianceFloor);
  return u.map((value) => Math.max(value, lowest));
}

/**
 * Moment fit of the distribution of variances over games, steadied by a weak belief because with 2 to 16 games
 * the raw fit is rough and often negative.
 * @param pairs floored variances per pass with their degrees of freedom above 0
 * @returns null for fewer than two games: nothing can be borrowed
 * @see Smyth 2004, Statistical Applications in Genetics and Molecular Biology 3(1):3 for the fit; the
 *   regularisation is this project's own, justified by simulation
 */
export function fitVariancePrior(
  pairs: readonly { readonly u: number; readonly nu: number }[],
): VariancePrior | null {
  if (pairs.length < 2) return null;
  const e = pairs.map(({ u, nu }) => Math.log(u) - digamma(nu / 2) + Math.log(nu / 2));
  const spreadRaw = sampleVariance(e) - mean(pairs.map(({ nu }) => trigamma(nu / 2)));
  const spreadRegularised = regulariseSpread(spreadRaw, pairs.length);
  const priorDf = dfOfSpread(spreadRegularised);
  const priorVariance = Math.exp(mean(e) + digamma(priorDf / 2) - Math.log(priorDf / 2));
  return { priorDf, priorVariance, spreadRaw, spreadRegularised };
}

function regulariseSpread(spreadRaw: number, games: number): number {
  const weight = games - 1;
  return (
    (weight * Math.max(spreadRaw, 0) + priorWeightGames * trigamma(priorBeliefDf / 2)) /
    (weight + priorWeightGames)
  );
}

function dfOfSpread(spread: number): number {
  return 2 * inverseTrigamma(spread);
}

/**
 * Prior degrees of freedom that games, 2 or more, will come to.
 * @param spread variance of their ln variances; 0 for games that are all alike noisy, which gives the most there can be
 */
export function imaginaryPriorDf(games: number, spread: number): number {
  return dfOfSpread(regulariseSpread(spread, games));
}
