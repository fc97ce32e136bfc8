import { fewRows } from "./column-shapes.ts";
import { type Agreement, compareWithClock } from "./compare-with-clock.ts";
import { shown } from "./find-column.ts";
import type { HeadColumn } from "./head-columns.ts";
import type { TimeUnit } from "./units.ts";

/** How well a column of durations agrees with the steps of a clock. */
export interface Fit {
  readonly clock: HeadColumn;
  readonly agreement: Agreement;
  readonly grade: "rows" | "most" | "sum" | "none";
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

export function describeFit({ clock, agreement, grade }: Fit): string {
  const share = `${Math.floor(agreement.rowShare * 1000) / 10}%`;
  const rows = agreement.rowsTogether > 1 ? `groups of ${agreement.rowsTogether} rows` : "rows";
  const where = `the steps of ${shown(clock)}`;
  if (grade === "rows" || grade === "most") {
    return `equals ${where} in ${share} of ${agreement.compared} ${rows}${agreement.lag === 1 ? ", one row later" : ""}`;
  }
  if (grade === "sum") return `adds up to the span of ${shown(clock)}, though single rows differ`;
  if (!agreement.ratioIsUnit) return `differs from ${where}, whatever unit either is in`;
  return `differs from ${where}: equal in ${share} of ${agreement.compared} ${rows}, ${round3(agreement.sumRatio)} times its span`;
}

export function round3(value: number): number {
  return Number(value.toPrecision(3));
}
