import type { FrameTimeCandidate, LogFinding } from "../shared/problem.ts";
import type { ColumnNotes } from "./column-notes.ts";
import { epochUnit, plausibleUnits } from "./column-shapes.ts";
import { columnLabel, shown } from "./find-column.ts";
import { describeFit, type Fit } from "./fit-clock.ts";
import type { HeadColumn } from "./head-columns.ts";
import { type ClockChoice, type FrameTimeChoice, standardUnitOf } from "./recognition.ts";
import { type TimeUnit, unitSeconds } from "./units.ts";
import { isNameOfPart, type NameWeight, weighRateName } from "./weigh-words.ts";

/** Candidates of a question: each is read once over to say what it would give. */
const mostCandidates = 8;

/** A column that could hold frame times: what its name says, and how it fits the best clock. */
export interface Duration {
  readonly column: HeadColumn;
  readonly name: NameWeight;
  readonly fit: Fit | null;
}

/** The columns of a head, sorted by what they could be: all that a decision needs. */
export interface Context {
  readonly columns: readonly HeadColumn[];
  readonly notes: ColumnNotes;
  readonly counters: readonly HeadColumn[];
  readonly clocks: readonly HeadColumn[];
  readonly durations: readonly Duration[];
  /** Durations made from many frames, by their names. */
  readonly averages: readonly Duration[];
  readonly rates: readonly HeadColumn[];
  readonly statedClockUnit: (clock: HeadColumn) => TimeUnit | null;
}

/** A choice of frame time and clock, or why there is none; empty where no column could hold frame times. */
export interface Decision {
  readonly frameTime?: FrameTimeChoice;
  readonly clock?: ClockChoice | null;
  readonly fault?: LogFinding;
}

/** The duration's unit by the clock's, and on what grounds; null where the clock's is unknown or they do not agree. */
export function unitByClock(
  { fit }: Duration,
  { statedClockUnit }: Context,
): { readonly unit: TimeUnit; readonly clock: string; readonly clockUnit: TimeUnit } | null {
  if (fit === null || fit.grade === "none") return null;
  const clockUnit = statedClockUnit(fit.clock) ?? epochUnit(fit.clock);
  if (clockUnit === null) return null;
  const unit = standardUnitOf(unitSeconds[clockUnit] * fit.agreement.ratio);
  return unit === null ? null : { unit, clock: shown(fit.clock), clockUnit };
}

/**
 * Rates of single frames. What the processor or the graphics card alone could do is none, unless nothing else is there.
 */
export function ratesOfFrames({ rates }: Context): readonly HeadColumn[] {
  const instant = rates.filter(({ words }) => !weighRateName(words).derived);
  const whole = instant.filter(({ words }) => !isNameOfPart(words));
  return whole.length > 0 ? whole : instant;
}

/** As stated, or the largest unit in which its values make sense. */
export function likelyUnit({ timeUnit, shape }: HeadColumn): TimeUnit {
  return timeUnit ?? plausibleUnits(shape.median, null)[0] ?? "ms";
}

export function asCandidate(duration: Duration, context: Context): FrameTimeCandidate {
  const { column, name, fit } = duration;
  const unit = column.timeUnit ?? unitByClock(duration, context)?.unit ?? likelyUnit(column);
  return candidate(column, unit, false, [name.text, ...(fit === null ? [] : [describeFit(fit)])]);
}

export function candidate(
  column: HeadColumn,
  unit: FrameTimeCandidate["unit"],
  isClock: boolean,
  grounds: readonly string[],
): FrameTimeCandidate {
  return { column: columnLabel(column), position: column.index + 1, unit, isClock, avgFps: null, grounds };
}

export function unclear(
  why: Extract<LogFinding, { code: "log-frame-time-unclear" }>["why"],
  candidates: readonly FrameTimeCandidate[],
): Decision {
  return { fault: { code: "log-frame-time-unclear", why, candidates: candidates.slice(0, mostCandidates) } };
}
