import type { SensorSeries } from "./log.ts";

/** A reading holds for this long, or for some readings as they usually come; common practice, no source. */
export const holdsS = 5;
export const holdsReadings = 5;

/** From when on, and until when, a sensor's last reading no longer holds, in seconds. */
export interface Silence {
  readonly fromS: number;
  readonly toS: number;
}

/** For how long a reading holds at most, in seconds. @param usualS the median time from one reading to the next */
export function mostHeldS(usualS: number): number {
  return Math.max(holdsS, holdsReadings * usualS);
}

/**
 * Readings of a column of the frames' own log, with NaN in its silences; a reading that says what the one before it
 * said is none of them, so that the value before a silence comes again behind it, unless another one does.
 */
export function markBlanks(
  { atS, values }: Pick<SensorSeries, "atS" | "values">,
  silences: readonly Silence[],
): Pick<SensorSeries, "atS" | "values"> {
  if (silences.length === 0) return { atS, values };
  const times: number[] = [];
  const marked: number[] = [];
  const add = (at: number, value: number): void => {
    times.push(at);
    marked.push(value);
  };
  let next = 0;
  for (const { fromS, toS } of silences) {
    for (; next < atS.length && (atS[next] as number) <= fromS; next++) {
      add(atS[next] as number, values[next] as number);
    }
    add(fromS, Number.NaN);
    if (toS === Number.POSITIVE_INFINITY)
      return { atS: Float64Array.from(times), values: Float64Array.from(marked) };
    if (atS[next] !== toS) add(toS, values[Math.max(0, next - 1)] as number);
  }
  for (; next < atS.length; next++) add(atS[next] as number, values[next] as number);
  return { atS: Float64Array.from(times), values: Float64Array.from(marked) };
}

/**
 * Readings of a sensor log, with NaN from where one no longer holds: the recording began late, paused, or stopped
 * early. What a sensor did in such a time is not known, and the reading before it is no stand-in.
 * @param atS ascending seconds
 * @param values as many, all finite
 */
export function markSilence(
  atS: readonly number[],
  values: readonly number[],
): Pick<SensorSeries, "atS" | "values"> {
  const steps = atS.slice(1).map((at, i) => at - (atS[i] as number));
  const usualS = steps.sort((a, b) => a - b)[steps.length >> 1] ?? 0;
  const mostS = mostHeldS(usualS);
  const times: number[] = [];
  const marked: number[] = [];
  const add = (at: number, value: number): void => {
    times.push(at);
    marked.push(value);
  };
  for (const [i, at] of atS.entries()) {
    const before = atS[i - 1];
    // A first reading also holds before its time.
    if (before === undefined) {
      add(at - 2 * mostS, Number.NaN);
      add(at - mostS, values[i] as number);
    } else if (at - before > mostS) add(before + mostS, Number.NaN);
    add(at, values[i] as number);
  }
  const last = atS.at(-1);
  if (last !== undefined) add(last + mostS, Number.NaN);
  return { atS: Float64Array.from(times), values: Float64Array.from(marked) };
}
