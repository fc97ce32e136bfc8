import { studentTCdf, studentTQuantile } from "./distributions.ts";
import { type CellStatistics, type PairVariance, pairVariance } from "./pair-variance.ts";
import { fitVariancePrior, floorVariances, type VariancePrior } from "./variance-prior.ts";

/** One game's two cells of a column. */
export interface CellPair {
  readonly game: string;
  readonly config: CellStatistics;
  readonly against: CellStatistics;
}

/** A difference with its uncertainty, on the natural-log scale; null where the noise is unknown. */
export interface Comparison {
  readonly game: string;
  readonly logDiff: number;
  readonly pair: PairVariance;
  readonly posteriorVariance: number | null;
  readonly priorDf: number;
  readonly standardError: number | null;
  readonly degreesOfFreedom: number | null;
  readonly statistic: number | null;
  readonly p: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

/** Two-sided p of a t test. */
function tTestP(statistic: number, degreesOfFreedom: number): number {
  return Math.min(1, 2 * studentTCdf(-Math.abs(statistic), degreesOfFreedom));
}

/** A two-sided t test and its interval from an estimate, its standard error and degrees of freedom. */
export function tTest(
  estimate: number,
  standardError: number,
  degreesOfFreedom: number,
  confidence: number,
): { p: number; low: number; high: number } {
  const halfWidth = studentTQuantile(1 - (1 - confidence) / 2, degreesOfFreedom) * standardError;
  return {
    p: tTestP(estimate / standardError, degreesOfFreedom),
    low: estimate - halfWidth,
    high: estimate + halfWidth,
  };
}

function testDifference(
  logDiff: number,
  standardError: number,
  df: number,
  confidence: number | null,
): { p: number; low: number | null; high: number | null } {
  if (confidence !== null) return tTest(logDiff, standardError, df, confidence);
  return { p: tTestP(logDiff / standardError, df), low: null, high: null };
}

/**
 * Compares two configs in one metric over all games. Each game keeps its own difference; its variance is Welch's,
 * drawn towards the typical variance of all games, because three passes say little about noise and many games
 * together say much (empirical Bayes).
 * @param pairs the games that have at least one pass on both sides
 * @param confidence of the interval, such as 0.95; null leaves the interval out, which costs most of the time
 * @see Welch 1947; Smyth 2004. The combination is this project's own, justified by simulation
 */
export function compareColumn(pairs: readonly CellPair[], confidence: number | null): Comparison[] {
  const raw = pairs.map(({ config, against }) => pairVariance(config, against));
  const known = raw.filter((pair): pair is PairVariance & { u: number } => pair.u !== null);
  const floored = known.length === 0 ? [] : floorVariances(known.map(({ u }) => u));
  const flooredOf = new Map(known.map((pair, i) => [pair as PairVariance, floored[i] as number]));
  const prior = fitVariancePrior(known.map(({ nu }, i) => ({ u: floored[i] as number, nu })));
  const dfTotal = known.reduce((sum, { nu }) => sum + nu, 0);

  return pairs.map(({ game, config, against }, i) => {
    const pair = raw[i] as PairVariance;
    const u = flooredOf.get(pair) ?? null;
    const logDiff = config.mean - against.mean;
    const moderated = moderate(u, pair.nu, prior, dfTotal);
    const standardError = moderated === null ? null : Math.sqrt(moderated.variance * pair.h);
    const test =
      moderated === null ? null : testDifference(logDiff, standardError as number, moderated.df, confidence);
    // Written out: a session has thousands of these, and spreading objects costs more than the test.
    return {
      game,
      logDiff,
      pair: { u, nu: pair.nu, h: pair.h },
      posteriorVariance: moderated?.variance ?? null,
      priorDf: prior?.priorDf ?? 0,
      standardError,
      degreesOfFreedom: moderated?.df ?? null,
      statistic: standardError === null ? null : logDiff / standardError,
      p: test?.p ?? null,
      low: test?.low ?? null,
      high: test?.high ?? null,
    };
  });
}

/**
 * A game's variance drawn towards the prior; without a prior its own, which is Welch's test exactly.
 * The cap on the degrees of freedom keeps a prior from claiming more than all games together showed.
 */
function moderate(
  u: number | null,
  nu: number,
  prior: VariancePrior | null,
  dfTotal: number,
): { variance: number; df: number } | null {
  if (prior === null) return u === null ? null : { variance: u, df: nu };
  const df = Math.min(nu + prior.priorDf, dfTotal);
  if (u === null) return { variance: prior.priorVariance, df };
  return { variance: (nu * u + prior.priorDf * prior.priorVariance) / (nu + prior.priorDf), df };
}
