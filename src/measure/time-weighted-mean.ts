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
export function holdOver(series: SensorSeries, fromS: number, toS: number): Held {
  const { atS } = series;
  const held = new Float64Array(2);
  // A sensor that stopped before the window or began after it says nothing about it.
  const isOutside = (atS[atS.length - 1] as number) < fromS || (atS[0] as number) > toS;
  if (!isOutside) addUp(series, fromS, toS, held);
  return { sum: held[0] as number, heldS: held[1] as number };
}

/** Nothing is done behind the loop, so that what was compiled while the first, long one ran serves all others. */
function addUp({ atS, values }: SensorSeries, fromS: number, toS: number, held: Float64Array): void {
  const n = atS.length;
  let start = fromS;
  for (let i = 0; i < n && start < toS; i++) {
    const stop = i + 1 < n ? Math.min(atS[i + 1] as number, toS) : toS;
    if (!(stop > start)) continue;
    const value = values[i] as number;
    if (Number.isFinite(value)) {
      held[0] = (held[0] as number) + value * (stop - start);
      held[1] = (held[1] as number) + (stop - start);
    }
    start = stop;
  }
}

/** Mean of a sensor over a window of time, in its unit; null where no reading holds in it. */
export function timeWeightedMean(series: SensorSeries, fromS: number, toS: number): number | null {
  const { sum, heldS } = holdOver(series, fromS, toS);
  return heldS > 0 ? sum / heldS : null;
}
