import { compareWithClock } from "./compare-with-clock.ts";
import type { HeadColumn } from "./head-columns.ts";
import { standardUnits } from "./recognition.ts";
import { type TimeUnit, unitSeconds } from "./units.ts";
import {
  isClockName,
  isCounterName,
  type NameWeight,
  weighDurationName,
  weighRateName,
} from "./weigh-words.ts";

/** Frame times outside these are not ordinary: 5,000 FPS and 1 FPS. */
const shortestS = 0.0002;

const longestS = 1;

/** With a unit in the name, more is believed. */
const shortestStatedS = 0.00005;

const longestStatedS = 5;

/** Below this many rows the way the numbers go on says little. */
export const fewRows = 20;
/** So many values in a row that all rise are no accident: of 40,320 orders of eight one does. */
const certainRows = 8;
/** From this many on it says as much as a name. */
export const manyRows = 100;

export function isCounter({ kind, shape, words, timeUnit, name, otherUnit }: HeadColumn): boolean {
  // Watts and degrees may happen to go up by one.
  if (otherUnit !== null) return false;
  if (kind !== "number" || !shape.whole) return false;
  // A row a second, or a millisecond, is a clock.
  if (timeUnit !== null && (shape.stepOneShare < 1 || !isCounterName(words))) return false;
  const named = isCounterName(words) && timeUnit === null;
  // Dropped frames leave gaps; several streams count side by side.
  const counts = shape.stepOneShare >= (named ? 0.5 : 0.9) && shape.fallingShare <= 0.2;
  if (shape.count < fewRows && timeUnit !== null && weighDurationName(words, true).weight >= 1) return false;
  if (timeUnit !== null && isClockName(words)) return false;
  return counts && (named || name === null || shape.count >= 3);
}

/** The columns that never go back, dates included, other than running numbers. */
export function findClocks(columns: readonly HeadColumn[]): HeadColumn[] {
  return columns.filter((column) => !isCounter(column) && isClock(column, columns));
}

export function isClock(column: HeadColumn, all: readonly HeadColumn[]): boolean {
  const { kind, shape, words, timeUnit, otherUnit } = column;
  if (kind !== "number" && kind !== "moment") return false;
  if (shape.count === 1)
    return kind === "moment" || (isClockName(words) && weighDurationName(words, true).weight < 2);
  if (shape.count < 2 || shape.risingShare === 0) return false;
  // One fall may be the log beginning again.
  const allowedBack = shape.count < fewRows ? 0.34 : Math.max(0.02, 1 / (shape.count - 1));
  if (shape.fallingShare > allowedBack) return false;
  if (kind === "moment") return true;
  const name = weighDurationName(words, timeUnit !== null);
  if (timeUnit === null && (otherUnit !== null || weighRateName(words).isRate)) return false;
  const named = isClockName(words);
  if (name.otherQuantity && !named) return false;
  // Frames numbered one by one, though several rows may share a number.
  const areNumbers = shape.whole && shape.max - shape.min <= shape.count;
  if (areNumbers && !named && timeUnit === null && isCounterName(words)) return false;
  const speaksOfClock = /elapsed|stamp|epoch|clock|since|start/.test(words.join(" "));
  if (shape.count >= fewRows) {
    if (shape.risingShare >= 0.9) return true;
    // Frames that are shown two at a time share a reading; durations that vary so often also fall.
    if (shape.risingShare >= 0.3 && shape.fallingShare === 0 && shape.count >= manyRows) return true;
    // A coarse clock stands still in most rows; frame times that are nearly constant do too, but fall as often as rise.
    return named && shape.risingShare >= 10 * shape.fallingShare && (speaksOfClock || name.weight < 3);
  }
  if (shape.fallingShare > 0 && !named) return false;
  // A few durations can rise by chance: a name that speaks of a frame's time is believed before them.
  const plausible = plausibleUnits(shape.median, timeUnit).length > 0;
  if (!speaksOfClock && (name.weight >= 3 || (name.weight >= 2 && plausible))) return false;
  // So many durations rise from row to row once in 40,000 logs.
  if (shape.risingShare === 1 && shape.count >= certainRows) return true;
  // Without such a name they rise by little, where a clock rises by whole frames.
  const levelLike = shape.medianStep < 0.3 * shape.median && shape.max < 3 * shape.min;
  if (levelLike && plausible && (name.weight >= 1 || !named)) {
    return all.length > 1 && name.weight < 2 && speaksOfClock;
  }
  return true;
}

/** Seconds of a minute; a second in itself, in ms, in us, in 100 ns and in ns. */
const wholes = [60, 1, 1e3, 1e6, 1e7, 1e9];

/**
 * The column that holds the seconds of a clock of which this one holds what is left of a second (or the minutes of its
 * seconds, or the number of the frame in it): it goes up whenever this one starts over, and never else.
 */
export function findWholeOf(column: HeadColumn, all: readonly HeadColumn[]): HeadColumn | null {
  const { values, shape } = column;
  if (shape.fallingShare === 0 || shape.risingShare < 0.9 || shape.min < 0) return null;
  // Runs that are numbered start over, too, but at any reading.
  const isFull = wholes.some((whole) => shape.max < whole && shape.max >= 0.9 * whole);
  const whole = all.find((other) => {
    if (!isFull && other.timeUnit !== "s") return false;
    if (other === column || !other.shape.whole || other.shape.fallingShare > 0) return false;
    let together = 0;
    for (let i = 1; i < values.length; i++) {
      const startsOver = (values[i] as number) < (values[i - 1] as number);
      const goesUp = (other.values[i] as number) > (other.values[i - 1] as number);
      if (startsOver !== goesUp) return false;
      if (startsOver) together++;
    }
    return together >= 2;
  });
  return whole ?? null;
}

/** In a few rows durations may happen to rise; then they are still the steps of a clock beside them. */
export function areDurationsByChance(column: HeadColumn, clocks: readonly HeadColumn[]): boolean {
  const { shape, kind, timeUnit, words } = column;
  if (shape.count >= fewRows || kind !== "number" || isClockName(words)) return false;
  if (plausibleUnits(shape.median, timeUnit).length === 0) return false;
  return clocks.some((clock) => {
    if (clock === column) return false;
    const agreement = compareWithClock(column.values, column.precision, clock.clock, clock.precision);
    return agreement?.ratioIsUnit === true && agreement.compared > 0 && agreement.rowShare === 1;
  });
}

export function isRate({ kind, shape, words, otherUnit, timeUnit }: HeadColumn): boolean {
  if (kind !== "number" || !(shape.median > 0)) return false;
  if (timeUnit !== null && timeUnit !== "s") return false;
  return weighRateName(words).isRate || otherUnit === "FPS";
}

/** Whole numbers up to this, of no stated unit, are hardly times. */
const mostOfFlag = 4;

export function couldBeDuration(
  { shape, words, timeUnit, otherUnit }: HeadColumn,
  name: NameWeight,
): boolean {
  if (!(shape.median > 0) || name.otherQuantity) return false;
  if (timeUnit !== null) return true;
  // Settings and flags, such as a sync interval of 1, are counts; a frame's time of so few whole units says so.
  if (shape.whole && shape.max <= mostOfFlag && name.weight < 3) return false;
  // A running number that does not run, as in a log put together from pieces.
  if (shape.whole && isCounterName(words) && name.weight < 1) return false;
  if (otherUnit !== null) return false;
  return plausibleUnits(shape.median, null).length > 0 || name.weight >= 2;
}

/** Units in which a usual frame time of `median` makes sense. */
export function plausibleUnits(median: number, stated: TimeUnit | null): TimeUnit[] {
  if (stated !== null) {
    const seconds = median * unitSeconds[stated];
    return seconds >= shortestStatedS && seconds <= longestStatedS ? [stated] : [];
  }
  return standardUnits.filter((unit) => {
    const seconds = median * unitSeconds[unit];
    return seconds >= shortestS && seconds <= longestS;
  });
}

/** Rows of a log do not lie further apart. Common practice, no source. */
const longestPauseS = 600;
/** Clocks that are right were read in the years 2015 to 2050; one that is not set may also begin in 2000. */
const likelyDatesS = { from: 1_420_070_400, to: 2_524_608_000 };

/** The unit in which a clock counts from 1970, by the size of its readings (the years 2000 to 2100). */
export function epochUnit({ kind, clockBase, words, timeUnit, shape }: HeadColumn): TimeUnit | null {
  if (kind !== "number") return null;
  const unit = standardUnits.find((candidate) => {
    const seconds = clockBase * unitSeconds[candidate];
    const isDate = seconds >= 946_684_800 && seconds <= 4_102_444_800;
    // An uptime in a finer unit can be as large as a date; then its frames would lie seconds or hours apart.
    const stepS = shape.medianStep * unitSeconds[candidate];
    const isLikely = seconds >= likelyDatesS.from && seconds <= likelyDatesS.to;
    return isDate && !(stepS > (isLikely ? longestPauseS : longestStatedS));
  });
  if (unit === undefined || (timeUnit !== null && timeUnit !== unit)) return null;
  // An uptime in nanoseconds can be as large as a date in microseconds; the name must not say otherwise.
  return words.some((word) => ["uptime", "elapsed", "boot", "ticks", "counter"].includes(word)) ? null : unit;
}
