import { tailOfFrames } from "./lows.ts";
import { quantileOfOrder } from "./quantile.ts";

/** The slow end of a pass as a curve: for each share, the frame time that this share of the frames exceeds. */
export interface TailCurve {
  /** From the largest to the smallest; 0.01 is 1% of the frames. */
  readonly shares: readonly number[];
  readonly frameTimesMs: readonly number[];
}

/** Shares at which tails are drawn: equal steps on a log scale from 10% to 0.01%, with 1% and 0.1% among them. */
const largestShare = 0.1;
const decades = 3;

/** A share is drawn while this many frames lie beyond it: fewer are single frames, not a distribution. */
const fewestBeyond = 3;

/**
 * The upper tail of a pass's frame times: quantiles at shares from 10% of the frames down to where only a few frames
 * are left. At 1% and 0.1% they are what the lows by percentile come from.
 * @param frameTimesMs milliseconds, above 0, in any order; read only
 * @param stepsPerDecade points per factor of ten, at least 1
 * @returns an empty curve for a pass of under 30 frames
 * @see Hyndman & Fan 1996, The American Statistician 50(4), 361-365, definition 7
 */
export function tailCurve(frameTimesMs: Float64Array, stepsPerDecade = 16): TailCurve {
  const frames = frameTimesMs.length;
  const shares: number[] = [];
  for (let step = 0; step <= decades * stepsPerDecade; step++) {
    // Powers of ten exactly where a decade is full, so that 1% is 1% to the last digit.
    const decade = Math.floor(step / stepsPerDecade);
    const share = (10 ** -((step % stepsPerDecade) / stepsPerDecade) * largestShare) / 10 ** decade;
    if (share * frames < fewestBeyond) break;
    shares.push(share);
  }
  const { slowestMs } = tailOfFrames(frameTimesMs, Number.NaN, largestShare);
  const before = frames - slowestMs.length;
  return {
    shares,
    frameTimesMs: shares.map((share) =>
      quantileOfOrder(frames, 1 - share, (index) => slowestMs[index - before] as number),
    ),
  };
}
