/** A variance below this is below the rounding of logs (a standard deviation of 0.01%). Common practice, no source. */
export const varianceFloor = 1e-8;

/** What a cell says about one metric, on the natural-log scale. */
export interface CellStatistics {
  readonly n: number;
  readonly mean: number;
  /** Sample variance (n - 1); null for a single pass. */
  readonly variance: number | null;
}

export interface PairVariance {
  /** Variance per pass of this pair, comparable between games whatever their numbers of passes; null if unknown. */
  readonly u: number | null;
  /** Its degrees of freedom; 0 if unknown. */
  readonly nu: number;
  /** 1/n + 1/n, so that u h is the variance of the difference of means. */
  readonly h: number;
}

/**
 * Variance of the difference of two means whose cells may be differently noisy.
 * @see Welch 1947, Biometrika 34:28; Satterthwaite 1946, Biometrics Bulletin 2:110
 */
export function pairVariance(
  config: Pick<CellStatistics, "n" | "variance">,
  against: Pick<CellStatistics, "n" | "variance">,
): PairVariance {
  const h = 1 / config.n + 1 / against.n;
  const a = config.variance === null ? null : Math.max(config.variance, varianceFloor);
  const b = against.variance === null ? null : Math.max(against.variance, varianceFloor);
  if (a !== null && b !== null) {
    const va = a / config.n;
    const vb = b / against.n;
    const v = va + vb;
    return { u: v / h, nu: (v * v) / ((va * va) / (config.n - 1) + (vb * vb) / (against.n - 1)), h };
  }
  if (a !== null) return { u: a, nu: config.n - 1, h };
  // A side of unknown variance has one value: with two of these the degrees of freedom are 0.
  return { u: b, nu: against.n - 1, h };
}
