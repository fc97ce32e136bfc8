import type { MeasureFlag } from "./pass-summary.ts";

/** Frames below which a low is not given, and below which it is rough. Common practice, no source: ten
 * frames lie beyond the percentile then, and twenty to thirty. */
export const framesNeeded = {
  low1Fps: { fraction: 0.01, needed: 1_000, wanted: 2_000 },
  low01Fps: { fraction: 0.001, needed: 10_000, wanted: 30_000 },
} as const;

/** The low's share of the frames, rounded down: what it rests on. */
export function framesBeyond(metric: keyof typeof framesNeeded, frames: number): number {
  return Math.floor(framesNeeded[metric].fraction * frames);
}

type TooShort = Extract<MeasureFlag, { code: "too-short" }>;

/** Fewer frames than this are no pass of a scene at all. Common practice, no source. */
export const framesOfAPass = 10;

/**
 * Says for each low whether this many frames carry it.
 * @param trimmedFrom the capture that they are a part of, where some of it was left out
 */
export function flagFewFrames(frames: number, trimmedFrom?: TooShort["trimmedFrom"]): MeasureFlag[] {
  const flags: MeasureFlag[] = [];
  if (frames < framesOfAPass) {
    flags.push({ code: "too-short", frames, needed: framesOfAPass, ...(trimmedFrom && { trimmedFrom }) });
  }
  for (const metric of ["low1Fps", "low01Fps"] as const) {
    const { needed, wanted } = framesNeeded[metric];
    const beyond = framesBeyond(metric, frames);
    if (frames < wanted) flags.push({ code: "few-frames", metric, frames, beyond, needed, wanted });
  }
  return flags;
}
