import {
  asCandidate,
  type Context,
  candidate,
  type Decision,
  type Duration,
  likelyUnit,
  ratesOfFrames,
  unclear,
} from "./column-evidence.ts";
import { epochUnit, fewRows, plausibleUnits } from "./column-shapes.ts";
import { compareWithClock } from "./compare-with-clock.ts";
import { inItsUnit } from "./decide-by-durations.ts";
import { rateAlone } from "./decide-by-rate.ts";
import { columnLabel, shown } from "./find-column.ts";
import { resolutionOf, round3, shareStanding, standingRows, standingShare } from "./fit-clock.ts";
import { type HeadColumn, takeMedian } from "./head-columns.ts";
import { type TimeUnit, unitSeconds } from "./units.ts";
import {
  isAverageName,
  isClockName,
  isNameOfSummary,
  isNameOfTicks,
  weighDurationName,
  weighRateName,
} from "./weigh-words.ts";

/** Rows this far apart, beside an average rate or nothing at all: a log of samples. Common practice, no source. */
const sampledFromMs = 90;
/** Rows that follow each other faster are hardly frames. Common practice, no source. */
const fastestFps = 1000;

/** A clock that is read a little early or late differs from two frames, and agrees with more. */
const tooFewToContradict = 3;

/** No column of durations agrees with the clock. */
export function clockAgainst(clock: HeadColumn, context: Context): Decision {
  const stepUnit = unitOfSteps(clock, context);
  const stepMs = stepUnit === null ? Number.NaN : usualStep(clock) * unitSeconds[stepUnit] * 1000;
  const named = context.durations.filter(({ name }) => name.weight >= 1.5);
  const best = [...named].sort((a, b) => b.name.weight - a.name.weight)[0];
  if (best !== undefined) {
    const unit = likelyUnit(best.column);
    const frameTimeMs = best.column.shape.median * unitSeconds[unit] * 1000;
    if (frameTimeMs * 3 < stepMs && plausibleUnits(best.column.shape.median, unit).length > 0) {
      return notPerFrame(best.column, frameTimeMs, clock, stepMs);
    }
    const isAlone = named.every((d) => d === best || d.name.weight <= best.name.weight - 1);
    const isNear = frameTimeMs < 2 * stepMs && stepMs < 2 * frameTimeMs;
    if (isAlone && isNear && best.name.weight >= 2 && clock.shape.count <= tooFewToContradict) {
      context.notes.add(best.column, null, true, "so few readings of the clock contradict no name");
      return inItsUnit({ ...best, fit: null }, context);
    }
    return unclear("clock-disagrees", [
      ...named.filter(({ name }) => name.weight > best.name.weight - 1).map((d) => asCandidate(d, context)),
      ...(stepUnit === null ? [] : [candidate(clock, stepUnit, true, ["its steps are times between rows"])]),
    ]);
  }
  const rate = ratesOfFrames(context)[0] ?? context.rates[0];
  const isInstant = rate !== undefined && !weighRateName(rate.words).derived;
  const isStated = (context.statedClockUnit(clock) ?? epochUnit(clock)) !== null;
  if (isInstant && !isStated) return rateSettlesUnit(rate, clock, context);
  // A pause makes the mean step long, a coarse clock the usual one.
  const stepsMs = [stepMs, stepUnit === null ? stepMs : medianStepOf(clock) * unitSeconds[stepUnit] * 1000];
  const isOfSamples = (frameMs: number): boolean => frameMs < Math.min(...stepsMs) / 3;
  if (rate !== undefined && (stepMs > sampledFromMs || isInstant) && isOfSamples(1000 / rate.shape.median)) {
    return notPerFrame(rate, 1000 / rate.shape.median, clock, stepMs);
  }
  if (isInstant && stepUnit !== null) return rateAgainst(rate, clock, stepUnit, context);
  for (const { column, frameMs } of averagesOf(context)) {
    if (stepMs > sampledFromMs && isOfSamples(frameMs)) return notPerFrame(column, frameMs, clock, stepMs);
    if (stepUnit !== null && (isOfSamples(frameMs) || frameMs > 3 * Math.max(...stepsMs))) {
      const grounds = `its steps are times between rows, and ${shown(column)} says ${round3(frameMs)} ms per frame`;
      return unclear("clock-disagrees", [candidate(clock, stepUnit, true, [grounds])]);
    }
  }
  return stepsOf(clock, context);
}

/** What the averages of a log say that a frame takes; limits and extremes say nothing of that. */
function averagesOf({
  averages,
  rates,
}: Context): { readonly column: HeadColumn; readonly frameMs: number }[] {
  const times = averages
    .filter(({ column, name }) => name.weight >= 2 && isAverageName(column.words))
    .map(({ column }) => ({
      column,
      frameMs: column.shape.median * unitSeconds[likelyUnit(column)] * 1000,
    }));
  const ofRates = rates
    .filter(({ words }) => isAverageName(words))
    .map((column) => ({ column, frameMs: 1000 / column.shape.median }));
  return [...times, ...ofRates];
}

/** A frame rate beside a clock of no stated unit: the unit in which the rows lie as far apart as the rate says. */
function rateSettlesUnit(rate: HeadColumn, clock: HeadColumn, context: Context): Decision {
  const frameTimeMs = 1000 / rate.shape.median;
  // A pause makes the mean step long, a coarse clock the usual one.
  const steps = [usualStep(clock), medianStepOf(clock)];
  const stepMsIn = (unit: TimeUnit): number => Math.min(...steps) * unitSeconds[unit] * 1000;
  const units = plausibleUnits(medianStepOf(clock), null);
  const agreeing = units.find((unit) =>
    steps.some((step) => Math.abs((step * unitSeconds[unit] * 1000) / frameTimeMs - 1) <= 0.05),
  );
  if (agreeing !== undefined) {
    const grounds = `${agreeing}, as its steps are then the frames that ${shown(rate)} says`;
    context.notes.add(clock, null, true, grounds);
    return rateAgainst(rate, clock, agreeing, context);
  }
  // Ticks of a length of their own: in step with the rate from row to row, it says what they are worth.
  if (isInStep(rate, clock)) return rateAlone(context);
  // Rows closer together than the rate says are no samples of it.
  const sampled = isNameOfTicks(clock.words)
    ? undefined
    : units.find((unit) => stepMsIn(unit) > 3 * frameTimeMs);
  if (sampled !== undefined) return notPerFrame(rate, frameTimeMs, clock, stepMsIn(sampled));
  const unit = unitOfSteps(clock, context);
  return unit === null ? stepsOf(clock, context) : rateAgainst(rate, clock, unit, context);
}

/** Whether the clock's steps are as long as the frames that the rate says, in a unit of the clock's own. */
function isInStep(rate: HeadColumn, clock: HeadColumn): boolean {
  // Any unit would fit frames that all take as long.
  if (rate.shape.max <= 1.05 * rate.shape.min) return false;
  const agreement = compareWithClock(secondsOf(rate), 0, clock.clock, clock.precision);
  return agreement !== null && agreement.compared >= fewRows && agreement.rowShare >= 0.9;
}

/** Seconds of each frame by its rate. */
function secondsOf(rate: HeadColumn): Float64Array {
  return rate.values.map((value) => (value > 0 ? 1 / value : Number.NaN));
}

/** A frame rate beside a clock: the finer of the two where they agree, a question where they do not. */
function rateAgainst(rate: HeadColumn, clock: HeadColumn, unit: TimeUnit, context: Context): Decision {
  const inClockUnits = secondsOf(rate).map((seconds) => seconds / unitSeconds[unit]);
  const agreement = compareWithClock(inClockUnits, 0, clock.clock, clock.precision);
  const isTogether =
    agreement === null ||
    (agreement.rowShare >= 0.6 && Math.abs(agreement.ratio - 1) <= 0.05) ||
    Math.abs(agreement.sumRatio * agreement.ratio - 1) <= 0.05 + (2 * clock.precision) / spanOf(clock);
  if (!isTogether) {
    return unclear("clock-disagrees", [
      candidate(rate, "fps", false, ["its name speaks of a frame rate"]),
      candidate(clock, unit, true, ["its steps are times between rows"]),
    ]);
  }
  return isTooCoarse(clock) ? rateAlone(context) : stepsOf(clock, context, unit);
}

/** From the first reading to the last one, in the clock's unit. */
function spanOf({ shape }: HeadColumn): number {
  return shape.max - shape.min;
}

/** It stands still from one row to the next too often to tell frames apart, or a frame is about one step of it. */
function isTooCoarse(clock: HeadColumn): boolean {
  return clock.shape.count >= standingRows && (shareStanding(clock) > standingShare || fineness(clock) > 0.5);
}

function notPerFrame(column: HeadColumn, frameTimeMs: number, clock: HeadColumn, stepMs: number): Decision {
  return {
    fault: {
      code: "log-not-per-frame",
      column: columnLabel(column),
      frameTimeMs,
      clock: columnLabel(clock),
      stepMs,
    },
  };
}

/** Frame times are a clock's steps. */
export function stepsOf(
  clock: HeadColumn,
  context: Context,
  unit: TimeUnit | null = unitOfSteps(clock, context),
): Decision {
  const rivals = context.clocks.filter((other) => clockDiffers(clock, other, context));
  if (rivals.length > 0) {
    return unclear(
      "columns-fit-alike",
      [clock, ...rivals].map((c) =>
        candidate(c, unitOfSteps(c, context) ?? "s", true, ["its steps are times between rows"]),
      ),
    );
  }
  const median = medianStepOf(clock);
  if (!(median > 0)) return { fault: { code: "log-without-frames", rows: clock.clock.length } };
  if (unit === null) {
    const options = plausibleUnits(median, null);
    if (options.length === 0) return {};
    return unclear(
      "unit-unknown",
      options.map((u) => candidate(clock, u, true, ["no unit is stated", `its steps make sense in ${u}`])),
    );
  }
  if (clock.kind === "number" && plausibleUnits(median, unit).length === 0) {
    const isStated = context.statedClockUnit(clock) !== null;
    const doubt = isStated ? [] : [`but as dates its readings count in ${unit}`];
    return unclear("unit-against-values", [
      ...(isStated ? [candidate(clock, unit, true, [`its name says ${unit}`])] : []),
      ...plausibleUnits(median, null).map((u) =>
        candidate(clock, u, true, [`its steps make sense in ${u}`, ...doubt]),
      ),
    ]);
  }
  if (isTooCoarse(clock)) {
    const standingPct = 100 * shareStanding(clock);
    const stepMs = clock.precision * unitSeconds[unit] * 1000;
    return { fault: { code: "log-clock-too-coarse", column: columnLabel(clock), standingPct, stepMs } };
  }
  const doubt = doubtAboutSteps(clock, unit, context);
  if (doubt !== null) return unclear("words-too-weak", [candidate(clock, unit, true, [doubt])]);
  context.notes.add(clock, null, true, `no column of durations: frame times are its steps, in ${unit}`);
  const unitS = unitSeconds[unit];
  return {
    frameTime: { index: clock.index, how: "steps", unit, unitS },
    clock: { index: clock.index, unit, unitS, lag: 0, precisionS: clock.precision * unitS },
  };
}

/** Why a clock's steps may be no frames, where they are all that a log has; null where nothing says so. */
function doubtAboutSteps(clock: HeadColumn, unit: TimeUnit, context: Context): string | null {
  const { columns, counters, rates } = context;
  const { words, shape, timeUnit, precision } = clock;
  if (shape.count < fewRows) return null;
  const stepMs = medianStepOf(clock) * unitSeconds[unit] * 1000;
  const isNamedDuration =
    weighDurationName(words, timeUnit !== null).weight >= 2 &&
    !isClockName(words.filter((word) => word !== "time"));
  const isEven = stepsBetween(clock).every((step) => !(Math.abs(step - shape.medianStep) > precision));
  const isFast = stepMs <= 1000 / fastestFps;
  if (isNamedDuration && (isFast || isEven) && plausibleUnits(shape.median, unit).length > 0)
    return "its name speaks of a frame's time, and its values only rise, as in a table of frame times by size";
  if ((isFast && isEven && !isClockName(words)) || columns.some((column) => isNameOfSummary(column.words)))
    return "its values are levels, as in a table of frames by their times, and no readings";

  const speaksOfFrames = [clock, ...counters].some((column) =>
    column.words.some((word) => word === "frame" || word === "frames"),
  );
  // Moments of which nothing is told are no samples.
  const mayBeSamples = columns.some(
    (column) => column !== clock && !counters.includes(column) && column.shape.max > column.shape.min,
  );
  if (!mayBeSamples || rates.length > 0 || speaksOfFrames) return null;
  const hasSensors = columns.some(({ otherUnit, shape: { max, min } }) => otherUnit !== null && max > min);
  const meanMs = usualStep(clock) * unitSeconds[unit] * 1000;
  return stepMs > sampledFromMs || (hasSensors && isTimer(clock, meanMs))
    ? `its rows lie ${round3(stepMs)} ms apart, as those of sensors that are read at intervals`
    : null;
}

/** Rows this far apart at an even pace are hardly frames, whatever sets the pace. Common practice, no source. */
const slowPaceMs = 40;
/** Programs look at sensors every so many milliseconds, screens hardly ever. Common practice, no source. */
const timerMs = 5;

/** Whether a program may have set itself to look so often. Its readings are early or late, and do not drift. */
function isTimer(clock: HeadColumn, meanMs: number): boolean {
  const { offs, step } = offPace(clock);
  const isEven = keepsPace({ offs, step });
  if (!isEven || meanMs >= slowPaceMs) return isEven;
  const ticks = meanMs / timerMs;
  const isRound = Math.abs(ticks - Math.round(ticks)) <= 0.005 * ticks;
  const between = offs.subarray(1).map((off, i) => off - (offs[i] as number));
  return isRound && rootMeanSquare(offs) <= 1.5 * rootMeanSquare(between) + clock.precision;
}

/** Whether no reading is half a step away from where an even pace would have it: frames drift apart from any pace. */
function keepsPace({ offs, step }: Pace): boolean {
  return offs.every((off) => Math.abs(off) < 0.5 * step);
}

interface Pace {
  /** In the clock's unit. */
  readonly offs: Float64Array;
  readonly step: number;
}

/** How far each reading lies from an even pace between the first and the last one. */
function offPace({ clock }: HeadColumn): Pace {
  const known = clock.filter((value) => !Number.isNaN(value));
  const first = known[0] ?? Number.NaN;
  const step = ((known.at(-1) ?? Number.NaN) - first) / (known.length - 1);
  return { offs: known.map((value, i) => value - first - i * step), step };
}

function rootMeanSquare(values: Float64Array): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}

/** Whether two clocks tell different frame times, with no name that settles it. */
function clockDiffers(best: HeadColumn, other: HeadColumn, context: Context): boolean {
  if (clockWeight(other) <= clockWeight(best) - 1) return false;
  // Both ways round: the start and the end of the same frames are one row apart.
  return [[best, other] as const, [other, best] as const].every(([a, b]) => {
    const agreement = compareWithClock(stepsBetween(a), 2 * a.precision, b.clock, b.precision);
    if (agreement === null || agreement.compared === 0) return false;
    if (!agreement.ratioIsUnit) return context.statedClockUnit(b) !== null || b.name === null;
    return agreement.rowShare < 0.9;
  });
}

/** A clock's steps as durations; NaN for the first row. */
function stepsBetween({ clock }: HeadColumn): Float64Array {
  return clock.map((value, i) => value - (clock[i - 1] ?? Number.NaN));
}

/** The finest clock among the best named whose unit can be told. */
export function bestClock(context: Context): HeadColumn | null {
  const sorted = [...context.clocks].sort((a, b) => {
    const byName = clockWeight(b) - clockWeight(a);
    const isAsFine = fineness(a) < 2 * fineness(b) && fineness(b) < 2 * fineness(a);
    return Math.abs(byName) >= 1 || isAsFine ? byName : fineness(a) - fineness(b);
  });
  return sorted[0] ?? null;
}

/**
 * Whether a number only grows as a clock does: a distance or a score, whose name says nothing of time. Readings at an
 * even pace may still be a clock's, under a word that is not known here.
 */
export function onlyGrows(column: HeadColumn): boolean {
  const { kind, words, timeUnit } = column;
  const isOfTime =
    isClockName(words) || isNameOfTicks(words) || timeUnit !== null || epochUnit(column) !== null;
  return kind === "number" && words.length > 0 && !isOfTime && !keepsPace(offPace(column));
}

/** Whether it tells one frame from the next, or enough of them together. */
export function canContradict(clock: HeadColumn, context: Context): boolean {
  if (fineness(clock) <= 1) return true;
  return context.durations.some(
    (duration) =>
      duration.fit?.clock === clock &&
      (duration.fit.agreement.compared >= 10 || isMuchLonger(clock, duration, context)),
  );
}

/** Whether a clock, however coarse, went on for far longer than all the durations; a pause is one step of it. */
function isMuchLonger(clock: HeadColumn, { column }: Duration, context: Context): boolean {
  const unit = unitOfSteps(clock, context);
  const rises = Math.round(clock.shape.risingShare * (clock.shape.count - 1));
  if (unit === null || column.timeUnit === null || rises < fewestRises) return false;
  const sum = column.values.reduce((total, value) => (value > 0 ? total + value : total), 0);
  const leastS = (rises - 1) * resolutionOf(clock) * unitSeconds[unit];
  return leastS > 2 * sum * unitSeconds[column.timeUnit];
}

/** Of fewer steps of a coarse clock the first and the last one make up too much. */
const fewestRises = 5;

/** How much a clock's name speaks for its being the frames' own. */
function clockWeight({ words, timeUnit, kind }: HeadColumn): number {
  const { partOfFrame } = weighDurationName(words, timeUnit !== null);
  return (
    (isClockName(words) || kind === "moment" ? 1 : 0) + (timeUnit === null ? 0 : 0.5) - (partOfFrame ? 1 : 0)
  );
}

/** The smallest step that a clock can show, as a share of its usual step. */
function fineness(clock: HeadColumn): number {
  return resolutionOf(clock) / usualStep(clock);
}

function usualStep(clock: HeadColumn): number {
  const steps = stepsBetween(clock).filter((step) => step >= 0);
  return steps.reduce((sum, step) => sum + step, 0) / steps.length;
}

export function unitOfSteps(clock: HeadColumn, { statedClockUnit }: Context): TimeUnit | null {
  const stated = statedClockUnit(clock) ?? epochUnit(clock);
  if (stated !== null) return stated;
  const units = plausibleUnits(medianStepOf(clock), null);
  const [only, ...others] = units;
  if (only === undefined || others.length > 0 || isNameOfTicks(clock.words)) return null;
  // Below 30 FPS a count of ticks of its own length is as likely as whole microseconds.
  return clock.shape.whole && only !== "ms" && medianStepOf(clock) * unitSeconds[only] > 1 / 30 ? null : only;
}

function medianStepOf(clock: HeadColumn): number {
  return takeMedian(stepsBetween(clock).filter((step) => step > 0));
}
