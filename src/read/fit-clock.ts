import { fewRows, manyRows } from "./column-shapes.ts";
import { type Agreement, compareWithClock } from "./compare-with-clock.ts";
import { shown } from "./find-column.ts";
import type { HeadColumn } from "./head-columns.ts";
import { type TimeUnit, unitSeconds } from "./units.ts";

/** How well a column of durations agrees with the steps of a clock. */
export interface Fit {
  readonly clock: HeadColumn;
  readonly agreement: Agreement;
  readonly grade: "rows" | "most" | "sum" | "none";
  /** The column follows the steps as a running average of them does. */
  readonly isSmoothed: boolean;
}

/** The smallest step that a clock shows: its digits', or that which it really takes where it stands still in between. */
export function resolutionOf(column: HeadColumn): number {
  const { clock, shape, precision } = column;
  if (shape.count < standingRows || shareStanding(column) <= standingShare) return precision;
  let smallest = Number.POSITIVE_INFINITY;
  for (let i = 1; i < clock.length; i++) {
    const step = (clock[i] as number) - (clock[i - 1] as number);
    if (step > 0 && step < smallest) smallest = step;
  }
  return Number.isFinite(smallest) ? Math.max(precision, smallest) : precision;
}

/** Of fewer rows nobody can tell. */
export const standingRows = 8;
/** A clock that stands still from more of the rows to the next does not tell frames apart. */
export const standingShare = 0.25;

/** Share of the rows in which a clock reads what it read in the row before. */
export function shareStanding({ shape }: HeadColumn): number {
  return 1 - shape.risingShare - shape.fallingShare;
}

/** The clock whose steps the column equals best. */
export function bestFit(
  column: HeadColumn,
  clocks: readonly HeadColumn[],
  unitOf: (clock: HeadColumn) => TimeUnit | null,
): Fit | null {
  const order = ["none", "sum", "most", "rows"];
  let best: Fit | null = null;
  for (const clock of clocks) {
    const agreement = compareWithClock(column.values, column.precision, clock.clock, resolutionOf(clock));
    if (agreement === null || agreement.compared === 0) continue;
    const ofSums = gradeOf(agreement, column, clock, unitOf(clock));
    const isSmoothed = ofSums === "sum" && isAverageOfSteps(column, clock, agreement);
    const grade = isSmoothed ? "none" : ofSums;
    const better =
      best === null ||
      order.indexOf(grade) > order.indexOf(best.grade) ||
      (grade === best.grade && agreement.rowsTogether < best.agreement.rowsTogether) ||
      (grade === best.grade &&
        agreement.rowsTogether === best.agreement.rowsTogether &&
        agreement.rowShare > best.agreement.rowShare + 0.01);
    if (better) best = { clock, agreement, grade, isSmoothed };
  }
  return best;
}

/**
 * Whether a column goes up where the clock's step is longer than it, and down where it is shorter, as an average does
 * that runs on with the frames. What reads the clock early or late knows nothing of the column: half of the rows agree.
 */
function isAverageOfSteps(
  { values }: HeadColumn,
  { clock }: HeadColumn,
  { ratio, rowsTogether }: Agreement,
): boolean {
  // Which row's step an average belongs to its own agreement does not tell.
  return rowsTogether === 1 && [0, 1].some((lag) => followsSteps(values, clock, ratio, lag));
}

function followsSteps(values: Float64Array, clock: Float64Array, ratio: number, lag: number): boolean {
  let same = 0;
  let count = 0;
  for (let i = 2; i < clock.length; i++) {
    const length = values[i - lag] as number;
    const change = length - (values[i - lag - 1] ?? Number.NaN);
    const excess = (clock[i] as number) - (clock[i - 1] as number) - length * ratio;
    const product = change * excess;
    // NaN, and what stays, tell nothing.
    if (!(product > 0 || product < 0)) continue;
    count++;
    if (product > 0) same++;
  }
  return count >= manyRows && same >= 0.65 * count;
}

function gradeOf(
  agreement: Agreement,
  column: HeadColumn,
  clock: HeadColumn,
  clockUnit: TimeUnit | null,
): Fit["grade"] {
  const { rowShare, ratio, ratioIsUnit, sumRatio } = agreement;
  if (!ratioIsUnit) {
    // A clock in ticks of its own: any ratio would fit frames that all take as long.
    const varied = column.shape.max > 1.05 * column.shape.min && !isEven(clock);
    return clockUnit === null && varied && rowShare >= 0.95 && agreement.compared >= fewRows
      ? "rows"
      : "none";
  }
  // No clock counts thousands of seconds: the digits were read otherwise than they were meant.
  if (clockUnit === null && column.timeUnit !== null && unitSeconds[column.timeUnit] > 1.01 * ratio)
    return "none";
  if (rowShare >= 0.9) return "rows";
  if (rowShare >= 0.6) return "most";
  // A clock that is read a little early or late moves the whole span by a share of one frame.
  const slack = Math.max(0.01, Math.min(0.03, 1.5 / agreement.compared));
  return Math.abs(sumRatio - 1) <= slack ? "sum" : "none";
}

/** Whether all steps are one step, as of a row number: any ratio fits what varies less than its digits. */
function isEven({ clock, shape, precision }: HeadColumn): boolean {
  return clock.every(
    (value, i) => !(Math.abs(value - (clock[i - 1] ?? Number.NaN) - shape.medianStep) > precision),
  );
}

export function describeFit({ clock, agreement, grade, isSmoothed }: Fit): string {
  const share = `${Math.floor(agreement.rowShare * 1000) / 10}%`;
  const rows = agreement.rowsTogether > 1 ? `groups of ${agreement.rowsTogether} rows` : "rows";
  const where = `the steps of ${shown(clock)}`;
  if (grade === "rows" || grade === "most") {
    return `equals ${where} in ${share} of ${agreement.compared} ${rows}${agreement.lag === 1 ? ", one row later" : ""}`;
  }
  if (grade === "sum") return `adds up to the span of ${shown(clock)}, though single rows differ`;
  if (isSmoothed) return `follows ${where} as a running average of them does`;
  if (!agreement.ratioIsUnit) return `differs from ${where}, whatever unit either is in`;
  return `differs from ${where}: equal in ${share} of ${agreement.compared} ${rows}, ${round3(agreement.sumRatio)} times its span`;
}

export function round3(value: number): number {
  return Number(value.toPrecision(3));
}
