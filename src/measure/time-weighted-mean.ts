import type { SensorSeries } from "../read/log.ts";

/** A sensor's readings in a window of time. */
interface Held {
  /** Sum of the values, each times the seconds for which it holds. */
  readonly sum: number;
  /** Seconds of the window in which a value holds. */
  readonly heldS: number;
}

/**
 * Sums up a sensor over a window of time. Each reading holds from its own moment until the next one (a sampled step
 * function), and the first one also before it, so that uneven sampling weighs nothing twice.
 * @param series ascending times in seconds, values in the sensor's unit; NaN where nothing is known until the next
 */
export function holdOver({ atS, values }: SensorSeries, fromS: number, toS: number): Held {
  const n = atS.length;
  let sum = 0;
  let heldS = 0;
  // A sensor that stopped before the window or began after it says nothing about it.
  if ((atS[n - 1] as number) < fromS || (atS[0] as number) > toS) return { sum, heldS };
  for (let i = 0; i < n; i++) {
    const value = values[i] as number;
    const start = Math.max(i === 0 ? fromS : (atS[i] as number), fromS);
    const stop = Math.min(i + 1 < n ? (atS[i + 1] as number) : toS, toS);
    if (!(stop > start) || !Number.isFinite(value)) continue;
    sum += value * (stop - start);
    heldS += stop - start;
  }
  return { sum, heldS };
}

/** Mean of a sensor over a window of time, in its unit; null where no reading holds in it. */
export function timeWeightedMean(series: SensorSeries, fromS: number, toS: number): number | null {
  const { sum, heldS } = holdOver(series, fromS, toS);
  return heldS > 0 ? sum / heldS : null;
}
