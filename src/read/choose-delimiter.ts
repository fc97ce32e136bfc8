import { mostColumns } from "./log-limits.ts";
import { cellUnits } from "./read-number.ts";
import { type Delimiter, isSkipped, type Row, splitRows } from "./split-rows.ts";
import { isMissing, isNumberLike, isProse, isRowOfUnits } from "./tell-cells.ts";

/** Any of these may be one; blanks part cells only where none of them does. */
export const delimiters: readonly Delimiter[] = [",", ";", "\t", "|"];
/** Runs of blanks between cells, as in a table that is aligned for the eye. */
export const blanks = " ";
/** Lines of text above a table may happen to have as many words as the table has cells. */
const clearlyBetter = 0.05;

/** The delimiter that cuts the lines most evenly into the most numbers; null where none gives a table. */
export function chooseDelimiter(lines: readonly string[]): Delimiter | null {
  const sample = lines.slice(0, 100);
  if (isColumnOfDecimalCommas(sample)) return ";";
  let best: Delimiter | null = null;
  let bestScore = 0;
  let isClear = false;
  for (const delimiter of [...delimiters, blanks] as const) {
    // Tabs are blanks as well, and part cells on their own.
    if (delimiter === blanks && (isClear || best === "\t")) break;
    // One column of nothing but numbers is the best that one column could be.
    const isBeaten = (width: number): boolean => width === 1 && bestScore >= scoreOf(1, 1, width);
    if (isBeaten(1) && !sample.some((line) => line.includes(delimiter))) continue;
    const rows = splitRows(sample, 1, delimiter);
    const width = usualWidth(rows);
    if (width > mostColumns || isBeaten(width)) continue;
    let regular = 0;
    let filled = 0;
    let good = 0;
    for (const { cells } of rows) {
      if (cells?.length !== width) continue;
      regular++;
      for (const cell of cells) {
        if (cell === "") continue;
        filled++;
        if (isNumberLike(cell)) good++;
        // Words may stand in a table; with another delimiter among them, they were cut at the wrong one.
        // So does a number with blanks and more behind it.
        else if (!/[,;\t|]|\s{2}|^[-+\d.]+\s+\S/.test(cell)) good += 0.25;
      }
    }
    // Blanks part any words: only rows of numbers, nearly all as long as each other, are a table by them.
    if (delimiter === blanks && (width < 2 || regular < 0.6 * rows.length || good < 0.6 * filled)) continue;
    // NaN, which is never more, where there are no cells.
    const score = scoreOf(regular / rows.length, good / filled, width);
    if (score > bestScore + (delimiter === blanks ? clearlyBetter : 0)) {
      best = delimiter;
      bestScore = score;
      // Numbers throughout, or one column of some: no need to look at blanks.
      isClear = good >= (width === 1 ? 0.5 : 0.95) * filled;
    }
  }
  return best;
}

/** Wider tables first where the rest is equal: cutting too little also gives even lines. */
function scoreOf(regularShare: number, goodShare: number, width: number): number {
  return regularShare * goodShare + Math.min(width, 20) * 0.01 - (width === 1 ? 0.2 : 0);
}

/** One column such as "16,67": cut at the comma it would be two columns of whole numbers that make no sense. */
function isColumnOfDecimalCommas(lines: readonly string[]): boolean {
  const rows = lines.filter((line) => !isSkipped(line));
  const moments = rows.filter((line) => momentWithComma.test(line)).length;
  if (moments > 0 && moments > 0.9 * (rows.length - 1)) return true;
  const first = rows.findIndex((line) => decimalComma.test(line));
  if (first < 0) return false;
  const values = rows.slice(first).filter((line) => !isMissing(line.trim()));
  const parts = values.flatMap((line) => {
    const match = decimalComma.exec(line);
    return match === null ? [] : [{ whole: Number(match[1]), fraction: match[2] ?? "" }];
  });
  if (parts.length < 0.9 * values.length) return false;
  // A running number before the comma is a column of its own.
  if (countsUp(parts.map(({ whole }) => whole))) return false;
  // Whole numbers have no zero in front; fractions of one length do.
  const isEven = parts.every(({ fraction }) => fraction.length === parts[0]?.fraction.length);
  const hasZero = parts.some(({ fraction }) => /^0\d/.test(fraction));
  if (isEven && hasZero && parts.some(({ fraction }) => Number(fraction) !== 0)) return true;
  // Nor do a duration's decimals count its frames.
  if (countsUp(parts.map(({ fraction }) => Number(fraction)))) return false;
  const header = rows[first - 1];
  // "frame time, ms" names one column, "frame,ms" two.
  const [name = "", unit, ...more] = header?.split(/,\s+/) ?? [];
  if (unit !== undefined && more.length === 0 && !name.includes(",") && isRowOfUnits([unit.trim()]))
    return true;
  if (header !== undefined && !isProse([header])) return !header.includes(",");
  return parts.some(({ whole }, i) => whole < (parts[i - 1]?.whole ?? whole));
}

/** Whether nearly all of some numbers are one more than the one before: they may start over, and some be lost. */
export function countsUp(numbers: readonly number[]): boolean {
  const steps = numbers.filter((number, i) => number === (numbers[i - 1] ?? Number.NaN) + 1).length;
  return numbers.length >= 5 && steps >= 0.9 * (numbers.length - 1);
}

/** ISO 8601 prefers the comma before a fraction of a second. */
const momentWithComma =
  /^\s*(?:(?:\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}|\d{8})[T ])?\d{1,3}:\d\d:\d\d,\d{1,12}\s*(?:Z|[+-]\d\d:?\d\d)?\s*$/;
const decimalComma = new RegExp(`^\\s*([+-]?\\d+),(\\d+)\\s*(?:${cellUnits})?\\s*$`, "i");

/** The commonest number of cells; the larger where two are as common. */
export function usualWidth(rows: readonly Row[]): number {
  const counts = new Map<number, number>();
  for (const { cells } of rows)
    if (cells !== null) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1);
  let width = 0;
  for (const [cells, count] of counts) {
    const most = counts.get(width) ?? 0;
    if (count > most || (count === most && cells > width)) width = cells;
  }
  return width;
}

/** Names with blanks inside stand further apart than their words: cut where two blanks or more are. */
export function withWideGaps(row: Row, width: number): Row {
  if (row.cells?.length === width) return row;
  const cells = row.text.trim().split(/\s{2,}|\t/);
  return cells.length === width ? { ...row, cells } : row;
}
