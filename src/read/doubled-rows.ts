import { fewRows } from "./column-shapes.ts";
import type { HeadColumn } from "./head-columns.ts";

/**
 * Whether every row of numbers stands twice, one right under the other: two copies of a frame, or two frames? Rows that
 * are all alike, as under a frame cap, say nothing of that.
 */
export function areRowsDoubled(columns: readonly HeadColumn[]): boolean {
  const series = columns.filter(({ kind }) => kind === "number").map(({ values }) => values);
  const rows = series[0]?.length ?? 0;
  if (rows < fewRows) return false;
  const isRepeated = (row: number): boolean =>
    series.every((values) => Object.is(values[row], values[row - 1]));
  let odd = 0;
  let even = 0;
  for (let row = 1; row < rows; row++) {
    if (!isRepeated(row)) continue;
    if (row % 2 === 1) odd++;
    else even++;
  }
  const pairs = Math.floor((rows - 1) / 2);
  return Math.max(odd, even) >= 0.95 * pairs && Math.min(odd, even) <= 0.5 * pairs;
}
