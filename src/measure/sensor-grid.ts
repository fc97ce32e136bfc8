import type { SensorSeries } from "../read/log.ts";

/**
 * A sensor on an even grid of time: the time-weighted mean in each cell, every reading holding until the next one and
 * the first one also before it, as in `timeWeightedMean`.
 * @param cells how many; none where 0
 * @returns one value per cell; null where the sensor says nothing about the window
 */
export function gridSensor(
  { atS, values }: Pick<SensorSeries, "atS" | "values">,
  fromS: number,
  toS: number,
  cells: number,
): Float64Array | null {
  const n = atS.length;
  if (!(toS > fromS) || (atS[n - 1] as number) < fromS || (atS[0] as number) > toS) return null;
  const cellS = (toS - fromS) / cells;
  const grid = new Float64Array(cells);
  let reading = 0;
  let last = firstFinite(values);
  if (last === null) return null;
  for (let cell = 0; cell < cells; cell++) {
    const end = fromS + (cell + 1) * cellS;
    let at = fromS + cell * cellS;
    let sum = 0;
    while (at < end) {
      while (reading < n && (atS[reading] as number) <= at) {
        const value = values[reading++] as number;
        if (Number.isFinite(value)) last = value;
      }
      const until = reading < n ? Math.min(atS[reading] as number, end) : end;
      sum += last * (until - at);
      at = until;
    }
    grid[cell] = sum / cellS;
  }
  return grid;
}

function firstFinite(values: Float64Array): number | null {
  for (const value of values) if (Number.isFinite(value)) return value;
  return null;
}

/** Whether a sensor never changes, as on a virtual machine; the sums of the grid round in the last digits. */
export function isConstant(grid: Float64Array): boolean {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of grid) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return high - low <= 1e-9 * Math.abs(high);
}
