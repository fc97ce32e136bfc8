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
  usualMs: number,
  frameTime: FrameTimeChoice | null,
  precision: number,
): LogFlag[] {
  if (frameTime === null) return [];
  // A step of the rate is the same share of it as the step of the frame time that it makes.
  const stepMs =
    frameTime.how === "rate" ? precision * (usualMs / 1000) * usualMs : precision * frameTime.unitS * 1000;
  return stepMs > coarseShare * usualMs ? [{ code: "coarse-times", stepMs, usualMs }] : [];
}
