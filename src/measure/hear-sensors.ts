import type { SensorSeries } from "../read/log.ts";
import type { MeasureFlag } from "./pass-summary.ts";
import { holdOver } from "./time-weighted-mean.ts";

/** A sensor read for less of the pass than this says nothing about the pass. Common practice, no source. */
export const leastHeardPct = 80;
/** From here on a sensor was read throughout. Common practice, no source. */
const wholeHeardPct = 95;

/** A sensor with its time-weighted mean over the window, in its unit; null where no reading holds in it. */
export interface HeardSensor {
  readonly series: SensorSeries;
  readonly mean: number | null;
}

/**
 * Sensors that were read for enough of a window of time to speak for it; the mean over a part of a scene differs from
 * that over all of it.
 * @param fromS where the window begins, seconds from the start of the first frame; `toS` where it ends
 * @returns `heard`: the sensors that count; `flags`: those that were not read throughout, counted or not
 */
export function hearSensors(
  sensors: readonly SensorSeries[],
  fromS: number,
  toS: number,
): { readonly heard: readonly HeardSensor[]; readonly flags: readonly MeasureFlag[] } {
  if (!(toS > fromS)) return { heard: sensors.map((series) => ({ series, mean: null })), flags: [] };
  const all = sensors.map((series) => {
    const { sum, heldS } = holdOver(series, fromS, toS);
    return { series, mean: heldS > 0 ? sum / heldS : null, heardPct: (100 * heldS) / (toS - fromS) };
  });
  const counted = all.filter(({ heardPct }) => heardPct >= leastHeardPct);
  const leftOut = all.filter(({ heardPct }) => heardPct < leastHeardPct);
  const partly = counted.filter(({ heardPct }) => heardPct < wholeHeardPct);
  return {
    heard: counted,
    flags: [...flagGap(leftOut, false), ...flagGap(partly, true)],
  };
}

function flagGap(
  those: readonly (HeardSensor & { readonly heardPct: number })[],
  isCounted: boolean,
): MeasureFlag[] {
  if (those.length === 0) return [];
  const heardPct = Math.min(...those.map((sensor) => sensor.heardPct));
  return [{ code: "sensor-gap", roles: those.map(({ series }) => series.role), heardPct, isCounted }];
}
