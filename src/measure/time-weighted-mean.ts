import type { SensorSeries } from "../read/log.ts";

/**
 * Mean of a sensor over a window of time. Each reading holds from its own moment until the next one (a sampled
 * step function), and the first one also before it, so that uneven sampling weighs nothing twice.
 * @param series ascending times in seconds, values in the sensor's unit
 * @returns the mean in that unit; null where no reading falls near the window
 */
export function timeWeightedMean(series: SensorSeries, fromS: number, toS: number): number | null {
  const { atS, values } = series;
  const n = atS.length;
  if (n === 0 || !(toS > fromS)) return null;
  // A sensor that stopped before the window or began after it says nothing about it.
  if ((atS[n - 1] as number) < fromS || (atS[0] as number) > toS) return null;
  let weighted = 0;
  let weightS = 0;
  for (let i = 0; i < n; i++) {
    const value = values[i] as number;
    const start = Math.max(i === 0 ? fromS : (atS[i] as number), fromS);
    const stop = Math.min(i + 1 < n ? (atS[i + 1] as number) : toS, toS);
    if (!(stop > start) || !Number.isFinite(value)) continue;
    weighted += value * (stop - start);
    weightS += stop - start;
  }
  return weightS > 0 ? weighted / weightS : null;
}
