/** Metrics that get verdicts, in the order in which people read them. */
export const metrics = [
  "avgFps",
  "low1Fps",
  "low01Fps",
  "cpuPowerW",
  "gpuPowerW",
  "fpsPerWatt",
  "joulesPerFrame",
] as const;
export type Metric = (typeof metrics)[number];

/** What people call a metric. */
export const metricLabel = {
  avgFps: "average FPS",
  low1Fps: "1% low",
  low01Fps: "0.1% low",
  cpuPowerW: "CPU power",
  gpuPowerW: "GPU power",
  fpsPerWatt: "FPS per watt",
  joulesPerFrame: "energy per frame",
} as const satisfies Readonly<Record<Metric, string>>;

export type MetricName = Metric | (typeof metricLabel)[Metric];

/** Metrics by the names that people and programs use for them, those of people first. */
export const metricsByName = Object.fromEntries([
  ...metrics.map((metric) => [metricLabel[metric], metric]),
  ...metrics.map((metric) => [metric, metric]),
]) as Readonly<Record<MetricName, Metric>>;
