import type { SensorRole } from "../read/log.ts";
import type { HeardSensor } from "./hear-sensors.ts";

/** Time-weighted means of sensors; null where there is no such sensor, or it was not heard enough. */
export interface SensorMeans {
  readonly cpuPowerW: number | null;
  readonly gpuPowerW: number | null;
  readonly cpuClockMhz: number | null;
  readonly cpuLoadPct: number | null;
  readonly gpuLoadPct: number | null;
  readonly cpuTempC: number | null;
}

/** The means of a pass, under the names of the data contract. */
export function sensorMeans(heard: readonly HeardSensor[]): SensorMeans {
  return {
    cpuPowerW: meanOf(heard, "cpu-power"),
    gpuPowerW: meanOf(heard, "gpu-power"),
    cpuClockMhz: meanOf(heard, "cpu-clock"),
    cpuLoadPct: meanOf(heard, "cpu-load"),
    gpuLoadPct: meanOf(heard, "gpu-load"),
    cpuTempC: meanOf(heard, "cpu-temperature"),
  };
}

/** The mean of one sensor, in the unit of its role. */
export function meanOf(heard: readonly HeardSensor[], role: SensorRole): number | null {
  return heard.find(({ series }) => series.role === role)?.mean ?? null;
}
