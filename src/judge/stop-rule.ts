import { normalQuantile, studentTQuantile } from "./distributions.ts";
import { logMargin } from "./verdict.ts";

/**
 * How many passes a comparison gets.
 *
 * Looking after every pass and stopping as soon as a verdict appears makes false alarms (Armitage, McPherson & Rowe
 * 1969, J. R. Stat. Soc. A 132:235), and stopping at the first interval that is narrow enough makes some as well: it
 * stops where the passes happen to agree, with a noise that looks smaller than it is (Starr 1966, Ann. Math. Stat.
 * 37:36). Here a comparison has two stages (Stein 1945, Ann. Math. Stat. 16:243). Its first passes show the noise, and
 * from that noise alone follows how many passes make its interval narrow. What comes later, a verdict least of all,
 * changes nothing about that number, so that it does not matter how often anybody looks; and with normal noise the
 * spread of the first passes tells nothing of how far means lie apart. A most number of passes, fixed beforehand, is
 * harmless. What shrunken variances, screening and false-alarm control make of it is shown by simulation
 * (test/judge/looks.test.ts).
 */
export interface StopRule {
  /** Counted passes that every cell gets first, to show its noise. */
  readonly leastPasses: number;
  /** No cell is asked for more than this. */
  readonly mostPasses: number;
}

/** Common practice, no source: three passes say something of their noise, ten are an evening. */
export const defaultStopRule: StopRule = { leastPasses: 3, mostPasses: 10 };

/**
 * Half-width that is narrow enough, as a share of what matters. With it `same` comes out in about 8 of 10 cases where
 * nothing differs: 1.96 / (1.96 + 1.28) = 0.605 for many passes.
 */
const narrowShare = 0.6;

/** A comparison that would need more than this many times the most passes, were its noise known, is given up. */
const reach = 1.5;

/** Why a comparison asks for no more passes: as many as a narrow interval takes, as many as allowed, or far too many needed. */
export type StopReason = "narrow" | "most-passes" | "out-of-reach";

/** What the first passes say of a comparison. */
export interface PassesAsked {
  /** Passes per config, not more than are allowed; those that every cell gets where it is given up. */
  readonly passes: number;
  /** Why it asks for no more once it has them. */
  readonly stop: StopReason;
}

/** The noise of one comparison as its first passes show it. */
export interface FirstNoise {
  /** Per pass, of the two configs together, on the log scale. */
  readonly variance: number;
  readonly degreesOfFreedom: number;
}

/** Half-width of an interval, on the log scale, that is narrow enough. */
export function narrowHalfWidth(mattersPct: number): number {
  return narrowShare * logMargin(mattersPct);
}

/**
 * Passes per config after which an interval is narrow: so many that the chance to be off by more than the half-width
 * wanted is what the confidence leaves, whatever the true noise is (Stein 1945).
 * @returns 2 or more
 */
export function passesUntilNarrow(
  { variance, degreesOfFreedom }: FirstNoise,
  { confidencePct, mattersPct }: { readonly confidencePct: number; readonly mattersPct: number },
): number {
  const quantile = studentTQuantile(upperTail(confidencePct), degreesOfFreedom);
  return passesFor(variance, quantile / narrowHalfWidth(mattersPct));
}

/**
 * Passes that a comparison is asked for.
 * @param noise null where the first passes do not show it
 */
export function askPasses(
  noise: FirstNoise | null,
  rule: StopRule,
  wanted: { readonly confidencePct: number; readonly mattersPct: number },
): PassesAsked {
  if (noise === null) return { passes: rule.mostPasses, stop: "most-passes" };
  // Few degrees of freedom ask for many passes; they shall not give up what is only not known yet.
  const known = normalQuantile(upperTail(wanted.confidencePct)) / narrowHalfWidth(wanted.mattersPct);
  if (passesFor(noise.variance, known) > reach * rule.mostPasses) {
    return { passes: rule.leastPasses, stop: "out-of-reach" };
  }
  const needed = passesUntilNarrow(noise, wanted);
  if (needed > rule.mostPasses) return { passes: rule.mostPasses, stop: "most-passes" };
  return { passes: Math.max(needed, rule.leastPasses), stop: "narrow" };
}

/** The standard error of a difference of means of n passes each is (2 variance / n)^(1/2). */
function passesFor(variance: number, quantilePerHalfWidth: number): number {
  return Math.max(2, Math.ceil(2 * variance * quantilePerHalfWidth ** 2));
}

function upperTail(confidencePct: number): number {
  return 1 - (1 - confidencePct / 100) / 2;
}
