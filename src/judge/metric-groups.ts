import type { Metric } from "../shared/metrics.ts";

/** Metrics in frames per second. */
export const frameRates: readonly Metric[] = ["avgFps", "low1Fps", "low01Fps"];

/** Metrics whose false alarms are held together: watts differ trivially and would dilute the correction of FPS. */
export const metricGroups: readonly (readonly Metric[])[] = [
  frameRates,
  ["cpuPowerW", "gpuPowerW", "fpsPerWatt", "joulesPerFrame"],
];

export function isFrameRate(metric: Metric): boolean {
  return frameRates.includes(metric);
}

/** Metrics of which less is better. */
export const lessIsBetter: ReadonlySet<Metric> = new Set(["cpuPowerW", "gpuPowerW", "joulesPerFrame"]);
