import type { LowsDefinition } from "../shared/lows-definition.ts";
import { framesNeeded } from "./frames-needed.ts";
import { type FrameTail, lowOfTail, tailOfFrames } from "./lows.ts";
import type { Lows } from "./pass-summary.ts";

/** Frame rates of a pass, in frames per second, and what they were taken from. */
export interface FrameRates {
  /** null where there are no frames. */
  readonly avgFps: number | null;
  /** null where there are too few frames. */
  readonly lows: Readonly<Record<LowsDefinition, Lows>>;
  /** The slow end of the pass. */
  readonly tail: FrameTail;
}

/**
 * Average FPS and the lows under every definition.
 * @param frameTimesMs milliseconds, in any order; read only
 * @param sumMs their sum
 */
export function measureRates(frameTimesMs: Float64Array, sumMs: number): FrameRates {
  const frames = frameTimesMs.length;
  const tail = tailOfFrames(frameTimesMs, sumMs);
  const low = (metric: keyof Lows, definition: LowsDefinition): number | null => {
    const { fraction, needed } = framesNeeded[metric];
    return frames < needed ? null : lowOfTail(tail, fraction, definition);
  };
  const lowsBy = (definition: LowsDefinition): Lows => ({
    low1Fps: low("low1Fps", definition),
    low01Fps: low("low01Fps", definition),
  });
  return {
    avgFps: frames === 0 ? null : (1000 * frames) / sumMs,
    lows: {
      percentile: lowsBy("percentile"),
      "tail-average": lowsBy("tail-average"),
      "time-weighted": lowsBy("time-weighted"),
    },
    tail,
  };
}
