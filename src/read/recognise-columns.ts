import type { LogFinding } from "../shared/problem.ts";
import { type Context, type Decision, type Duration, ratesOfFrames, unitByClock } from "./column-evidence.ts";
import { ColumnNotes } from "./column-notes.ts";
import {
  areDurationsByChance,
  couldBeDuration,
  epochUnit,
  findWholeOf,
  isClock,
  isCounter,
  isRate,
} from "./column-shapes.ts";
import { isInverseOf } from "./compare-series.ts";
import {
  bestClock,
  canContradict,
  clockAgainst,
  onlyGrows,
  stepsOf,
  unitOfSteps,
} from "./decide-by-clock.ts";
import { durationIn, inItsUnit, pickAmong, withoutClock } from "./decide-by-durations.ts";
import { rateAlone, wordsForNumbers } from "./decide-by-rate.ts";
import { coarseShare } from "./find-coarse-times.ts";
import { columnLabel, findColumn } from "./find-column.ts";
import { bestFit, describeFit, type Fit } from "./fit-clock.ts";
import type { HeadColumn } from "./head-columns.ts";
import type { LogSettings } from "./log.ts";
import type { Recognition } from "./recognition.ts";
import { type TimeUnit, unitSeconds } from "./units.ts";
import { weighDurationName, weighRateName } from "./weigh-words.ts";

/** Decides which columns are frame time, clock and counter, and in which units, or why that cannot be told. */
export function recogniseColumns(columns: readonly HeadColumn[], settings: LogSettings): Recognition {
  const notes = new ColumnNotes(columns);
  const partsOfClocks = columns.flatMap((column) => {
    const whole = findWholeOf(column, columns);
    return whole === null ? [] : [whole, column];
  });
  const others = columns.filter((column) => !partsOfClocks.includes(column));
  const counters = others.filter((column) => isCounter(column));
  const rising = others.filter((column) => !counters.includes(column) && isClock(column, columns));
  const clocks = rising.filter((column) => !areDurationsByChance(column, rising));
  const clockSetting = settings.clock === undefined ? null : findColumn(columns, settings.clock.column);
  if (clockSetting !== null && typeof clockSetting === "object")
    return failed(clockSetting.fault("clock"), notes);
  const usableClocks = clockSetting === null ? clocks : columns.filter(({ index }) => index === clockSetting);
  const statedClockUnit = (clock: HeadColumn): TimeUnit | null =>
    clock.index === clockSetting ? (settings.clock?.unit ?? clock.timeUnit) : clock.timeUnit;

  for (const column of counters)
    notes.add(column, "counter", true, "whole numbers that go up by one from row to row");
  for (const column of partsOfClocks)
    notes.add(
      column,
      null,
      false,
      "one of two columns that hold a clock together: one starts over whenever the other goes up",
    );
  for (const column of clocks) {
    notes.add(
      column,
      "clock",
      true,
      column.kind === "moment" ? "dates or times that never go back" : "numbers that never go back",
    );
    if (column.kind === "number" && column.timeUnit !== null)
      notes.add(column, null, true, `the name says ${column.timeUnit}`);
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
      partsOfClocks.includes(column) ||
      clocks.includes(column) ||
      rates.includes(column)
    )
      continue;
    const name = weighDurationName(column.words, column.timeUnit !== null);
    if (!couldBeDuration(column, name)) continue;
    if (usableClocks.length > 0 && agreesByChance(column, name)) continue;
    if (column.multiple !== 1)
      notes.add(column, null, true, `the name says that one count is ${column.multiple} ${column.timeUnit}`);
    const fit = bestFit(column, usableClocks, statedClockUnit);
    notes.add(column, null, name.weight > 0 && !name.derived, name.text);
    if (fit !== null) notes.add(column, null, fit.grade !== "none", describeFit(fit));
    weighed.push({ column, name, fit });
  }
  // A sum or an average that equals the clock's step in row after row is neither, but where another column does, too.
  const isStep = ({ column, fit }: Duration): boolean =>
    fit?.grade === "rows" && column.shape.max > 1.05 * column.shape.min;
  const hasOther = weighed.some((duration) => !duration.name.derived && isStep(duration));
  const durations = weighed.filter((duration) => !duration.name.derived || (!hasOther && isStep(duration)));
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

  const decision =
    settings.frameTime === undefined
      ? byEvidence(context, clockSetting !== null)
      : bySetting(settings.frameTime, context);
  return choose(inCounts(decision, columns, settings.frameTime?.unit !== undefined), context);
}

/** From the units of the names to what one count in a cell is worth. A unit that the session states is that already. */
function inCounts(
  { frameTime, clock, fault }: Decision,
  columns: readonly HeadColumn[],
  isStated: boolean,
): Decision {
  const multipleOf = ({ index }: { readonly index: number }): number => columns[index]?.multiple ?? 1;
  if (frameTime === undefined) return fault === undefined ? {} : { fault };
  const isSame = clock?.index === frameTime.index;
  return {
    frameTime: isStated ? frameTime : { ...frameTime, unitS: frameTime.unitS * multipleOf(frameTime) },
    clock:
      clock == null || (isStated && isSame)
        ? (clock ?? null)
        : { ...clock, unitS: clock.unitS * multipleOf(clock) },
  };
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

function failed(fault: LogFinding, notes: ColumnNotes): Recognition {
  return { frameTime: null, clock: null, wallClock: null, counter: null, fault, columns: notes.readings() };
}

/** @param isClockSet whether the session names the clock */
function byEvidence(context: Context, isClockSet: boolean): Decision {
  const { durations } = context;
  const graded = (grade: Fit["grade"]): Duration[] => durations.filter(({ fit }) => fit?.grade === grade);
  for (const agreeing of [graded("rows"), graded("most"), graded("sum").filter(isNamedTime)]) {
    if (agreeing.length > 0) return pickAmong(agreeing, context);
  }
  const rate = ratesOfFrames(context)[0];
  const finest = bestClock(context);
  const isTold = rate !== undefined || durations.some(({ name }) => name.weight >= 2);
  const best = finest !== null && isTold && !isClockSet && onlyGrows(finest) ? null : finest;
  // A clock too coarse for frames contradicts no column of durations.
  const clock = best !== null && (durations.length === 0 || canContradict(best, context)) ? best : null;
  const words =
    clock === null || durations.some(({ name }) => name.weight >= 1.5)
      ? null
      : wordsForNumbers(context, "text");
  if (words !== null) return { fault: words };
  if (clock !== null) return clockAgainst(clock, context);
  // Beside a frame rate, a number whose name says nothing of time, or that it is something else's, is no rival to it,
  // unless it is its inverse.
  const rivals = durations.filter(
    (duration) => rate === undefined || isNamedTime(duration) || isInverseOf(duration.column, rate),
  );
  if (rivals.length > 0) return withoutClock(rivals, context);
  return rateAlone(context);
}

/** Coarse numbers, or one that stays, named for something else: a clock's steps say more than their agreement does. */
function agreesByChance(column: HeadColumn, name: Duration["name"]): boolean {
  const { shape, precision, words, timeUnit } = column;
  if (words.length === 0 || isNamedTime({ name, column })) return false;
  const isCoarse = precision > coarseShare * shape.median;
  return shape.max === shape.min || (isCoarse && name.weight <= 0 && timeUnit === null);
}

/** Whether its name speaks of a time, and is no other word with a unit of time behind it, or is that unit alone. */
function isNamedTime({ name, column }: Pick<Duration, "name" | "column">): boolean {
  return name.weight >= 1.5 || (name.weight > 0 && column.words.length === 1);
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
  // Hours, minutes and seconds are read as seconds, whatever somebody calls them.
  const unit = column.isSpans ? "s" : setting.unit;
  if (context.clocks.includes(column) || column.kind === "moment") {
    const stepUnit = unit ?? unitOfSteps(column, context);
    if (stepUnit === null) return stepsOf(column, context);
    const unitS = column.kind === "moment" ? 1 : unitSeconds[stepUnit];
    return {
      frameTime: { index: found, how: "steps", unit: column.kind === "moment" ? "s" : stepUnit, unitS },
      clock: { index: found, unit: stepUnit, unitS, lag: 0, precisionS: column.precision * unitS },
    };
  }
  const duration: Duration = {
    column,
    name: weighDurationName(column.words, column.timeUnit !== null),
    fit: bestFit(column, context.clocks, context.statedClockUnit),
  };
  if (unit === undefined) return inItsUnit(duration, context);
  // With the unit given, the clock's own word about it no longer counts, its stated unit still does.
  const agrees = (unitByClock(duration, context)?.unit ?? unit) === unit;
  return durationIn(agrees ? duration : { ...duration, fit: null }, unit, context);
}
