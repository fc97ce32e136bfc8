import type { SensorSeries } from "../read/log.ts";
import type { MeasureFlag } from "./pass-summary.ts";

/** A sensor read for less of the pass than this says nothing about the pass. Common practice, no source. */
export const leastHeardPct = 80;
/** From here on a sensor was read throughout. Common practice, no source. */
const wholeHeardPct = 95;

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
): { readonly heard: readonly SensorSeries[]; readonly flags: readonly MeasureFlag[] } {
  if (!(toS > fromS)) return { heard: sensors, flags: [] };
  const all = sensors.map((series) => ({
    series,
    heardPct: (100 * heardS(series, fromS, toS)) / (toS - fromS),
  }));
  const counted = all.filter(({ heardPct }) => heardPct >= leastHeardPct);
  const unheard = all.filter(({ heardPct }) => heardPct < leastHeardPct);
  const partly = counted.filter(({ heardPct }) => heardPct < wholeHeardPct);
  const flags = [unheard, partly].flatMap((those): MeasureFlag[] => {
    if (those.length === 0) return [];
    const roles = those.map(({ series }) => series.role);
    const heardPct = Math.min(...those.map((sensor) => sensor.heardPct));
    return [{ code: "sensor-gap", roles, heardPct, isCounted: those === partly }];
  });
  return { heard: counted.map(({ series }) => series), flags };
}

/** Seconds of the window in which a reading holds; the first one also holds before its time, as in `timeWeightedMean`. */
function heardS({ atS, values }: SensorSeries, fromS: number, toS: number): number {
  let sumS = 0;
  for (let i = 0; i < atS.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    const start = i === 0 ? fromS : Math.max(fromS, atS[i] as number);
    sumS += Math.max(0, Math.min(toS, atS[i + 1] ?? toS) - start);
  }
  return sumS;
}
