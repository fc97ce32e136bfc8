import type { Log } from "../read/log.ts";
import { type TailCurve, tailCurve } from "./tail-curve.ts";
import { type ThinTrace, thinTrace } from "./thin-trace.ts";
import { type TrimWindow, trimFrames } from "./trim.ts";

/** What pictures need of a pass's frames; small enough to keep for every pass of a session. */
export interface PictureFrames {
  readonly trace: ThinTrace;
  readonly tail: TailCurve;
}

/** Takes from a log what pictures need, inside the same window as the metrics. */
export function pictureFrames(log: Log, trim: TrimWindow | null, buckets: number): PictureFrames {
  const { frameTimesMs } = trimFrames(log, trim);
  return { trace: thinTrace(frameTimesMs, buckets), tail: tailCurve(frameTimesMs) };
}
