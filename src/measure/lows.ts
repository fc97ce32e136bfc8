import { sumFrameTimes } from "./frame-rate.ts";
import type { LowsDefinition } from "./pass-summary.ts";
import { quantileType7 } from "./quantile.ts";

/**
 * A low ("1% low" has fraction 0.01) as a frame rate, under one of the three definitions in use.
 * @param sortedMs frame times in milliseconds, ascending, n >= 1; read only
 * @param fraction 0.01 for the 1% low, 0.001 for the 0.1% low
 * @param definition `percentile`: FPS at the (1 - fraction) quantile of frame time, Hyndman & Fan type 7;
 *   `tail-average`: frames in the slowest fraction divided by the seconds they took;
 *   `time-weighted`: FPS at the frame time above which that fraction of the *time* is spent
 * @returns frames per second
 * @throws RangeError if there are no frames
 */
export function lowOfSorted(
  sortedMs: ArrayLike<number>,
  fraction: number,
  definition: LowsDefinition,
): number {
  const n = sortedMs.length;
  if (n === 0) throw new RangeError("a low needs at least one frame");
  switch (definition) {
    case "percentile":
      return 1000 / quantileType7(sortedMs, 1 - fraction);
    case "tail-average": {
      // The tolerance keeps 0.01 * 300 from rounding up to 4 frames.
      const slowest = Math.max(1, Math.ceil(fraction * n - 1e-9));
      let sumMs = 0;
      for (let i = n - 1; i >= n - slowest; i--) sumMs += sortedMs[i] as number;
      return (1000 * slowest) / sumMs;
    }
    case "time-weighted": {
      const totalMs = sumFrameTimes(sortedMs);
      const reachMs = fraction * totalMs - 1e-12 * totalMs;
      let sumMs = 0;
      let i = n;
      while (i > 0 && sumMs < reachMs) {
        i--;
        sumMs += sortedMs[i] as number;
      }
      return 1000 / (sortedMs[Math.min(i, n - 1)] as number);
    }
  }
}

/** `lowOfSorted` for frame times in any order: sorts a copy, O(n log n). */
export function low(frameTimesMs: ArrayLike<number>, fraction: number, definition: LowsDefinition): number {
  return lowOfSorted(Float64Array.from(frameTimesMs).sort(), fraction, definition);
}
