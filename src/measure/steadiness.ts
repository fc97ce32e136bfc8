import { blockFrames } from "./block-medians.ts";

/** A frame that takes longer than this many running medians is one that people notice: common practice, no source. */
export const stutterMultiple = 2;

/** How even the flow of frames is, beside the lows; null where the pass is shorter than a block of the median. */
export interface Steadiness {
  /** Share of the time spent in frames longer than `stutterMultiple` times the running median, in percent. */
  readonly stutterTimePct: number | null;
  /** The longest frame. */
  readonly worstFrameMs: number | null;
  /** Mean absolute step from one frame time to the next. */
  readonly meanStepMs: number | null;
}

/**
 * Steadiness of a pass in trade-neutral terms: common practice, no source, and defined here.
 * `stutterTimePct` is 100 x (sum of the frame times above twice the median of their block) / (sum of all);
 * `meanStepMs` is the mean of |x[i+1] - x[i]|. One pass over the frames.
 * @param frameTimesMs milliseconds, in the order of the frames; read only
 * @param medians of the same frames, by `blockMedians`
 * @param sumMs sum of the frame times
 */
export function measureSteadiness(
  frameTimesMs: Float64Array,
  medians: Float64Array,
  sumMs: number,
): Steadiness {
  const n = frameTimesMs.length;
  if (medians.length === 0) return { stutterTimePct: null, worstFrameMs: null, meanStepMs: null };
  let slowMs = 0;
  let worstMs = 0;
  let stepsMs = 0;
  let before = frameTimesMs[0] as number;
  for (let block = 0, i = 0; block < medians.length; block++) {
    const limitMs = stutterMultiple * (medians[block] as number);
    const end = Math.min(i + blockFrames, n);
    for (; i < end; i++) {
      const ms = frameTimesMs[i] as number;
      stepsMs += Math.abs(ms - before);
      before = ms;
      if (ms > limitMs) slowMs += ms;
      if (ms > worstMs) worstMs = ms;
    }
  }
  return {
    stutterTimePct: (100 * slowMs) / sumMs,
    worstFrameMs: worstMs,
    meanStepMs: stepsMs / (n - 1),
  };
}
