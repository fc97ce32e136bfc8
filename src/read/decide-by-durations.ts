import type { FrameTimeCandidate } from "../shared/problem.ts";
import {
  asCandidate,
  type Context,
  candidate,
  type Decision,
  type Duration,
  likelyUnit,
  ratesOfFrames,
  unclear,
  unitByClock,
} from "./column-evidence.ts";
import { epochUnit, plausibleUnits } from "./column-shapes.ts";
import { isInverseOf, isSumOf, isTotalOver, sameSeries } from "./compare-series.ts";
import { eachRowTwice, rateAlone } from "./decide-by-rate.ts";
import { areRowsDoubled } from "./doubled-rows.ts";
import { coarseShare } from "./find-coarse-times.ts";
import { shown } from "./find-column.ts";
import { resolutionOf, round3 } from "./fit-clock.ts";
import type { HeadColumn } from "./head-columns.ts";
import { type FrameTimeChoice, standardUnitOf } from "./recognition.ts";
import { type TimeUnit, timeUnitOfWords, unitSeconds } from "./units.ts";
import { isClockName, isNameOfTicks } from "./weigh-words.ts";

/** Several columns agree with a clock: the name decides, unless they say the same anyway. */
export function pickAmong(agreeing: readonly Duration[], context: Context): Decision {
  const sorted = [...agreeing].sort(
    (a, b) =>
      b.name.weight - a.name.weight || (b.fit?.agreement.rowShare ?? 0) - (a.fit?.agreement.rowShare ?? 0),
  );
  const best = sorted[0];
  if (best === undefined) return {};
  const unitS = (duration: Duration): number => unitSeconds[unitByClock(duration, context)?.unit ?? "s"];
  const rivals = sorted.filter(
    (other) =>
      other.name.weight > best.name.weight - 1 &&
      !sameSeries(best.column, unitS(best), other.column, unitS(other)),
  );
  if (rivals.length > 0)
    return unclear(
      "columns-fit-alike",
      [best, ...rivals].map((d) => asCandidate(d, context)),
    );
  return inItsUnit(best, context);
}

/** Settles the unit of a chosen column of durations, or stops where words and evidence contradict each other. */
export function inItsUnit(duration: Duration, context: Context): Decision {
  const { column } = duration;
  const stated = column.timeUnit;
  const byClock = unitByClock(duration, context);
  if (stated !== null && byClock !== null && stated !== byClock.unit) {
    const { unit, clock, clockUnit } = byClock;
    context.notes.add(column, null, false, `the name says ${stated}, the clock says ${unit}`);
    return unclear("unit-against-clock", [
      candidate(column, stated, false, [`its name says ${stated}`]),
      candidate(column, unit, false, [`${clock} counts in ${clockUnit} and its steps say ${unit}`]),
    ]);
  }
  const plausible = plausibleUnits(column.shape.median, null);
  if (stated !== null) {
    if (byClock === null && plausibleUnits(column.shape.median, stated).length === 0) {
      context.notes.add(column, null, false, `the name says ${stated}, the values make no sense in it`);
      return unclear("unit-against-values", [
        candidate(column, stated, false, [`its name says ${stated}`]),
        ...plausible.map((unit) => candidate(column, unit, false, [`its values make sense in ${unit}`])),
      ]);
    }
    context.notes.add(
      column,
      null,
      true,
      `${column.isSpans ? "its cells are hours, minutes and seconds" : `the name says ${stated}`}${byClock === null ? "" : ", and so does the clock"}`,
    );
    return durationIn(duration, stated, context);
  }
  if (byClock !== null) {
    const { unit, clock, clockUnit } = byClock;
    context.notes.add(column, null, true, `${unit}, as ${clock} counts in ${clockUnit}`);
    return durationIn(duration, unit, context);
  }
  if (couldBeRate(duration, context)) return unclear("unit-unknown", readingsOf(duration, context));
  const [only, ...others] = plausible;
  if (only === undefined) return {};
  if (others.length > 0 || mayCountTicks(column, only, context)) {
    return unclear(
      "unit-unknown",
      plausible.map((unit) =>
        candidate(column, unit, false, ["no unit is stated", `its values make sense in ${unit}`]),
      ),
    );
  }
  context.notes.add(
    column,
    null,
    true,
    `${only}, the only unit in which a usual value of ${round3(column.shape.median)} is a frame time`,
  );
  return durationIn(duration, only, context);
}

/** Below 30 FPS a count of ticks of its own length is as likely as whole microseconds, but where a rate confirms them. */
function mayCountTicks({ words, shape }: HeadColumn, unit: TimeUnit, context: Context): boolean {
  const usualS = shape.median * unitSeconds[unit];
  const isSlow = unit === "us" && usualS > 1 / 30;
  const rate = ratesOfFrames(context)[0];
  const isConfirmed = rate !== undefined && Math.abs(usualS * rate.shape.median - 1) < 0.3;
  return shape.whole && (isSlow || isNameOfTicks(words)) && !isConfirmed;
}

/**
 * Numbers with neither unit nor clock, and no name that says more than that they are of frames: milliseconds, or FPS.
 * Slow frames are long in the one and low in the other; where no frame is slow, most games are faster than 50 FPS.
 */
function couldBeRate({ column, name }: Duration, { clocks, rates }: Context): boolean {
  const { median } = column.shape;
  if (clocks.length > 0 || rates.length > 0 || name.weight >= 1 || isClockName(column.words)) return false;
  if (median < slowestFps || median >= fastestFps) return false;
  const slow = slowFramesIn(column);
  return slow === "low" || median >= (slow === "long" ? 50 : 20);
}

const slowestFps = 5;
const fastestFps = 1000;
/** Values further than this from the median, in logarithms, are slow frames or fast ones. */
const outlierLog = 0.35;
const fewestOutliers = 3;

/** Slow frames are long where the values are times, and low where they are rates; null where too few of them show. */
function slowFramesIn({ values, shape }: HeadColumn): "long" | "low" | null {
  const high = shape.median * Math.exp(outlierLog);
  const low = shape.median * Math.exp(-outlierLog);
  let above = 0;
  let below = 0;
  for (const value of values) {
    if (value > high) above++;
    else if (value > 0 && value < low) below++;
  }
  // Where many frames are, it is how they are paced, or another scene.
  if (above + below > 0.15 * shape.count) return null;
  if (below >= fewestOutliers && below > 3 * above) return "low";
  return above >= fewestOutliers && above > 3 * below ? "long" : null;
}

/** Nobody compares configs at fewer FPS. Common practice, no source. */
const fewestFps = 10;

/**
 * Of two columns without names, each 1000 by the other, one holds milliseconds and one FPS. Slow frames are long in the
 * one, unless that would make all of them slower than any game is played; where no frame is slow, the shorter numbers are milliseconds, unless they are too long for that, or printed with
 * fewer decimals than the others: milliseconds need more of them than FPS.
 */
function durationOfInverses(one: Duration, other: Duration, context: Context): Duration | null {
  const isSilent = [one, other].every(({ column }) => column.words.length === 0 && column.timeUnit === null);
  if (!isSilent || !isInverseInMs(one.column, other.column)) return null;
  const [low, high] = one.column.shape.median < other.column.shape.median ? [one, other] : [other, one];
  const isShort = low.column.shape.median < 20 && low.column.precision <= high.column.precision;
  const longIn = (duration: Duration) => ({ duration, why: "slow frames are long in it" });
  const choice = {
    low: longIn(high),
    long: longIn(low),
    none: isShort ? { duration: low, why: "its numbers are short, as milliseconds are" } : null,
    tooSlow: { duration: low, why: "as FPS its numbers would be slower than games are played" },
  }[low.column.shape.median < fewestFps ? "tooSlow" : (slowFramesIn(low.column) ?? "none")];
  if (choice === null) return null;
  const { duration, why } = choice;
  const rate = duration === low ? high : low;
  context.notes.add(duration.column, null, true, `1000 by ${shown(rate.column)} in every row, and ${why}`);
  return duration;
}

function isInverseInMs(column: HeadColumn, rate: HeadColumn): boolean {
  const product = column.shape.median * rate.shape.median;
  return product > 900 && product < 1100 && isInverseOf(column, rate);
}

/** What values without any word, unit or clock could be. */
function readingsOf({ column }: Duration, context: Context): FrameTimeCandidate[] {
  const nothing = column.words.length === 0 ? "nothing names it" : "its name says nothing of a frame time";
  const { median } = column.shape;
  const isRate = context.rates.length === 0 && median >= slowestFps && median < fastestFps;
  return [
    ...plausibleUnits(median, null).map((unit) =>
      candidate(column, unit, false, [nothing, `its values make sense in ${unit}`]),
    ),
    ...(isRate ? [candidate(column, "fps", false, [nothing, "its values make sense as FPS"])] : []),
  ];
}

export function durationIn({ column, fit }: Duration, unit: TimeUnit, context: Context): Decision {
  const unitS = unitSeconds[unit];
  const frameTime: FrameTimeChoice = { index: column.index, how: "duration", unit, unitS };
  const clock = fit?.clock ?? context.clocks[0];
  if (clock === undefined) return { frameTime, clock: null };
  const agreement = fit?.agreement;
  const stated = context.statedClockUnit(clock) ?? epochUnit(clock);
  const clockUnitS =
    fit !== null && fit.grade !== "none" && agreement !== undefined
      ? unitS / agreement.ratio
      : stated === null
        ? null
        : unitSeconds[stated];
  if (clockUnitS === null) return { frameTime, clock: null };
  return {
    frameTime,
    clock: {
      index: clock.index,
      unit: standardUnitOf(clockUnitS) ?? "ticks",
      unitS: clockUnitS,
      lag: agreement?.lag ?? 0,
      precisionS: resolutionOf(clock) * clockUnitS,
    },
  };
}

/** No clock at all: names and plausible values decide. */
export function withoutClock(durations: readonly Duration[], context: Context): Decision {
  const whole = findWhole(durations, context);
  if (whole !== null) {
    context.notes.add(whole.column, null, true, "the other times of the row add up to it");
    return inItsUnit(whole, context);
  }
  const sorted = [...durations].sort((a, b) => b.name.weight - a.name.weight);
  const best = sorted[0];
  if (best === undefined) return {};
  const isAmongParts = sorted.some(({ name }) => name.partOfFrame) && namesSomethingElse(best);
  const rivals = sorted.filter((other) => {
    if (other.name.weight <= best.name.weight - 1 && !(isAmongParts && other.name.partOfFrame)) return false;
    const unitS = ({ column }: Duration): number => unitSeconds[likelyUnit(column)];
    return !sameSeries(best.column, unitS(best), other.column, unitS(other));
  });
  const rate = ratesOfFrames(context)[0];
  if (rivals.length > 0) {
    const byRate =
      rate === undefined ? [] : [best, ...rivals].filter(({ column }) => isInverseOf(column, rate));
    const inverse = rivals.length === 1 ? durationOfInverses(best, rivals[0] as Duration, context) : null;
    if (inverse !== null) return durationIn(inverse, "ms", context);
    const [winner] = byRate;
    if (winner !== undefined && byRate.length === 1 && rate !== undefined) {
      context.notes.add(winner.column, null, true, `its inverse is ${shown(rate)} row by row`);
      return inItsUnit(winner, context);
    }
    return unclear(
      "columns-fit-alike",
      [best, ...rivals].map((d) => asCandidate(d, context)),
    );
  }
  if (best.name.weight <= 0) {
    if (best.name.partOfFrame) {
      return unclear("words-too-weak", [asCandidate(best, context)]);
    }
    const isNamed = best.column.words.length > 0 && !isClockName(best.column.words);
    if (isNamed && rate === undefined) return unclear("words-too-weak", readingsOf(best, context));
  }
  if (rate !== undefined && isFinerThan(rate, best.column)) {
    context.notes.add(best.column, null, false, `prints fewer digits than ${shown(rate)}, its inverse`);
    return rateAlone(context);
  }
  if (areRowsDoubled(context.columns)) {
    const unit = likelyUnit(best.column);
    return unclear("words-too-weak", [candidate(best.column, unit, false, [eachRowTwice])]);
  }
  context.notes.add(
    best.column,
    null,
    true,
    "no clock to compare with: the name and plausible values decide",
  );
  const decision = inItsUnit(best, context);
  const usualS = best.column.shape.median * (decision.frameTime?.unitS ?? Number.NaN);
  // A rate may be an average of its last second, but no frame takes three times what it says for long.
  if (rate !== undefined && Math.abs(Math.log(usualS * rate.shape.median)) > Math.log(3)) {
    return unclear("columns-fit-alike", [
      asCandidate(best, context),
      candidate(rate, "fps", false, ["its name speaks of a frame rate"]),
    ]);
  }
  return decision;
}

/** Whether a rate is the inverse of durations whose digits are too few for lows, and has enough of them itself. */
function isFinerThan(rate: HeadColumn, durations: HeadColumn): boolean {
  const isCoarse = durations.precision > coarseShare * durations.shape.median;
  return isCoarse && rate.precision < 0.1 * coarseShare * rate.shape.median && isInverseOf(durations, rate);
}

/** Whether nothing but a unit makes it a time, of something that is not known here: "culling (ms)". */
function namesSomethingElse({ column, name }: Duration): boolean {
  const isOfTime = (word: string): boolean => timeUnitOfWords([word]) !== null || plainTimes.has(word);
  return name.weight > 0 && name.weight < 1.5 && !name.partOfFrame && !column.words.every(isOfTime);
}

const plainTimes: ReadonlySet<string> = new Set([
  "frame",
  "frames",
  "time",
  "times",
  "length",
  "spent",
  "t",
  "elapsed",
]);

/**
 * The column that all others of its unit add up to: they are its parts, whatever their names. Parts may leave out a
 * wait, or run side by side: then a total is longer than any of them.
 */
function findWhole(durations: readonly Duration[], { averages }: Context): Duration | null {
  const isNamed = durations.some(({ name }) => name.weight >= 2);
  const wholes = [...durations, ...averages].filter((whole) => {
    const parts = durations.filter((other) => other !== whole).map(({ column }) => column);
    return (
      parts.length >= 2 &&
      parts.every(({ timeUnit }) => timeUnit === whole.column.timeUnit) &&
      (isSumOf(whole.column, parts) || (!isNamed && isTotalOver(whole.column, parts)))
    );
  });
  // A part may happen to be the sum of the others: what contains it is longer.
  return wholes.sort((a, b) => b.column.shape.median - a.column.shape.median)[0] ?? null;
}
