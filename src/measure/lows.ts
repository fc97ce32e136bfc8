import type { LowsDefinition } from "../shared/lows-definition.ts";
import { sumFrameTimes } from "./frame-rate.ts";
import { quantileOfOrder } from "./quantile.ts";
import { slowestFrames } from "./slowest-frames.ts";

/** The slow end of a pass: all that a low rests on. */
export interface FrameTail {
  /** The slowest frames, ascending, in milliseconds: the share `upTo` of all and a few more. */
  readonly slowestMs: Float64Array;
  readonly upTo: number;
  /** Frames of the whole pass. */
  readonly frames: number;
  /** Sum of all frame times. */
  readonly totalMs: number;
}

/**
 * Takes the slow end of a pass, without sorting the rest.
 * @param frameTimesMs milliseconds, above 0, in any order, n >= 1; read only
 * @param totalMs their sum
 * @param upTo the largest share of frames that a low will be taken from
 */
export function tailOfFrames(frameTimesMs: Float64Array, totalMs: number, upTo = 0.01): FrameTail {
  const frames = frameTimesMs.length;
  const needed = Math.ceil(upTo * frames) + 2;
  return { slowestMs: slowestFrames(frameTimesMs, needed), upTo, frames, totalMs };
}

/** Frames by rank, as far as a low asks for them; all in milliseconds. */
export interface RankedFrames {
  readonly frames: number;
  /** The n-th slowest frame time, n from 1. */
  slowest(n: number): number;
  sumOfSlowest(n: number): number;
  /** The frame time at which the slowest frames, added up from the slowest, reach a sum. */
  slowestReaching(sumMs: number): number;
}

/**
 * A low ("1% low" has fraction 0.01) as a frame rate, under one of the three definitions in use.
 * @param totalMs sum of all frame times
 * @param fraction 0.01 for the 1% low, 0.001 for the 0.1% low
 * @param definition `percentile`: FPS at the (1 - fraction) quantile of frame time, Hyndman & Fan type 7;
 *   `tail-average`: frames in the slowest fraction divided by the seconds they took;
 *   `time-weighted`: FPS at the frame time above which that fraction of the *time* is spent
 * @returns frames per second
 * @throws RangeError if there are no frames
 */
export function lowOfRanked(
  ranked: RankedFrames,
  totalMs: number,
  fraction: number,
  definition: LowsDefinition,
): number {
  const { frames } = ranked;
  if (frames === 0) throw new RangeError("a low needs at least one frame");
  switch (definition) {
    case "percentile":
      return 1000 / quantileOfOrder(frames, 1 - fraction, (index) => ranked.slowest(frames - index));
    case "tail-average": {
      // The tolerance keeps 0.01 * 300 from rounding up to 4 frames.
      const slowest = Math.max(1, Math.ceil(fraction * frames - 1e-9));
      return (1000 * slowest) / ranked.sumOfSlowest(slowest);
    }
    case "time-weighted":
      return 1000 / ranked.slowestReaching(fraction * totalMs - 1e-12 * totalMs);
  }
}

/**
 * `lowOfRanked` from the slow end of a pass.
 * @throws RangeError if there are no frames, or the tail is too short for the fraction
 */
export function lowOfTail(tail: FrameTail, fraction: number, definition: LowsDefinition): number {
  const { slowestMs, upTo, frames, totalMs } = tail;
  if (fraction > upTo) throw new RangeError(`this tail is for fractions up to ${upTo}, not ${fraction}`);
  const kept = slowestMs.length;
  const ranked: RankedFrames = {
    frames,
    slowest: (n) => slowestMs[kept - n] as number,
    sumOfSlowest: (n) => {
      let sumMs = 0;
      for (let i = kept - 1; i >= kept - n; i--) sumMs += slowestMs[i] as number;
      return sumMs;
    },
    slowestReaching: (wantedMs) => {
      let sumMs = 0;
      let i = kept;
      // No frame of the slow end is faster than the average one, so the end holds more than its share of the time.
      while (i > 0 && sumMs < wantedMs) {
        i--;
        sumMs += slowestMs[i] as number;
      }
      return slowestMs[Math.min(i, kept - 1)] as number;
    },
  };
  return lowOfRanked(ranked, totalMs, fraction, definition);
}

/** `lowOfTail` for frame times in any order. */
export function low(frameTimesMs: ArrayLike<number>, fraction: number, definition: LowsDefinition): number {
  const times = Float64Array.from(frameTimesMs);
  return lowOfTail(tailOfFrames(times, sumFrameTimes(times), fraction), fraction, definition);
}
