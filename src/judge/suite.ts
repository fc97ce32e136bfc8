import { mean, sampleVariance } from "simple-statistics";
import { tTest } from "./compare-cells.ts";
import { chiSquareUpperTail, normalQuantile, studentTCdf } from "./distributions.ts";
import { varianceFloor } from "./pair-variance.ts";

/** One game's difference with its own noise: d on the log scale, v its variance, f the variance's degrees of freedom. */
export interface GameDifference {
  readonly d: number;
  readonly v: number;
  readonly f: number;
}

/** A part of a variance of a mean, and the degrees of freedom it is estimated with. */
export interface VarianceTerm {
  readonly variance: number;
  readonly df: number;
}

interface Interval {
  readonly low: number;
  readonly high: number;
  readonly p: number;
  readonly standardError: number;
  readonly df: number;
}

/** All games of one column together, on the log scale. */
export interface SuiteEstimate {
  readonly games: number;
  readonly logDiff: number;
  /** For games like these where there are three or more, else for exactly these. */
  readonly basis: "games" | "these-games";
  readonly main: Interval;
  readonly theseGames: Interval;
  readonly gamesDiffer: { readonly verdict: boolean; readonly p: number; readonly statistic: number };
  /** Typical true distance of a game from the average, noise taken off. */
  readonly tau: number;
}

/**
 * The average over games: its exponential is the geometric mean of the games' ratios, every game counting alike.
 * @param games the games of one column that have a standard error, two or more
 * @param shared variance of the average that the games have in common and their scatter cannot show, such as boots
 * @returns null for fewer than two games
 * @see Fleming & Wallace 1986, CACM 29:218; Satterthwaite 1946 for the degrees of freedom of summed variances
 */
export function estimateSuite(
  games: readonly GameDifference[],
  confidence: number,
  shared: readonly VarianceTerm[] = [],
): SuiteEstimate | null {
  const n = games.length;
  if (n < 2) return null;
  const d = games.map((game) => game.d);
  const logDiff = mean(d);
  const spread = sampleVariance(d);

  const noise = games.map(({ v, f }): VarianceTerm => ({ variance: v / n ** 2, df: f }));
  const theseGames = interval(logDiff, [...noise, ...shared], confidence);
  const basis = n >= 3 ? "games" : "these-games";
  const scatter = { variance: Math.max(spread, varianceFloor) / n, df: n - 1 };
  const main = basis === "games" ? interval(logDiff, [scatter, ...shared], confidence) : theseGames;
  const differ = gamesDiffer(games);
  return {
    games: n,
    logDiff,
    basis,
    main,
    theseGames,
    gamesDiffer: { verdict: differ.p <= 1 - confidence, p: differ.p, statistic: differ.statistic },
    tau: Math.sqrt(Math.max(0, spread - mean(games.map(({ v }) => v)))),
  };
}

function interval(estimate: number, terms: readonly VarianceTerm[], confidence: number): Interval {
  const variance = terms.reduce((sum, term) => sum + term.variance, 0);
  const df = variance ** 2 / terms.reduce((sum, term) => sum + term.variance ** 2 / term.df, 0);
  const standardError = Math.sqrt(variance);
  const { low, high, p } = tTest(estimate, standardError, df, confidence);
  return { low, high, p, standardError, df };
}

/**
 * Do games truly differ, or is their scatter noise? Each game's distance from the common value becomes a normal
 * score through its own t distribution, which stays honest with two or three passes, where Cochran's Q does not.
 * @see Alexander & Govern 1994, Journal of Educational Statistics 19:91, with the exact t in place of Hill's approximation
 */
export function gamesDiffer(games: readonly GameDifference[]): { statistic: number; df: number; p: number } {
  const weights = games.map(({ v }) => 1 / v);
  const total = weights.reduce((sum, w) => sum + w, 0);
  const common = games.reduce((sum, { d }, i) => sum + (weights[i] as number) * d, 0) / total;
  const statistic = games.reduce((sum, { d, v, f }) => {
    const tail = studentTCdf(-Math.abs((d - common) / Math.sqrt(v)), f);
    // A tail below the smallest double would have an infinite score; this one is 37 standard deviations out.
    const score = normalQuantile(Math.max(tail, 1e-300));
    return sum + score * score;
  }, 0);
  const df = games.length - 1;
  return { statistic, df, p: chiSquareUpperTail(statistic, df) };
}
