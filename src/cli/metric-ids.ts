import type { Metric } from "../index.ts";

/** Metrics as options name them; the library's own list would have to be loaded for every --help. */
export const metricIds = [
  "avgFps",
  "low1Fps",
  "low01Fps",
  "cpuPowerW",
  "gpuPowerW",
  "fpsPerWatt",
  "joulesPerFrame",
] as const satisfies readonly Metric[];
