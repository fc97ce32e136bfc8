import { type Metric, metricLabel } from "../shared/metrics.ts";

/** Units as people read them beside a figure. */
export const metricUnit: Readonly<Record<Metric, string>> = {
  avgFps: "FPS",
  low1Fps: "FPS",
  low01Fps: "FPS",
  cpuPowerW: "W",
  gpuPowerW: "W",
  fpsPerWatt: "FPS per W",
  joulesPerFrame: "J",
};

/** "1% low, FPS"; "average FPS" says its unit already. */
export function labelWithUnit(metric: Metric): string {
  const label = metricLabel[metric];
  return metric === "avgFps" || metric === "fpsPerWatt" ? label : `${label}, ${metricUnit[metric]}`;
}
