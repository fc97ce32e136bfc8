import type { LowsDefinition } from "../shared/lows-definition.ts";
import { FrameRanks } from "./frame-ranks.ts";
import { framesNeeded } from "./frames-needed.ts";
import { lowOfRanked } from "./lows.ts";

/** Average and lows of the frames up to a moment; null where there are no frames, or too few for a low. */
export interface RunningFigures {
  /** Seconds from the start of the first frame. */
  readonly atS: number;
  readonly frames: number;
  readonly avgFps: number | null;
  readonly low1Fps: number | null;
  readonly low01Fps: number | null;
}

/**
 * Average FPS and lows at moments of a pass, each over all frames that have ended by then, as a summary of those frames
 * alone would give them. O(log n) per frame and per moment.
 * @param frameTimesMs milliseconds above 0, in order
 * @param endsS when each frame ends, seconds, never falling; as long as `frameTimesMs`
 * @param momentsS ascending, on the same clock
 */
export function runningFigures(
  frameTimesMs: Float64Array,
  endsS: Float64Array,
  momentsS: readonly number[],
  definition: LowsDefinition,
): RunningFigures[] {
  const ranks = new FrameRanks(frameTimesMs);
  // Neumaier's compensated sum, as sumFrameTimes has it.
  let sumMs = 0;
  let lostMs = 0;
  let next = 0;
  return momentsS.map((atS) => {
    // A frame that ends on the moment has been seen; the slack is below any clock's resolution.
    while (next < frameTimesMs.length && (endsS[next] as number) <= atS + 1e-9) {
      const frameTimeMs = frameTimesMs[next++] as number;
      ranks.add(frameTimeMs);
      const sum = sumMs + frameTimeMs;
      lostMs += sumMs >= frameTimeMs ? sumMs - sum + frameTimeMs : frameTimeMs - sum + sumMs;
      sumMs = sum;
    }
    const totalMs = sumMs + lostMs;
    const low = (metric: keyof typeof framesNeeded): number | null =>
      ranks.frames < framesNeeded[metric].needed
        ? null
        : lowOfRanked(ranks, totalMs, framesNeeded[metric].fraction, definition);
    return {
      atS,
      frames: ranks.frames,
      avgFps: ranks.frames === 0 ? null : (1000 * ranks.frames) / totalMs,
      low1Fps: low("low1Fps"),
      low01Fps: low("low01Fps"),
    };
  });
}
