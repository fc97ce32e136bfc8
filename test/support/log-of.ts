import type { Log, SensorRole, SensorSeries } from "../../src/read/log.ts";

/** Readings of one sensor, each holding from its moment. */
export function sensor(role: SensorRole, atS: readonly number[], values: readonly number[]): SensorSeries {
  return { role, unit: "W", column: role, atS: Float64Array.from(atS), values: Float64Array.from(values) };
}

/** A log that was read without anything to say of it. @param frameTimesMs milliseconds */
export function logOf(frameTimesMs: ArrayLike<number>, change: Partial<Log> = {}): Log {
  const times = Float64Array.from(frameTimesMs);
  return {
    file: "saltworks/quiet-35w/pass-1.csv",
    text: {
      encoding: "utf-8",
      byteOrderMark: false,
      gzip: false,
      lineEnd: "LF",
      delimiter: ",",
      decimalSign: ".",
      headerLine: 1,
      notes: [],
    },
    columns: [],
    frameTimesMs: times,
    frameEndsS: null,
    rows: { read: times.length, frames: times.length, notUsed: {} },
    sensors: [],
    flags: [],
    startedAt: "2026-03-14T18:00:00.000Z",
    ...change,
  };
}
