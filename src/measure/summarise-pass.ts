import type { Log, SensorRole } from "../read/log.ts";
import { fingerprintSeries } from "./fingerprint.ts";
import { sumFrameTimes } from "./frame-rate.ts";
import { flagFewFrames, framesNeeded } from "./frames-needed.ts";
import { lowOfSorted } from "./lows.ts";
import type { LowsDefinition, PassKey, PassSummary } from "./pass-summary.ts";
import { timeWeightedMean } from "./time-weighted-mean.ts";
import { type TrimWindow, trimFrames } from "./trim.ts";

export interface SummariseSettings {
  readonly lows: LowsDefinition;
  readonly trim: TrimWindow | null;
}

/**
 * One pass as numbers: frames, seconds, average FPS, lows, and time-weighted means of the sensors over the same window.
 * A figure that does not exist is null: no frames, too few frames for a low, no sensor.
 * FPS per watt is average FPS / CPU power; energy per frame is CPU power / average FPS, since 1 W = 1 J/s
 * (BIPM, The International System of Units, 9th edition, table 4).
 */
export function summarisePass(log: Log, key: PassKey, settings: SummariseSettings): PassSummary {
  const { frameTimesMs, fromS, toS } = trimFrames(log, settings.trim);
  const frames = frameTimesMs.length;
  const sumMs = sumFrameTimes(frameTimesMs);
  const sortedMs = frameTimesMs.slice().sort();
  const lowFps = (metric: "low1Fps" | "low01Fps", fraction: number): number | null =>
    frames < framesNeeded[metric].needed ? null : lowOfSorted(sortedMs, fraction, settings.lows);
  const sensor = (role: SensorRole): number | null => {
    const series = log.sensors.find((candidate) => candidate.role === role);
    return series === undefined ? null : timeWeightedMean(series, fromS, toS);
  };
  const avgFps = frames === 0 ? null : (1000 * frames) / sumMs;
  const cpuPowerW = sensor("cpu-power");
  const hasPower = avgFps !== null && cpuPowerW !== null && cpuPowerW > 0;
  return {
    game: key.game,
    config: key.config,
    pass: key.pass,
    boot: key.boot,
    file: log.file,
    frames,
    seconds: sumMs / 1000,
    avgFps,
    low1Fps: lowFps("low1Fps", 0.01),
    low01Fps: lowFps("low01Fps", 0.001),
    cpuPowerW,
    gpuPowerW: sensor("gpu-power"),
    fpsPerWatt: hasPower ? avgFps / cpuPowerW : null,
    joulesPerFrame: hasPower ? cpuPowerW / avgFps : null,
    cpuClockMhz: sensor("cpu-clock"),
    cpuLoadPct: sensor("cpu-load"),
    gpuLoadPct: sensor("gpu-load"),
    cpuTempC: sensor("cpu-temperature"),
    flags: [...log.flags, ...flagFewFrames(frames)],
    fingerprint: frames === 0 ? "" : fingerprintSeries(frameTimesMs),
    startedAt: log.startedAt,
  };
}
