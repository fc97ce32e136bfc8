import type { JudgedPass } from "../judge/judgement.ts";
import { stutterMultiple } from "../measure/steadiness.ts";

/** How even the flow of a pass is; shown beside the metrics, without verdicts. */
export const steadiness = [
  "stutterTimePct",
  "worstFrameMs",
  "meanStepMs",
] as const satisfies readonly (keyof JudgedPass)[];

export const steadinessLabel: Readonly<Record<(typeof steadiness)[number], string>> = {
  stutterTimePct: "stutter\ntime %",
  worstFrameMs: "worst\nframe ms",
  meanStepMs: "mean\nstep ms",
};

export const steadinessNote =
  `stutter time: share of the time in frames longer than ${stutterMultiple} times the running median; ` +
  "mean step: mean difference between one frame time and the next";
