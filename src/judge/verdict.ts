export type VerdictWord = "higher" | "lower" | "same" | "unclear";
export type Size = "notable" | "slight";

/** Whether a difference is told: neither `same` nor `unclear`. */
export function isCalled({ verdict }: { readonly verdict: VerdictWord }): boolean {
  return verdict === "higher" || verdict === "lower";
}

export interface DecidedVerdict {
  readonly verdict: VerdictWord;
  /** Only for `higher` and `lower`. */
  readonly size: Size | null;
}

/** The margin inside which a difference is not worth telling, on the log scale: symmetric when the sides are swapped. */
export function logMargin(mattersPct: number): number {
  return Math.log(1 + mattersPct / 100);
}

/**
 * The verdict word. `same` reads two one-sided tests off the interval shown (Schuirmann 1987, at half of alpha each).
 * @param low lower bound of the interval on the log scale; null where the noise is unknown
 * @param pAdjusted p after the control of false alarms; null where the comparison is in no family
 */
export function decideVerdict(comparison: {
  readonly logDiff: number;
  readonly low: number | null;
  readonly high: number | null;
  readonly pAdjusted: number | null;
  readonly alpha: number;
  readonly mattersPct: number;
}): DecidedVerdict {
  const { logDiff, low, high, pAdjusted, alpha, mattersPct } = comparison;
  if (pAdjusted === null) return { verdict: "unclear", size: null };
  const delta = logMargin(mattersPct);
  if (pAdjusted <= alpha) {
    return {
      verdict: logDiff > 0 ? "higher" : "lower",
      size: Math.abs(logDiff) >= delta ? "notable" : "slight",
    };
  }
  if (low !== null && high !== null && low >= -delta && high <= delta) return { verdict: "same", size: null };
  return { verdict: "unclear", size: null };
}
