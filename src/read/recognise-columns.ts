import type { FrameTimeCandidate, LogFinding } from "../shared/problem.ts";
import { type Agreement, compareWithClock } from "./compare-with-clock.ts";
import { type HeadColumn, medianOf } from "./head-columns.ts";
import type { ColumnReading, Evidence, FrameTimeUnit, LogSettings } from "./log.ts";
import { type TimeUnit, unitSeconds } from "./units.ts";
import {
  isClockName,
  isCounterName,
  type NameWeight,
  weighDurationName,
  weighRateName,
} from "./weigh-words.ts";

type Standard = "s" | "ms" | "us" | "ns";
const standardUnits: readonly Standard[] = ["s", "ms", "us", "ns"];

/** Where the frame times come from. */
export interface FrameTimeChoice {
  readonly index: number;
  /** A column of durations, the steps of a clock, or a column of instantaneous frame rates. */
  readonly how: "duration" | "steps" | "rate";
  readonly unit: FrameTimeUnit | "ticks";
  /** Seconds in one unit; 1 for a rate. */
  readonly unitS: number;
}

/** The clock that the frame times are checked against. */
export interface ClockChoice {
  readonly index: number;
  readonly unit: Standard | "ticks";
  readonly unitS: number;
  /** 0: a row's clock is the end of its frame; 1: its start. */
  readonly lag: 0 | 1;
  readonly precisionS: number;
}

/** What the head of a log says about its columns. */
export interface Recognition {
  readonly frameTime: FrameTimeChoice | null;
  readonly clock: ClockChoice | null;
  /** A column with the date, for the capture's start. */
  readonly wallClock: { readonly index: number; readonly unitS: number } | null;
  readonly counter: number | null;
  /** Why there is no frame time; the average FPS of the candidates is still to be filled in. */
  readonly fault: LogFinding | null;
  readonly columns: readonly ColumnReading[];
}

/** Candidates of a question: each is read once over to say what it would give. */
const mostCandidates = 8;
/** Frame times outside these are not ordinary: 5,000 FPS and 1 FPS. */
const shortestS = 0.0002;
const longestS = 1;
/** With a unit in the name, more is believed. */
const shortestStatedS = 0.00005;
const longestStatedS = 5;
/** An average rate beside rows this far apart: a log of samples. */
const sampledFromMs = 90;
/** Below this many rows the way the numbers go on says little. */
const fewRows = 20;

interface Fit {
  readonly clock: HeadColumn;
  readonly agreement: Agreement;
  readonly grade: "rows" | "most" | "sum" | "none";
}

interface Duration {
  readonly column: HeadColumn;
  readonly name: NameWeight;
  readonly fit: Fit | null;
}

/** Decides which columns are frame time, clock and counter, and in which units, or why that cannot be told. */
export function recogniseColumns(columns: readonly HeadColumn[], settings: LogSettings): Recognition {
  const notes = new Notes(columns);
  const counters = columns.filter((column) => isCounter(column));
  const rising = columns.filter((column) => !counters.includes(column) && isClock(column, columns));
  const clocks = rising.filter((column) => !areDurationsByChance(column, rising));
  const clockSetting = settings.clock === undefined ? null : findColumn(columns, settings.clock.column);
  if (clockSetting !== null && typeof clockSetting === "object")
    return failed(clockSetting.fault("clock"), notes);
  const usableClocks = clockSetting === null ? clocks : columns.filter(({ index }) => index === clockSetting);
  const statedClockUnit = (clock: HeadColumn): TimeUnit | null =>
    clock.index === clockSetting ? (settings.clock?.unit ?? clock.timeUnit) : clock.timeUnit;

  for (const column of counters)
    notes.add(column, "counter", true, "whole numbers that go up by one from row to row");
  for (const column of clocks) {
    notes.add(
      column,
      "clock",
      true,
      column.kind === "moment" ? "dates or times that never go back" : "numbers that never go back",
    );
  }
  const rates = columns.filter((column) => isRate(column));
  for (const column of rates) {
    notes.add(column, "frame-rate", true, "the name speaks of a frame rate");
    notes.setRole(column, "frame-rate", "FPS");
    if (weighRateName(column.words).derived)
      notes.add(column, null, false, "an average or a limit, not one frame's rate");
  }

  const weighed: Duration[] = [];
  for (const column of columns) {
    if (
      column.kind !== "number" ||
      counters.includes(column) ||
      clocks.includes(column) ||
      rates.includes(column)
    )
      continue;
    const name = weighDurationName(column.words, column.timeUnit !== null);
    if (!couldBeDuration(column, name)) continue;
    const fit = bestFit(column, usableClocks, statedClockUnit);
    notes.add(column, null, name.weight > 0 && !name.derived, name.text);
    if (fit !== null) notes.add(column, null, fit.grade !== "none", describeFit(fit));
    weighed.push({ column, name, fit });
  }
  // A sum or an average that equals the clock's step in row after row is neither.
  const durations = weighed.filter(
    ({ column, name, fit }) =>
      !name.derived || (fit?.grade === "rows" && column.shape.max > 1.05 * column.shape.min),
  );
  const context: Context = {
    columns,
    notes,
    counters,
    clocks: usableClocks,
    durations,
    averages: weighed.filter((duration) => !durations.includes(duration)),
    rates,
    statedClockUnit,
  };

  if (settings.frameTime !== undefined) return choose(bySetting(settings.frameTime, context), context);
  return choose(byEvidence(context), context);
}

interface Context {
  readonly columns: readonly HeadColumn[];
  readonly notes: Notes;
  readonly counters: readonly HeadColumn[];
  readonly clocks: readonly HeadColumn[];
  readonly durations: readonly Duration[];
  /** Durations made from many frames, by their names. */
  readonly averages: readonly Duration[];
  readonly rates: readonly HeadColumn[];
  readonly statedClockUnit: (clock: HeadColumn) => TimeUnit | null;
}

interface Decision {
  readonly frameTime?: FrameTimeChoice;
  readonly clock?: ClockChoice | null;
  readonly fault?: LogFinding;
}

function choose(decision: Decision, context: Context): Recognition {
  const { columns, notes } = context;
  const { frameTime, clock } = decision;
  if (frameTime === undefined) {
    return failed(decision.fault ?? { code: "log-no-frame-time", columns: columns.map(columnLabel) }, notes);
  }
  const column = columns[frameTime.index];
  if (column !== undefined) notes.setRole(column, "frame-time", frameTime.unit);
  const clockColumn = clock == null ? undefined : columns[clock.index];
  if (clockColumn !== undefined && clockColumn !== column)
    notes.setRole(clockColumn, "clock", clock?.unit ?? null);
  const wall =
    columns.find((candidate) => candidate.dated) ??
    columns.find((candidate) => epochUnit(candidate) !== null);
  return {
    frameTime,
    clock: clock ?? null,
    wallClock:
      wall === undefined
        ? null
        : { index: wall.index, unitS: unitSeconds[wall.dated ? "s" : (epochUnit(wall) ?? "s")] },
    counter: context.counters[0]?.index ?? null,
    fault: null,
    columns: notes.readings(),
  };
}

function failed(fault: LogFinding, notes: Notes): Recognition {
  return { frameTime: null, clock: null, wallClock: null, counter: null, fault, columns: notes.readings() };
}

// ---- shapes ----

function isCounter({ kind, shape, words, timeUnit, name, otherUnit }: HeadColumn): boolean {
  // Watts and degrees may happen to go up by one.
  if (otherUnit !== null) return false;
  if (kind !== "number" || !shape.whole || shape.count < 2) return false;
  if (timeUnit !== null && shape.stepOneShare < 1) return false;
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

function isClock(column: HeadColumn, all: readonly HeadColumn[]): boolean {
  const { kind, shape, words, timeUnit, otherUnit } = column;
  if (kind !== "number" && kind !== "moment") return false;
  if (shape.count === 1)
    return kind === "moment" || (isClockName(words) && weighDurationName(words, true).weight < 2);
  if (shape.count < 2 || shape.risingShare === 0) return false;
  const allowedBack = shape.count < fewRows ? 0.34 : 0.02;
  if (shape.fallingShare > allowedBack) return false;
  if (kind === "moment") return true;
  const name = weighDurationName(words, timeUnit !== null);
  if (timeUnit === null && (otherUnit !== null || weighRateName(words).isRate)) return false;
  const named = isClockName(words);
  if (name.otherQuantity && !named) return false;
  const speaksOfClock = /elapsed|stamp|epoch|clock|since|start/.test(words.join(" "));
  if (shape.count >= fewRows) {
    if (shape.risingShare >= 0.9) return true;
    // A coarse clock stands still in most rows; frame times that are nearly constant do too, but fall as often as rise.
    return named && shape.risingShare >= 10 * shape.fallingShare && (speaksOfClock || name.weight < 3);
  }
  if (shape.fallingShare > 0 && !named) return false;
  // A few durations can rise by chance: a name that speaks of a frame's time is believed before them.
  const plausible = plausibleUnits(shape.median, timeUnit).length > 0;
  if (!speaksOfClock && (name.weight >= 3 || (name.weight >= 2 && plausible))) return false;
  // Without such a name they rise by little, where a clock rises by whole frames.
  const levelLike = shape.medianStep < 0.3 * shape.median && shape.max < 3 * shape.min;
  if (levelLike && plausible && (name.weight >= 1 || !named)) {
    return all.length > 1 && name.weight < 2 && speaksOfClock;
  }
  return true;
}

/** In a few rows durations may happen to rise; then they are still the steps of a clock beside them. */
function areDurationsByChance(column: HeadColumn, clocks: readonly HeadColumn[]): boolean {
  const { shape, kind, timeUnit, words } = column;
  if (shape.count >= fewRows || kind !== "number" || isClockName(words)) return false;
  if (plausibleUnits(shape.median, timeUnit).length === 0) return false;
  return clocks.some((clock) => {
    if (clock === column) return false;
    const agreement = compareWithClock(column.values, column.precision, clock.clock, clock.precision);
    return agreement?.ratioIsUnit === true && agreement.compared > 0 && agreement.rowShare === 1;
  });
}

function isRate({ kind, shape, words, otherUnit, timeUnit }: HeadColumn): boolean {
  if (kind !== "number" || !(shape.median > 0)) return false;
  if (timeUnit !== null && timeUnit !== "s") return false;
  return weighRateName(words).isRate || otherUnit === "FPS";
}

function couldBeDuration({ shape, words, timeUnit, otherUnit }: HeadColumn, name: NameWeight): boolean {
  if (!(shape.median > 0) || name.otherQuantity) return false;
  if (timeUnit !== null) return true;
  // A running number that does not run, as in a log put together from pieces.
  if (shape.whole && isCounterName(words) && name.weight < 1) return false;
  if (otherUnit !== null) return false;
  return plausibleUnits(shape.median, null).length > 0 || name.weight >= 2;
}

/** Units in which a usual frame time of `median` makes sense. */
function plausibleUnits(median: number, stated: TimeUnit | null): Standard[] {
  if (stated !== null && stated !== "min") {
    const seconds = median * unitSeconds[stated];
    return seconds >= shortestStatedS && seconds <= longestStatedS ? [stated] : [];
  }
  return standardUnits.filter((unit) => {
    const seconds = median * unitSeconds[unit];
    return seconds >= shortestS && seconds <= longestS;
  });
}

/** The unit in which a clock counts from 1970, by the size of its readings (the years 2000 to 2100). */
export function epochUnit({ kind, clockBase, words, timeUnit }: HeadColumn): Standard | null {
  if (kind !== "number") return null;
  const unit = standardUnits.find((candidate) => {
    const seconds = clockBase * unitSeconds[candidate];
    return seconds >= 946_684_800 && seconds <= 4_102_444_800;
  });
  if (unit === undefined || (timeUnit !== null && timeUnit !== unit)) return null;
  // An uptime in nanoseconds can be as large as a date in microseconds; the name must not say otherwise.
  return words.some((word) => ["uptime", "elapsed", "boot", "ticks", "counter"].includes(word)) ? null : unit;
}

// ---- evidence ----

function bestFit(
  column: HeadColumn,
  clocks: readonly HeadColumn[],
  unitOf: (clock: HeadColumn) => TimeUnit | null,
): Fit | null {
  const order = ["none", "sum", "most", "rows"];
  let best: Fit | null = null;
  for (const clock of clocks) {
    const agreement = compareWithClock(column.values, column.precision, clock.clock, clock.precision);
    if (agreement === null || agreement.compared === 0) continue;
    const grade = gradeOf(agreement, column, unitOf(clock));
    const better =
      best === null ||
      order.indexOf(grade) > order.indexOf(best.grade) ||
      (grade === best.grade && agreement.rowsTogether < best.agreement.rowsTogether) ||
      (grade === best.grade &&
        agreement.rowsTogether === best.agreement.rowsTogether &&
        agreement.rowShare > best.agreement.rowShare + 0.01);
    if (better) best = { clock, agreement, grade };
  }
  return best;
}

function gradeOf(agreement: Agreement, column: HeadColumn, clockUnit: TimeUnit | null): Fit["grade"] {
  const { rowShare, ratioIsUnit, sumRatio } = agreement;
  if (!ratioIsUnit) {
    // A clock in ticks of its own: any ratio would fit frames that all take as long.
    const varied = column.shape.max > 1.05 * column.shape.min;
    return clockUnit === null && varied && rowShare >= 0.95 && agreement.compared >= fewRows
      ? "rows"
      : "none";
  }
  if (rowShare >= 0.9) return "rows";
  if (rowShare >= 0.6) return "most";
  // A clock that is read a little early or late moves the whole span by a share of one frame.
  const slack = Math.max(0.01, Math.min(0.03, 1.5 / agreement.compared));
  return Math.abs(sumRatio - 1) <= slack ? "sum" : "none";
}

function describeFit({ clock, agreement, grade }: Fit): string {
  const share = `${Math.floor(agreement.rowShare * 1000) / 10}%`;
  const rows = agreement.rowsTogether > 1 ? `groups of ${agreement.rowsTogether} rows` : "rows";
  const where = `the steps of ${shown(clock)}`;
  if (grade === "rows" || grade === "most") {
    return `equals ${where} in ${share} of ${agreement.compared} ${rows}${agreement.lag === 1 ? ", one row later" : ""}`;
  }
  if (grade === "sum") return `adds up to the span of ${shown(clock)}, though single rows differ`;
  return `differs from ${where}: equal in ${share} of ${agreement.compared} ${rows}, ${round3(agreement.sumRatio)} times its span`;
}

function round3(value: number): number {
  return Number(value.toPrecision(3));
}

/** As a user would name the column. */
export function columnLabel({ label }: HeadColumn): string {
  return label;
}

/** The same in a sentence, where a name of a page would not help. */
function shown({ label }: HeadColumn): string {
  return label.length > 60 ? `${label.slice(0, 60)}…` : label;
}

/** Whether two columns say the same of nearly every row. */
function sameSeries(a: HeadColumn, aUnitS: number, b: HeadColumn, bUnitS: number): boolean {
  let same = 0;
  let count = 0;
  for (let i = 0; i < a.values.length; i++) {
    const left = (a.values[i] ?? Number.NaN) * aUnitS;
    const right = (b.values[i] ?? Number.NaN) * bUnitS;
    if (Number.isNaN(left + right)) continue;
    count++;
    if (Math.abs(left - right) <= 0.51 * (a.precision * aUnitS + b.precision * bUnitS) + 0.001 * left) same++;
  }
  return count > 0 && same >= 0.99 * count;
}

// ---- decisions ----

function byEvidence(context: Context): Decision {
  const { durations } = context;
  const graded = (grade: Fit["grade"]): Duration[] => durations.filter(({ fit }) => fit?.grade === grade);
  for (const agreeing of [
    graded("rows"),
    graded("most"),
    graded("sum").filter(({ name }) => name.weight >= 1),
  ]) {
    if (agreeing.length > 0) return pickAmong(agreeing, context);
  }
  const best = bestClock(context);
  // A clock too coarse for frames contradicts no column of durations.
  const clock = best !== null && (durations.length === 0 || canContradict(best, context)) ? best : null;
  const words =
    clock === null || durations.some(({ name }) => name.weight >= 1.5)
      ? null
      : wordsForNumbers(context, "text");
  if (words !== null) return { fault: words };
  if (clock !== null) return clockAgainst(clock, context);
  if (durations.length > 0) return withoutClock(durations, context);
  return rateAlone(context);
}

/** Several columns agree with a clock: the name decides, unless they say the same anyway. */
function pickAmong(agreeing: readonly Duration[], context: Context): Decision {
  const sorted = [...agreeing].sort(
    (a, b) =>
      b.name.weight - a.name.weight || (b.fit?.agreement.rowShare ?? 0) - (a.fit?.agreement.rowShare ?? 0),
  );
  const best = sorted[0];
  if (best === undefined) return {};
  const unitS = (duration: Duration): number => unitByClock(duration, context) ?? 1;
  const rivals = sorted.filter(
    (other) =>
      other !== best &&
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

/** The duration's unit in seconds by the clock's unit, null where the clock's is unknown. */
function unitByClock({ fit }: Duration, { statedClockUnit }: Context): number | null {
  if (fit === null || fit.grade === "none") return null;
  const unit = statedClockUnit(fit.clock) ?? epochUnit(fit.clock);
  return unit === null ? null : unitSeconds[unit] * fit.agreement.ratio;
}

/** Settles the unit of a chosen column of durations, or stops where words and evidence contradict each other. */
function inItsUnit(duration: Duration, context: Context): Decision {
  const { column, fit } = duration;
  const stated = column.timeUnit === "min" ? null : column.timeUnit;
  const byClockS = unitByClock(duration, context);
  const byClock =
    byClockS === null
      ? null
      : (standardUnits.find((u) => Math.abs(unitSeconds[u] / byClockS - 1) < 0.001) ?? null);
  if (stated !== null && byClock !== null && stated !== byClock) {
    context.notes.add(column, null, false, `the name says ${stated}, the clock says ${byClock}`);
    return unclear("unit-against-clock", [
      candidate(column, stated, false, [`its name says ${stated}`]),
      candidate(column, byClock, false, [
        `${shown(fit?.clock ?? column)} counts in ${unitName(context, fit)} and its steps say ${byClock}`,
      ]),
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
      byClock === null ? `the name says ${stated}` : `the name says ${stated}, and so does the clock`,
    );
    return durationIn(duration, stated, context);
  }
  if (byClock !== null) {
    context.notes.add(
      column,
      null,
      true,
      `${byClock}, as ${shown(fit?.clock ?? column)} counts in ${unitName(context, fit)}`,
    );
    return durationIn(duration, byClock, context);
  }
  if (couldBeRate(column, context)) {
    return unclear("unit-unknown", [
      candidate(column, "ms", false, ["nothing names it", "its values make sense in ms"]),
      candidate(column, "fps", false, ["nothing names it", "its values make sense as FPS"]),
    ]);
  }
  const [only, ...others] = plausible;
  if (only === undefined)
    return { fault: { code: "log-no-frame-time", columns: context.columns.map(columnLabel) } };
  if (others.length > 0) {
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

/** Numbers around 60 with neither name nor clock: milliseconds of a slow game, or the FPS of a fast one. */
function couldBeRate({ shape, words }: HeadColumn, { clocks }: Context): boolean {
  if (clocks.length > 0 || weighDurationName(words, false).weight > 0) return false;
  return shape.median < 1000 && shape.median >= (shape.whole ? 20 : 45);
}

function unitName({ statedClockUnit }: Context, fit: Fit | null): string {
  return fit === null ? "?" : (statedClockUnit(fit.clock) ?? epochUnit(fit.clock) ?? "?");
}

function durationIn({ column, fit }: Duration, unit: Standard, context: Context): Decision {
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
      unit: standardUnits.find((u) => Math.abs(unitSeconds[u] / clockUnitS - 1) < 0.001) ?? "ticks",
      unitS: clockUnitS,
      lag: agreement?.lag ?? 0,
      precisionS: clock.precision * clockUnitS,
    },
  };
}

/** No column of durations agrees with the clock. */
function clockAgainst(clock: HeadColumn, context: Context): Decision {
  const stepUnit = unitOfSteps(clock, context);
  const stepMs = stepUnit === null ? Number.NaN : usualStep(clock) * unitSeconds[stepUnit] * 1000;
  const named = context.durations.filter(({ name }) => name.weight >= 1.5);
  const best = [...named].sort((a, b) => b.name.weight - a.name.weight)[0];
  if (best !== undefined) {
    const unit = best.column.timeUnit ?? plausibleUnits(best.column.shape.median, null)[0] ?? "ms";
    const frameTimeMs = best.column.shape.median * unitSeconds[unit] * 1000;
    if (frameTimeMs * 3 < stepMs && plausibleUnits(best.column.shape.median, unit).length > 0) {
      return notPerFrame(best.column, frameTimeMs, clock, stepMs);
    }
    return unclear("clock-disagrees", [
      ...named.filter(({ name }) => name.weight > best.name.weight - 1).map((d) => asCandidate(d, context)),
      ...(stepUnit === null ? [] : [candidate(clock, stepUnit, true, ["its steps are times between rows"])]),
    ]);
  }
  const rate = context.rates.find(({ words }) => !weighRateName(words).derived) ?? context.rates[0];
  if (rate === undefined) return stepsOf(clock, context);
  const isInstant = !weighRateName(rate.words).derived;
  if ((stepMs > sampledFromMs || isInstant) && 1000 / rate.shape.median < stepMs / 3) {
    return notPerFrame(rate, 1000 / rate.shape.median, clock, stepMs);
  }
  return isInstant && stepUnit !== null
    ? rateAgainst(rate, clock, stepUnit, context)
    : stepsOf(clock, context);
}

/** A frame rate beside a clock: the finer of the two where they agree, a question where they do not. */
function rateAgainst(rate: HeadColumn, clock: HeadColumn, unit: Standard, context: Context): Decision {
  const secondsEach = rate.values.map((value) => (value > 0 ? 1 / value : Number.NaN));
  const inClockUnits = secondsEach.map((seconds) => seconds / unitSeconds[unit]);
  const agreement = compareWithClock(inClockUnits, 0, clock.clock, clock.precision);
  const isTogether =
    agreement === null ||
    agreement.rowShare >= 0.6 ||
    Math.abs(agreement.sumRatio * agreement.ratio - 1) <= 0.05;
  if (!isTogether) {
    return unclear("clock-disagrees", [
      candidate(rate, "fps", false, ["its name speaks of a frame rate"]),
      candidate(clock, unit, true, ["its steps are times between rows"]),
    ]);
  }
  return isTooCoarse(clock) ? rateAlone(context) : stepsOf(clock, context);
}

/** It stands still from one row to the next too often to tell frames apart. */
function isTooCoarse({ shape }: HeadColumn): boolean {
  return shape.count >= 8 && 1 - shape.risingShare - shape.fallingShare > 0.25;
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

function usualStep({ clock }: HeadColumn): number {
  const steps: number[] = [];
  for (let i = 1; i < clock.length; i++) {
    const step = (clock[i] ?? Number.NaN) - (clock[i - 1] ?? Number.NaN);
    if (step >= 0) steps.push(step);
  }
  return steps.reduce((sum, step) => sum + step, 0) / steps.length;
}

function unitOfSteps(clock: HeadColumn, { statedClockUnit }: Context): Standard | null {
  const stated = statedClockUnit(clock) ?? epochUnit(clock);
  if (stated !== null) return stated === "min" ? null : stated;
  const units = plausibleUnits(medianStepOf(clock), null);
  const [only, ...others] = units;
  if (only === undefined || others.length > 0 || countsTicks(clock)) return null;
  // Below 30 FPS a count of ticks of its own length is as likely as whole microseconds.
  return clock.shape.whole && only !== "ms" && medianStepOf(clock) * unitSeconds[only] > 1 / 30 ? null : only;
}

/** A counter of the machine's own, whose ticks have no length that all machines share. */
function countsTicks({ words }: HeadColumn): boolean {
  return words.some((word) => ["tick", "ticks", "counter", "cycles", "cycle"].includes(word));
}

function medianStepOf({ clock }: HeadColumn): number {
  const steps: number[] = [];
  for (let i = 1; i < clock.length; i++) {
    const step = (clock[i] ?? Number.NaN) - (clock[i - 1] ?? Number.NaN);
    if (step > 0) steps.push(step);
  }
  return medianOf(steps);
}

/** Frame times are a clock's steps. */
function stepsOf(clock: HeadColumn, context: Context): Decision {
  const rivals = context.clocks.filter((other) => other !== clock && clockDiffers(clock, other, context));
  if (rivals.length > 0) {
    return unclear(
      "columns-fit-alike",
      [clock, ...rivals].map((c) =>
        candidate(c, unitOfSteps(c, context) ?? "s", true, ["its steps are times between rows"]),
      ),
    );
  }
  const unit = unitOfSteps(clock, context);
  const median = medianStepOf(clock);
  if (!(median > 0)) return { fault: { code: "log-without-frames", rows: clock.clock.length } };
  if (unit === null) {
    const options = plausibleUnits(median, null);
    if (options.length === 0)
      return { fault: { code: "log-no-frame-time", columns: context.columns.map(columnLabel) } };
    return unclear(
      "unit-unknown",
      options.map((u) => candidate(clock, u, true, ["no unit is stated", `its steps make sense in ${u}`])),
    );
  }
  if (clock.kind === "number" && plausibleUnits(median, unit).length === 0) {
    return unclear("unit-against-values", [
      candidate(clock, unit, true, [`its name says ${unit}`]),
      ...plausibleUnits(median, null).map((u) => candidate(clock, u, true, [`its steps make sense in ${u}`])),
    ]);
  }
  if (isTooCoarse(clock)) {
    const standingPct = 100 * (1 - clock.shape.risingShare - clock.shape.fallingShare);
    return { fault: { code: "log-clock-too-coarse", column: columnLabel(clock), standingPct } };
  }
  context.notes.add(clock, null, true, `no column of durations: frame times are its steps, in ${unit}`);
  const unitS = unitSeconds[unit];
  return {
    frameTime: { index: clock.index, how: "steps", unit, unitS },
    clock: { index: clock.index, unit, unitS, lag: 0, precisionS: clock.precision * unitS },
  };
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
  return Float64Array.from(clock, (value, i) =>
    i === 0 ? Number.NaN : value - (clock[i - 1] ?? Number.NaN),
  );
}

/** How much a clock's name speaks for its being the frames' own. */
function clockWeight({ words, timeUnit, kind }: HeadColumn): number {
  const name = weighDurationName(words, false);
  const partOfFrame = name.text.includes("part of the frame");
  return (
    (isClockName(words) || kind === "moment" ? 1 : 0) + (timeUnit === null ? 0 : 0.5) - (partOfFrame ? 1 : 0)
  );
}

/** The finest clock among the best named whose unit can be told. */
function bestClock(context: Context): HeadColumn | null {
  const sorted = [...context.clocks].sort((a, b) => {
    const byName = clockWeight(b) - clockWeight(a);
    const isAsFine = fineness(a) < 2 * fineness(b) && fineness(b) < 2 * fineness(a);
    return Math.abs(byName) >= 1 || isAsFine ? byName : fineness(a) - fineness(b);
  });
  return sorted[0] ?? null;
}

/** Whether it tells one frame from the next, or enough of them together. */
function canContradict(clock: HeadColumn, context: Context): boolean {
  if (fineness(clock) <= 1) return true;
  return context.durations.some(({ fit }) => fit?.clock === clock && fit.agreement.compared >= 10);
}

/** The smallest step that a clock can show, as a share of its usual step. */
function fineness(clock: HeadColumn): number {
  return clock.precision / usualStep(clock);
}

/** No clock at all: names and plausible values decide. */
function withoutClock(durations: readonly Duration[], context: Context): Decision {
  const sorted = [...durations].sort((a, b) => b.name.weight - a.name.weight);
  const best = sorted[0];
  if (best === undefined) return {};
  const rivals = sorted.filter((other) => {
    if (other === best || other.name.weight <= best.name.weight - 1) return false;
    const aUnit = best.column.timeUnit ?? plausibleUnits(best.column.shape.median, null)[0] ?? "ms";
    const bUnit = other.column.timeUnit ?? plausibleUnits(other.column.shape.median, null)[0] ?? "ms";
    return !sameSeries(best.column, unitSeconds[aUnit], other.column, unitSeconds[bUnit]);
  });
  const rate = context.rates.find(({ words }) => !weighRateName(words).derived);
  if (rivals.length > 0) {
    const byRate =
      rate === undefined ? [] : [best, ...rivals].filter(({ column }) => isInverseOf(column, rate));
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
  if (best.name.weight <= 0 && (best.column.words.length > 0 || context.columns.length > 1)) {
    const says = best.name.text.includes("part of the frame");
    if (rate !== undefined && !isInverseOf(best.column, rate)) return rateAlone(context);
    if (says) return unclear("words-too-weak", [asCandidate(best, context)]);
  }
  context.notes.add(
    best.column,
    null,
    true,
    "no clock to compare with: the name and plausible values decide",
  );
  return inItsUnit(best, context);
}

function isInverseOf({ values, precision }: HeadColumn, rate: HeadColumn): boolean {
  for (const perSecond of [1, 1e3, 1e6, 1e9]) {
    let same = 0;
    let count = 0;
    for (let i = 0; i < values.length; i++) {
      const expected = perSecond / (rate.values[i] ?? Number.NaN);
      const value = values[i] ?? Number.NaN;
      if (Number.isNaN(expected + value)) continue;
      count++;
      const printed = precision + (rate.precision * expected * expected) / perSecond;
      if (Math.abs(value - expected) <= printed + 0.001 * expected) same++;
    }
    if (count > 0 && same >= 0.9 * count) return true;
  }
  return false;
}

const averageWords = "its name speaks of an average or a limit, not of single frames";

function rateAlone(context: Context): Decision {
  const rates = context.rates.filter(({ words }) => !weighRateName(words).derived);
  const [rate, ...others] = rates;
  if (rate === undefined) {
    const words = wordsForNumbers(context, "text") ?? wordsForNumbers(context, "empty");
    if (words !== null) return { fault: words };
    const averages = [
      ...context.averages.map((average) => asCandidate(average, context)),
      ...context.rates.map((average) => candidate(average, "fps", false, [averageWords])),
    ];
    return averages.length > 0 ? unclear("words-too-weak", averages) : {};
  }
  if (others.some((other) => !sameSeries(rate, 1, other, 1))) {
    return unclear(
      "columns-fit-alike",
      rates.map((r) => candidate(r, "fps", false, ["its name speaks of a frame rate"])),
    );
  }
  context.notes.add(rate, null, true, "no column of durations and no clock: frame times are 1000 / FPS");
  return { frameTime: { index: rate.index, how: "rate", unit: "fps", unitS: 1 }, clock: null };
}

/** A column named like a frame time that holds words. */
function wordsForNumbers({ columns }: Context, as: "text" | "empty"): LogFinding | null {
  const named = columns
    .filter(({ kind }) => kind === as)
    .map((column) => ({ column, weight: weighDurationName(column.words, column.timeUnit !== null).weight }))
    .sort((a, b) => b.weight - a.weight)[0];
  if (named === undefined || named.weight < 2) return null;
  const { column } = named;
  const found = [...column.texts.keys()][0] ?? "";
  return {
    code: "log-words-for-numbers",
    name: columnLabel(column),
    position: column.index + 1,
    found,
    unit: column.timeUnit,
  };
}

function bySetting(setting: NonNullable<LogSettings["frameTime"]>, context: Context): Decision {
  const found = findColumn(context.columns, setting.column);
  if (typeof found === "object") return { fault: found.fault("frame-time") };
  const column = context.columns[found];
  if (column === undefined) return {};
  if (column.kind !== "number" && column.kind !== "moment") {
    const text = [...column.texts.keys()][0] ?? "";
    return {
      fault: {
        code: "log-words-for-numbers",
        name: columnLabel(column),
        position: found + 1,
        found: text,
        unit: setting.unit ?? null,
      },
    };
  }
  context.notes.add(column, null, true, "the session says so");
  const isRateSetting =
    setting.unit === "fps" || (setting.unit === undefined && context.rates.includes(column));
  if (isRateSetting) return { frameTime: { index: found, how: "rate", unit: "fps", unitS: 1 }, clock: null };
  const unit = setting.unit;
  if (context.clocks.includes(column) || column.kind === "moment") {
    const stepUnit = unit ?? unitOfSteps(column, context);
    if (stepUnit === null) return stepsOf(column, context);
    const unitS = column.kind === "moment" ? 1 : unitSeconds[stepUnit];
    return {
      frameTime: { index: found, how: "steps", unit: column.kind === "moment" ? "s" : stepUnit, unitS },
      clock: { index: found, unit: stepUnit, unitS, lag: 0, precisionS: column.precision * unitS },
    };
  }
  const known = context.durations.find((duration) => duration.column === column);
  const duration: Duration = known ?? {
    column,
    name: weighDurationName(column.words, column.timeUnit !== null),
    fit: bestFit(column, context.clocks, context.statedClockUnit),
  };
  if (unit === undefined) return inItsUnit(duration, context);
  // With the unit given, the clock's own word about it no longer counts, its stated unit still does.
  const agrees =
    duration.fit !== null && (unitByClock(duration, context) ?? unitSeconds[unit]) === unitSeconds[unit];
  return durationIn(agrees ? duration : { ...duration, fit: null }, unit, context);
}

// ---- candidates ----

function asCandidate(duration: Duration, context: Context): FrameTimeCandidate {
  const { column, name, fit } = duration;
  const byClockS = unitByClock(duration, context);
  const byClock = standardUnits.find(
    (u) => byClockS !== null && Math.abs(unitSeconds[u] / byClockS - 1) < 0.001,
  );
  const stated = column.timeUnit === "min" ? null : column.timeUnit;
  const unit = stated ?? byClock ?? plausibleUnits(column.shape.median, null)[0] ?? "ms";
  return candidate(column, unit, false, [name.text, ...(fit === null ? [] : [describeFit(fit)])]);
}

function candidate(
  column: HeadColumn,
  unit: FrameTimeCandidate["unit"],
  isClock: boolean,
  grounds: readonly string[],
): FrameTimeCandidate {
  return { column: columnLabel(column), position: column.index + 1, unit, isClock, avgFps: null, grounds };
}

function unclear(
  why: Extract<LogFinding, { code: "log-frame-time-unclear" }>["why"],
  candidates: readonly FrameTimeCandidate[],
): Decision {
  return { fault: { code: "log-frame-time-unclear", why, candidates: candidates.slice(0, mostCandidates) } };
}

/** The index of the column that a setting names, or how it fails to. */
export function findColumn(
  columns: readonly HeadColumn[],
  wanted: string,
): number | { readonly fault: (key: string) => LogFinding } {
  const spelling = (text: string): string => text.trim().toLowerCase();
  for (const matches of [
    columns.filter(({ name }) => name === wanted),
    columns.filter(({ name }) => name !== null && spelling(name) === spelling(wanted)),
  ]) {
    const [only, ...others] = matches;
    if (only === undefined) continue;
    if (others.length === 0) return only.index;
    const positions = matches.map(({ index }) => index + 1);
    return { fault: (key) => ({ code: "log-column-twice", key, wanted, positions }) };
  }
  const position = /^#?(\d{1,4})$/.exec(wanted.trim())?.[1];
  const byPosition = position === undefined ? undefined : columns[Number(position) - 1];
  if (byPosition !== undefined) return byPosition.index;
  return { fault: (key) => ({ code: "log-column-missing", key, wanted, columns: columns.map(columnLabel) }) };
}

/** Collects roles and evidence per column while the decision is made. */
class Notes {
  private readonly drafts: {
    column: HeadColumn;
    role: ColumnReading["role"];
    unit: string | null;
    evidence: Evidence[];
  }[];

  constructor(columns: readonly HeadColumn[]) {
    this.drafts = columns.map((column) => ({
      column,
      role: "not-used",
      unit: column.timeUnit ?? column.otherUnit,
      evidence: [],
    }));
  }

  add(column: HeadColumn, role: ColumnReading["role"] | null, favours: boolean, text: string): void {
    const draft = this.drafts[column.index];
    if (draft === undefined) return;
    if (role !== null) draft.role = role;
    draft.evidence.push({ favours, text });
  }

  setRole(column: HeadColumn, role: ColumnReading["role"], unit: string | null): void {
    const draft = this.drafts[column.index];
    if (draft !== undefined) Object.assign(draft, { role, unit: unit ?? draft.unit });
  }

  readings(): ColumnReading[] {
    return this.drafts.map(({ column, role, unit, evidence }) => ({
      position: column.index + 1,
      name: column.name,
      role,
      sensor: null,
      unit,
      evidence,
    }));
  }
}
