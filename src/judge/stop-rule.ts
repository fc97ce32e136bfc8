import { normalQuantile, studentTQuantile } from "./distributions.ts";
import { expectedPrecision } from "./plan-passes.ts";
import { logMargin } from "./verdict.ts";

/**
 * When a comparison has been looked at long enough.
 *
 * Looking after every pass and stopping as soon as a verdict appears makes false alarms (Armitage, McPherson & Rowe
 * 1969, J. R. Stat. Soc. A 132:235). Here the width of the interval stops: the passes' own spread decides, and with
 * normal noise that spread tells nothing of the difference between means, so that looking costs (nearly) nothing
 * (fixed-width sequential intervals: Chow & Robbins 1965, Ann. Math. Stat. 36:457). A difference that is plain long
 * before may stop as well, but only beyond a limit so strict that looking often hardly adds to it (Haybittle 1971,
 * Br. J. Radiol. 44:793; Peto et al. 1976, Br. J. Cancer 34:585). A most number of passes, fixed beforehand, is
 * harmless. The three together, with shrunken variances, screening and false-alarm control, are this project's own;
 * test/judge/looks.test.ts shows what they promise.
 */
export interface StopRule {
  /** Fewer counted passes of a cell than this stop nothing. */
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

const mostPlanned = 1000;

/**
 * A difference that is called has to be this much narrower, so that one that is there by luck gets passes enough to go
 * away. All of this in 1000 simulated sessions of 2 games in which nothing differs: any false alarm in 8.2%, in 6.7% of
 * as many passes without a look, in 18% of those that stop at the first verdict.
 */
const calledShare = 0.75;

/** An interval that was narrow enough stays so until it is wider by this factor: a plan shall not waver. */
const slack = 1.2;

/** Adjusted p below which a difference is plain whatever the number of looks (Haybittle 1971). */
const plainP = 0.001;

/** A comparison that would need more than this many times the most passes is given up: the first passes say little. */
const reach = 2;

/**
 * Why a comparison asks for no more passes: its interval is narrow, its difference plain, it has as many as allowed, or
 * it would need far more than are allowed.
 */
export type StopReason = "narrow" | "plain" | "most-passes" | "out-of-reach";

/** Half-width of an interval, on the log scale, that is narrow enough. */
export function narrowHalfWidth(mattersPct: number, isCalled: boolean): number {
  return narrowShare * logMargin(mattersPct) * (isCalled ? calledShare : 1);
}

/** Why a comparison asks for no more passes; null while it does. */
export function findStopReason(
  comparison: {
    /** Counted passes of the cell that has fewer. */
    readonly passes: number;
    /** As cautiousHalfWidth gives it; null where the noise is unknown. */
    readonly halfWidth: number | null;
    readonly pAdjusted: number | null;
    readonly isCalled: boolean;
    /** Why it asked for no more passes at the last look. */
    readonly stopBefore: StopReason | null;
  },
  rule: StopRule,
  mattersPct: number,
): StopReason | null {
  const { passes, halfWidth, pAdjusted, isCalled, stopBefore } = comparison;
  if (passes < rule.leastPasses) return null;
  if (halfWidth !== null && pAdjusted !== null) {
    const limit = narrowHalfWidth(mattersPct, isCalled);
    if (halfWidth <= limit * (stopBefore === "narrow" ? slack : 1)) return "narrow";
    if (pAdjusted <= plainP) return "plain";
  }
  return passes >= rule.mostPasses ? "most-passes" : null;
}

/**
 * The half-width that is held against the limit: wider than the one shown while it rests on few degrees of freedom, and
 * at no less than the games' typical noise. Whoever stops at the first interval that is narrow stops where the passes
 * happen to agree, and such intervals are too narrow; Chow & Robbins add a term that vanishes with n for this reason.
 * @param variances per pass: of this comparison, and the median of the games'
 */
export function cautiousHalfWidth(
  halfWidth: number,
  degreesOfFreedom: number,
  variances: { readonly own: number; readonly typical: number },
): number {
  const luck = Math.max(1, variances.typical / variances.own);
  return halfWidth * Math.sqrt(luck * caution(degreesOfFreedom));
}

/** The 4 is a guard without a proof: in simulations of 2 games single misses fell from 6.4 to 6.1%. */
function caution(degreesOfFreedom: number): number {
  return 1 + 4 / degreesOfFreedom;
}

/** Whether a comparison is given up, its passes being enough to say that far too many would be needed. */
export function isOutOfReach(passes: number, passesNeeded: number | null, rule: StopRule): boolean {
  return passes >= rule.leastPasses && passesNeeded !== null && passesNeeded > reach * rule.mostPasses;
}

/**
 * Passes per config after which the interval should be narrow enough, were the noise what it seems now.
 * @param variance per pass, of the two configs together, on the log scale
 * @returns from 2; Infinity for more than 1000
 */
export function passesUntilNarrow(plan: {
  readonly variance: number;
  readonly priorDf: number;
  readonly confidence: number;
  readonly mattersPct: number;
  /** The comparison is called higher or lower now. */
  readonly isCalled: boolean;
}): number {
  const target = narrowHalfWidth(plan.mattersPct, plan.isCalled);
  const p = 1 - (1 - plan.confidence) / 2;
  // As many as if the noise were known: a t interval is never narrower than a normal one. Seldom is it far from there.
  let n = Math.max(2, Math.ceil(2 * plan.variance * (normalQuantile(p) / target) ** 2));
  for (; n <= mostPlanned; n++) {
    const { df, standardError } = expectedPrecision(n, plan);
    const halfWidth = studentTQuantile(p, df) * standardError;
    if (halfWidth * Math.sqrt(caution(df)) <= target) return n;
  }
  return Number.POSITIVE_INFINITY;
}
