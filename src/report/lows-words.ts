import type { LowsDefinition } from "../shared/lows-definition.ts";

/** What the lows mean under each definition, for a footer. */
export const lowsWords: Readonly<Record<LowsDefinition, string>> = {
  percentile: "FPS at the 99th and 99.9th percentile frame time",
  "tail-average": "frames in the slowest 1% and 0.1% divided by the seconds they took",
  "time-weighted": "FPS at the frame time above which 1% and 0.1% of the time is spent",
};
