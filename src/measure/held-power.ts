import { findLargestPile } from "./largest-pile.ts";
import { isConstant } from "./sensor-grid.ts";

/** Power that stays at one value which it hardly ever exceeds, as under a power limit. */
export interface HeldPower {
  readonly watts: number;
  /** Share of the time, in percent. */
  readonly timePct: number;
}

/** A limit holds to within this much of its value. */
const halfWidth = 0.01;
const leastShare = 0.5;
const mostAbove = 0.02;
/** What lies above at the very start is the boost that processors are allowed for a while. */
const longestBoost = 1 / 3;

/**
 * Finds the value at which a power sensor piles up from below. Thresholds are common practice without a source.
 * @param grid watts on an even grid of time; read only
 * @returns null where there is none, or the sensor never changes
 */
export function findHeldPower(grid: Float64Array): HeldPower | null {
  if (grid.length < 20 || isConstant(grid)) return null;
  const sorted = grid.slice().sort();
  const { start, end } = findLargestPile(sorted, 2 * halfWidth);
  const held = end - start;
  if (held < leastShare * grid.length) return null;
  const top = sorted[end - 1] as number;
  const boost = grid.findIndex((watts) => watts <= top);
  if (boost > longestBoost * grid.length) return null;
  const above = sorted.length - end - boost;
  if (above > mostAbove * grid.length) return null;
  return { watts: sorted[(start + end) >> 1] as number, timePct: (100 * held) / grid.length };
}
