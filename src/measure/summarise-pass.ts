import type { Log } from "../read/log.ts";
import type { LowsDefinition } from "../shared/lows-definition.ts";
import { blockMedians } from "./block-medians.ts";
import { fingerprintSeries } from "./fingerprint.ts";
import { sumFrameTimes } from "./frame-rate.ts";
import { flagFewFrames, framesBeyond, framesOfAPass } from "./frames-needed.ts";
import { hearSensors } from "./hear-sensors.ts";
import { measureRates } from "./measure-rates.ts";
import { findPaceFacts } from "./pace-facts.ts";
import type { MeasureFlag, PassKey, PassSummary } from "./pass-summary.ts";
import { sensorMeans } from "./sensor-means.ts";
import { measureSteadiness } from "./steadiness.ts";
import { type TrimWindow, trimFrames } from "./trim.ts";

/** What is measured of a log. */
export interface SummariseSettings {
  readonly lows: LowsDefinition;
  readonly trim: TrimWindow | null;
}

/**
 * One pass as numbers: frames, seconds, average FPS, lows, and time-weighted means of the sensors over the same window.
 * A figure that does not exist is null: no frames, too few frames for a low, no sensor.
 * FPS per watt is average FPS / CPU power; energy per frame is CPU power / average FPS, since 1 W = 1 J/s
 * (BIPM, The International System of Units, 9th edition, table 4).
 * @param key where the pass belongs; any names will do for a log that stands alone
 * @param settings which lows `low1Fps` and `low01Fps` are, and the stretch to measure; null for the whole log
 */
export function summarisePass(log: Log, key: PassKey, settings: SummariseSettings): PassSummary {
  const trimmed = trimFrames(log, settings.trim);
  const { frameTimesMs, sumMs, fromS, toS } = trimmed;
  const frames = frameTimesMs.length;
  const { avgFps, lows, tail } = measureRates(frameTimesMs, sumMs);
  const { heard, flags: gaps } = hearSensors(log.sensors, fromS, toS);
  const medians = blockMedians(frameTimesMs);
  const means = sensorMeans(heard);
  const { cpuPowerW } = means;
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
    ...lows[settings.lows],
    cpuPowerW,
    gpuPowerW: means.gpuPowerW,
    fpsPerWatt: hasPower ? avgFps / cpuPowerW : null,
    joulesPerFrame: hasPower ? cpuPowerW / avgFps : null,
    cpuClockMhz: means.cpuClockMhz,
    cpuLoadPct: means.cpuLoadPct,
    gpuLoadPct: means.gpuLoadPct,
    cpuTempC: means.cpuTempC,
    lows,
    framesBeyond: { low1Fps: framesBeyond("low1Fps", frames), low01Fps: framesBeyond("low01Fps", frames) },
    ...measureSteadiness(frameTimesMs, medians, sumMs),
    pace: findPaceFacts({ sensors: heard.map(({ series }) => series) }, trimmed, medians, tail),
    flags: flagsOf(log, settings.trim, frames, gaps),
    fingerprint: frames === 0 ? "" : fingerprintSeries(frameTimesMs),
    startedAt: log.startedAt,
  };
}

/**
 * What was noticed while reading a log and measuring a window of it.
 * @param frames those in the window
 * @param gaps what was noticed of the sensors in it
 */
export function flagsOf(
  log: Log,
  trim: TrimWindow | null,
  frames: number,
  gaps: readonly MeasureFlag[],
): MeasureFlag[] {
  return [...log.flags, ...flagFewFrames(frames, trimmedFrom(log, trim, frames)), ...gaps];
}

/** The whole capture, where the window leaves hardly any of its frames. */
function trimmedFrom(log: Log, trim: TrimWindow | null, frames: number) {
  const all = log.frameTimesMs.length;
  if (trim === null || frames === all || frames >= framesOfAPass) return undefined;
  return { ...trim, frames: all, seconds: log.frameEndsS?.at(-1) ?? sumFrameTimes(log.frameTimesMs) / 1000 };
}
