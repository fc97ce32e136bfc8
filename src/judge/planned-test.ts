import * as cephes from "cephes";
import { mean, sampleVariance, variance } from "simple-statistics";
import { studentTQuantile } from "./distributions.ts";
import { noncentralTCdf } from "./noncentral-t.ts";
import { digamma, trigamma } from "./polygamma.ts";
import { imaginaryPriorDf } from "./variance-prior.ts";

/** What the other games will add to the noise that one game shows, as judging will draw on them. */
export interface ExpectedPrior {
  /** Games with passes of both configs, this one included. */
  readonly games: number;
  /** Degrees of freedom they add; 0 for a game alone. */
  readonly priorDf: number;
  /** Their typical variance over this game's. */
  readonly ratio: number;
}

/**
 * The prior that judging will come to where games are as noisy as this. Its fit believes in some difference between
 * games even where there is none and so takes the typical variance for less than it is; Welch's degrees of freedom,
 * which are too few on average, draw it up again where units are few.
 * @param logVariances natural logs of all games' variances, on any scale
 * @param own that of the game planned for
 */
export function priorOfGames(logVariances: readonly number[], own: number, units: number): ExpectedPrior {
  const games = logVariances.length;
  if (games < 2) return { games: Math.max(1, games), priorDf: 0, ratio: 1 };
  const priorDf = imaginaryPriorDf(games, sampleVariance([...logVariances]));
  const drawnUp = mean(welchCases(units).map(logChiSquareBias)) - logChiSquareBias(2 * (units - 1));
  const typical = mean([...logVariances]) - own;
  return { games, priorDf, ratio: Math.exp(typical + drawnUp - logChiSquareBias(priorDf)) };
}

/** The same where all games are as noisy as each other. */
export function priorOfEqualGames(games: number, units: number): ExpectedPrior {
  return priorOfGames(
    Array.from({ length: games }, () => 0),
    0,
    units,
  );
}

/** By how much the mean logarithm of chi-squared / df lies below 0. */
function logChiSquareBias(df: number): number {
  return Math.log(df / 2) - digamma(df / 2);
}

/** Equally likely cases of how the noise measured may share out between two configs; 8 are good to 0.3 points. */
const cases = 8;
/** Standard errors beyond which nothing is searched: the noncentral t is exact up to there. */
const mostStandardErrors = 37;

/** Welch's degrees of freedom in each case. */
function welchCases(units: number): number[] {
  const each = units - 1;
  return Array.from({ length: cases }, (_, i) => {
    const share = cephes.incbi(each / 2, each / 2, 0.5 + (i + 0.5) / (2 * cases));
    return each / (share * share + (1 - share) * (1 - share));
  });
}

interface Case {
  /** Standard errors, of the true noise, that the estimate is held against. */
  readonly critical: number;
  readonly scatterDf: number;
}

/**
 * How a planned comparison will come out: the chance that the t test of `compareColumn` finds a difference, before any
 * pass is made. Given how the noise of two equally noisy configs shares out (a beta distribution), Welch's degrees of
 * freedom are fixed and independent of the sum, so that the test's limit is known; the variance that the test uses
 * holds a fixed part, its prior, and so scatters less than its degrees of freedom say. Its first two moments are
 * matched by a scaled chi-squared (Satterthwaite 1946), which makes t noncentral t. Exact for one game but for the
 * number of cases; held to within 2 points by simulation (test/judge/planned-chances.test.ts). Two games with 3 units
 * each may lose 3 points; with 2 units chances are far too optimistic.
 */
export class PlannedTest {
  readonly #cases: readonly Case[];

  /**
   * @param units independent values per config, passes or boots, 2 or more
   * @param alpha two-sided p that will be needed
   */
  constructor(units: number, { games, priorDf, ratio }: ExpectedPrior, alpha: number) {
    const each = units - 1;
    const welchDf = welchCases(units);
    const others = (games - 1) * mean(welchDf);
    // The prior's variance is measured as well: its logarithm is a mean over games, this one included.
    const logVariance = (trigamma(each) + variance(welchDf.map(logChiSquareBias))) / games;
    const prior = ratio * Math.exp(logVariance / 2);
    this.#cases = welchDf.map((df) => {
      const testDf = df + Math.min(priorDf, others);
      const meanVariance = (df + priorDf * prior) / (df + priorDf);
      const scatter =
        (df * df) / each +
        (priorDf * prior) ** 2 * Math.expm1(logVariance) +
        (2 * df * priorDf * prior) / (each * games);
      return {
        critical: studentTQuantile(1 - alpha / 2, testDf) * Math.sqrt(meanVariance),
        scatterDf: (2 * (meanVariance * (df + priorDf)) ** 2) / scatter,
      };
    });
  }

  /** Chance to call a true difference of so many standard errors, whichever way it is called. */
  chanceToShow(standardErrors: number): number {
    return this.#mean(
      ({ critical, scatterDf }) =>
        1 -
        noncentralTCdf(critical, scatterDf, standardErrors) +
        noncentralTCdf(-critical, scatterDf, standardErrors),
    );
  }

  /**
   * Chance that an interval lies within a margin of so many standard errors where nothing differs, each side by itself
   * (Schuirmann 1987); `alpha` is that of the interval.
   */
  chanceOfSame(standardErrors: number): number {
    const oneSide = this.#mean(
      ({ critical, scatterDf }) => 1 - noncentralTCdf(critical, scatterDf, standardErrors),
    );
    return Math.max(0, 2 * oneSide - 1);
  }

  /** The smallest true difference, in standard errors, that is shown with this chance; null where none is. */
  smallestShown(chance: number): number | null {
    let low = 0;
    let high = mostStandardErrors;
    if (this.chanceToShow(high) < chance) return null;
    while (high - low > 1e-9 * high) {
      const middle = (low + high) / 2;
      if (this.chanceToShow(middle) < chance) low = middle;
      else high = middle;
    }
    return high;
  }

  #mean(of: (one: Case) => number): number {
    return mean(this.#cases.map(of));
  }
}
