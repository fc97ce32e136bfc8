import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { type Metric, metrics } from "../../src/shared/metrics.ts";

/** A pass for the judgement, with the metrics given and nothing else known; enough frames for every low. */
export function makePass(
  place: { game: string; config: string; pass: string; boot?: string | null },
  values: Partial<Record<Metric, number | null>>,
): PassSummary {
  const all = Object.fromEntries(metrics.map((metric) => [metric, values[metric] ?? null]));
  return {
    game: place.game,
    config: place.config,
    pass: place.pass,
    boot: place.boot ?? null,
    ...(all as Record<Metric, number | null>),
    file: `${place.game}/${place.config}/${place.pass}.csv`,
    frames: 60_000,
    seconds: 600,
    cpuClockMhz: null,
    cpuLoadPct: null,
    gpuLoadPct: null,
    cpuTempC: null,
    stutterTimePct: null,
    worstFrameMs: null,
    meanStepMs: null,
    flags: [],
    fingerprint: `${place.game}/${place.config}/${place.pass}`,
    startedAt: null,
  };
}
