import type { Log } from "../read/log.ts";
import { sumFrameTimes } from "./frame-rate.ts";

/** The same stretch of every pass: seconds left out at the start, and seconds kept after that. */
export interface TrimWindow {
  readonly skipS: number;
  /** null keeps everything after the skip. */
  readonly keepS: number | null;
}

export interface TrimmedFrames {
  readonly frameTimesMs: Float64Array;
  readonly sumMs: number;
  /** End of each frame on the frames' own time; null where they follow one another from `fromS` without a gap. */
  readonly endsS: Float64Array | null;
  /** Where the window starts and ends on the frames' own time, seconds from the start of the first frame. */
  readonly fromS: number;
  readonly toS: number;
}

/**
 * Frames that lie wholly inside the window, by the time at which they start and end. Views, not copies.
 * @returns no frames where the log ends before the window begins
 */
export function trimFrames(log: Log, window: TrimWindow | null): TrimmedFrames {
  const all = log.frameTimesMs;
  if (window === null || (window.skipS === 0 && window.keepS === null)) {
    const sumMs = sumFrameTimes(all);
    return {
      frameTimesMs: all,
      sumMs,
      endsS: log.frameEndsS,
      fromS: 0,
      toS: log.frameEndsS?.at(-1) ?? sumMs / 1000,
    };
  }
  const ends = frameEndsS(log);
  const last = ends.length === 0 ? 0 : (ends[ends.length - 1] as number);
  // A frame that starts or ends exactly on the border belongs inside; the slack is below any clock's resolution.
  const slackS = 1e-9;
  const fromS = window.skipS;
  const toS = window.keepS === null ? last : fromS + window.keepS;
  let first = 0;
  while (first < all.length && (ends[first] as number) - (all[first] as number) / 1000 < fromS - slackS) {
    first++;
  }
  let end = first;
  while (end < all.length && (ends[end] as number) <= toS + slackS) end++;
  const frameTimesMs = all.subarray(first, end);
  return {
    frameTimesMs,
    sumMs: sumFrameTimes(frameTimesMs),
    endsS: ends.subarray(first, end),
    fromS,
    toS: Math.min(toS, last),
  };
}

/** When each frame ends, seconds from the start of the first: by the log's clock, else by the frame times' sum. */
export function frameEndsS({ frameEndsS: byClock, frameTimesMs }: Log): Float64Array {
  if (byClock != null) return byClock;
  const ends = new Float64Array(frameTimesMs.length);
  let sumMs = 0;
  for (let i = 0; i < frameTimesMs.length; i++) {
    sumMs += frameTimesMs[i] as number;
    ends[i] = sumMs / 1000;
  }
  return ends;
}
