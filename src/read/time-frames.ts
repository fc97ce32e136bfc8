import type { FrameCollector } from "./frame-collector.ts";
import type { ClockZero } from "./join-sensors.ts";
import type { LogFlag } from "./log.ts";
import { readMoment } from "./read-moment.ts";
import type { Recognition } from "./recognition.ts";

/** Frame times and clock further apart than this share: time is missing. Common practice, no source. */
export const timeMissingShare = 0.005;

/** The part of the frames that is used. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

export interface FrameTiming {
  /** End of each frame, seconds from the start of the first; null where the running sum of frame times is exact. */
  readonly frameEndsS: Float64Array | null;
  readonly flag: LogFlag | null;
  /** Sum of the frame times. */
  readonly sumS: number;
  readonly zero: ClockZero;
  /** When the capture began, ISO 8601 in UTC, where the log carries the date. */
  readonly startedAt: string | null;
}

/**
 * When each frame ended. The running sum of frame times is exact unless frames were lost or the clock says that time
 * is missing; then the clock tells.
 */
export function timeFrames(
  frames: FrameCollector,
  recognition: Recognition,
  frameTimesMs: Float64Array,
  { from, to }: Stretch,
  hasLost: boolean,
): FrameTiming {
  const { frameTime, clock } = recognition;
  const sumS = sumSeconds(frameTimesMs, 0, frameTimesMs.length);
  const lag = clock?.lag ?? 0;
  const wallS = startOnWall(frames, recognition, from, lag === 0 ? (frameTimesMs[0] ?? 0) / 1000 : 0);
  const startedAt = wallS === null ? null : toIso(wallS);
  const unknown: FrameTiming = {
    frameEndsS: null,
    flag: null,
    sumS,
    zero: { atS: null, wallS, spanS: sumS },
    startedAt,
  };
  if (clock === null || frames.firstClock === null) return unknown;
  const clockS = frames.clockS.view(from, to);
  const n = frameTimesMs.length;
  const known = clockS.findIndex((value) => !Number.isNaN(value));
  const lastKnown = clockS.findLastIndex((value) => !Number.isNaN(value));
  if (known < 0) return unknown;

  // Frame times of the rows between two readings: the first row's lies before its reading, or the last row's after it.
  const outsideS =
    sumSeconds(frameTimesMs, 0, Math.max(0, known + 1 - lag)) +
    sumSeconds(frameTimesMs, lastKnown + 1 - lag, frameTimesMs.length);
  const betweenS = sumS - outsideS;
  const spanS = (clockS[lastKnown] ?? 0) - (clockS[known] ?? 0);
  let beforeS = lag === 0 ? (frameTimesMs[known] ?? 0) / 1000 : 0;
  for (let i = 0; i < known; i++) beforeS += (frameTimesMs[i] ?? 0) / 1000;
  const isMissing =
    frameTime?.how !== "steps" &&
    lastKnown > known &&
    Math.abs(betweenS - spanS) > timeMissingShare * spanS + 2 * clock.precisionS;
  const startS = (clockS[known] ?? 0) - beforeS;
  const atS = ((frames.clock?.reader.base ?? 0) + frames.firstClock) * clock.unitS + startS;
  const zero: ClockZero = { atS, wallS, spanS: Math.max(sumS, spanS) };
  if (!isMissing && !hasLost) return { ...unknown, zero };

  const frameEndsS = new Float64Array(n);
  let endS = 0;
  for (let i = 0; i < n; i++) {
    const ownS = (frameTimesMs[i] ?? 0) / 1000;
    const byClock = (clockS[i] ?? Number.NaN) - startS + (lag === 1 ? ownS : 0);
    // A clock that is coarse, or has gaps, never takes the frames' time back.
    endS = Number.isNaN(byClock) ? endS + ownS : Math.max(endS, byClock);
    frameEndsS[i] = endS;
  }
  // Whole frames on both sides: the one frame outside the two readings counts on both.
  const flag: LogFlag | null = isMissing
    ? { code: "time-missing", frameSumS: sumS, clockSpanS: spanS + outsideS }
    : null;
  return { frameEndsS, flag, sumS, zero, startedAt };
}

/** Of its own, so that it is compiled once for all logs. */
function sumSeconds(frameTimesMs: Float64Array, from: number, to: number): number {
  let sumMs = 0;
  for (let i = from; i < to; i++) sumMs += frameTimesMs[i] as number;
  return sumMs / 1000;
}

/** Seconds since 1970 at the start of the first used frame, by the column that carries the date. */
function startOnWall(
  frames: FrameCollector,
  { wallClock, frameTime }: Recognition,
  from: number,
  firstFrameS: number,
): number | null {
  const cell = frames.wallCellAt(from);
  if (wallClock === null || cell === null || cell === "") return null;
  // The first reading of a clock alone belongs to the row before the first frame.
  const beforeS = frameTime?.how === "steps" && frameTime.index === wallClock.index ? 0 : firstFrameS;
  const moment = readMoment(cell);
  if (moment !== null) return moment.dated ? moment.wholeS + moment.fractionS - beforeS : null;
  const value = Number(cell.replace(",", "."));
  return Number.isFinite(value) ? value * wallClock.unitS - beforeS : null;
}

function toIso(seconds: number): string | null {
  const ms = Math.round(1000 * seconds);
  return Math.abs(ms) > 8.64e15 ? null : new Date(ms).toISOString();
}
