import type { LogFinding } from "../shared/problem.ts";
import type { ColumnReading, FrameTimeUnit } from "./log.ts";
import { type TimeUnit, unitSeconds } from "./units.ts";

/** Units of time in which frames are logged. */
export const standardUnits: readonly TimeUnit[] = ["s", "ms", "us", "ns"];

/** The unit that is so many seconds long, but for rounding; null for ticks of a length of their own. */
export function standardUnitOf(seconds: number): TimeUnit | null {
  return standardUnits.find((unit) => Math.abs(unitSeconds[unit] / seconds - 1) < 0.001) ?? null;
}

/** Where the frame times come from. */
export interface FrameTimeChoice {
  readonly index: number;
  /** A column of durations, the steps of a clock, or a column of instantaneous frame rates. */
  readonly how: "duration" | "steps" | "rate";
  readonly unit: FrameTimeUnit | "ticks";
  /** Seconds in one unit; 1 for a rate. */
  readonly unitS: number;
}

/** The clock that the frame times are checked against. */
export interface ClockChoice {
  readonly index: number;
  readonly unit: TimeUnit | "ticks";
  readonly unitS: number;
  /** 0: a row's clock is the end of its frame; 1: its start. */
  readonly lag: 0 | 1;
  readonly precisionS: number;
}

/** What the head of a log says about its columns. */
export interface Recognition {
  readonly frameTime: FrameTimeChoice | null;
  readonly clock: ClockChoice | null;
  /** A column with the date, for the capture's start. */
  readonly wallClock: { readonly index: number; readonly unitS: number } | null;
  readonly counter: number | null;
  /** Why there is no frame time; the average FPS of the candidates is still to be filled in. */
  readonly fault: LogFinding | null;
  readonly columns: readonly ColumnReading[];
}
