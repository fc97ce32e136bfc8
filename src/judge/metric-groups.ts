import type { Metric } from "../shared/metrics.ts";

/** Metrics whose false alarms are held together: watts differ trivially and would dilute the correction of FPS. */
export const metricGroups: readonly (readonly Metric[])[] = [
  ["avgFps", "low1Fps", "low01Fps"],
  ["cpuPowerW", "gpuPowerW", "fpsPerWatt", "joulesPerFrame"],
];

export function isFrameRate(metric: Metric): boolean {
  return (metricGroups[0] as readonly Metric[]).includes(metric);
}

/** Metrics of which less is better. */
export const lessIsBetter: ReadonlySet<Metric> = new Set(["cpuPowerW", "gpuPowerW", "joulesPerFrame"]);
