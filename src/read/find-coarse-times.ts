import { manyRows } from "./column-shapes.ts";
import type { LogFlag } from "./log.ts";
import type { FrameTimeChoice } from "./recognition.ts";

/** Digits whose steps are more than this share of a usual frame move a low by as much: the usual smallest difference worth telling. */
export const coarseShare = 0.03;

/**
 * Flags frame times whose printed digits are so few that the lows go in steps: whole milliseconds, say. Averages do
 * not suffer, as rounding up and down cancel out.
 * @param usualMs mean frame time
 * @param precision smallest step that the column's digits can show, in its unit
 */
export function findCoarseTimes(
  frameTimesMs: Float64Array,
  usualMs: number,
  frameTime: FrameTimeChoice | null,
  precision: number,
): LogFlag[] {
  if (frameTime === null) return [];
  // A step of the rate is the same share of it as the step of the frame time that it makes.
  const stepMs =
    frameTime.how === "rate" ? precision * (usualMs / 1000) * usualMs : precision * frameTime.unitS * 1000;
  if (!(stepMs > coarseShare * usualMs) || !isLongAndVaried(frameTimesMs)) return [];
  return [{ code: "coarse-times", stepMs, usualMs }];
}

/** In a few rows, or where all are alike, the digits may just have had nothing to show. */
function isLongAndVaried(frameTimesMs: Float64Array): boolean {
  return frameTimesMs.length >= manyRows && frameTimesMs.some((ms) => ms !== frameTimesMs[0]);
}
