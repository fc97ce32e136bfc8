import { mean, sampleVariance } from "simple-statistics";
import type { PassSummary } from "../measure/pass-summary.ts";
import { groupBy } from "../shared/group-by.ts";
import type { Metric } from "../shared/metrics.ts";
import { groupByCell } from "./cells.ts";
import { logOf } from "./log-scale.ts";

/** Variances of ln values: of one pass within its boot, and of one boot beside it. */
export interface TwoLevels {
  readonly pass: number;
  readonly boot: number;
}

/**
 * Both levels of noise, over all cells together: analysis of variance of passes within boots, one way, each cell by
 * itself, sums over cells (variance components of an unbalanced design; Searle, Casella & McCulloch 1992, chapter 3).
 * @param counted passes with known boots
 * @returns null where no boot has two passes, so that nobody can tell the levels apart, or no cell two boots
 */
export function splitNoise(counted: readonly PassSummary[], metric: Metric): TwoLevels | null {
  let within = 0;
  let withinDf = 0;
  let between = 0;
  let betweenDf = 0;
  let weight = 0;
  for (const cell of groupByCell(counted, (pass) => pass)) {
    const boots = [...groupBy(cell, ({ boot }) => boot ?? "").values()]
      .map((boot) => boot.map((pass) => logOf(pass[metric])).filter((log) => log !== null))
      .filter((logs) => logs.length > 0);
    const all = boots.flat();
    if (boots.length < 2) continue;
    const centre = mean(all);
    for (const logs of boots) {
      if (logs.length > 1) within += (logs.length - 1) * sampleVariance(logs);
      between += logs.length * (mean(logs) - centre) ** 2;
    }
    withinDf += all.length - boots.length;
    betweenDf += boots.length - 1;
    weight += all.length - boots.reduce((sum, { length }) => sum + length * length, 0) / all.length;
  }
  if (withinDf === 0) return null;
  const pass = within / withinDf;
  // Expected between: weight * boot + betweenDf * pass.
  return { pass, boot: Math.max(0, (between - betweenDf * pass) / weight) };
}

/**
 * Passes per boot that give the most for the time: (boot cost / pass cost x pass variance / boot variance)^(1/2), not
 * rounded. The number of boots then follows from what is wanted.
 * @param minutes that a boot costs by itself, and what one pass of all that is measured in it costs
 * @returns Infinity where boots add no noise
 * @see Kalibera & Jones 2013, ISMM '13, section on repetition counts (from memory; the same optimum for two-stage
 *   sampling: Cochran 1977, Sampling Techniques, section 10.6, from memory)
 */
export function bestPassesPerBoot(
  { pass, boot }: TwoLevels,
  minutes: { readonly boot: number; readonly pass: number },
): number {
  return Math.sqrt((minutes.boot / minutes.pass) * (pass / boot));
}
