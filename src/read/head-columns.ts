import { partitionAt } from "../shared/partition-at.ts";
import type { Dialect } from "./dialect.ts";
import type { TextReading } from "./log.ts";
import { nameWords } from "./name-words.ts";
import { ClockReader } from "./read-clock.ts";
import { readMoment } from "./read-moment.ts";
import { decimalsOf, readCellUnit, readNumber, readPlainDigits } from "./read-number.ts";
import type { Row } from "./split-rows.ts";
import { isMissing } from "./tell-cells.ts";
import {
  countsMinutes,
  isMinutes,
  quantityUnitOfWords,
  type TimeUnit,
  timeUnitOfWords,
  unitMultiple,
} from "./units.ts";
import { isClockName, weighDurationName } from "./weigh-words.ts";

/** One column of the file's head, as values. */
export interface HeadColumn {
  /** From 0. */
  readonly index: number;
  readonly name: string | null;
  /** As session.yaml would name it: the name where it is the only such, else "#" and its number. */
  readonly label: string;
  readonly words: readonly string[];
  readonly kind: "empty" | "text" | "number" | "moment";
  /** One per row of the head; NaN where there is no number. */
  readonly values: Float64Array;
  /** Like `values`, but dates and times read and large numbers kept exact: see ClockReader. */
  readonly clock: Float64Array;
  /** What the clock's readings are counted from. */
  readonly clockBase: number;
  readonly dated: boolean;
  /** Lengths of time as hours, minutes and seconds: a number of seconds each. */
  readonly isSpans: boolean;
  /** The smallest step that the printed digits can show, in the column's unit. */
  readonly precision: number;
  /** Time unit that the name, the line of units or the cells state. */
  readonly timeUnit: TimeUnit | null;
  /** Counts of a time are worth this many of `timeUnit`, as in "(100 ns)"; values, clock and precision are in `timeUnit`. */
  readonly multiple: number;
  /** Unit of another quantity that they state. */
  readonly otherUnit: string | null;
  /** Different texts with their counts; with `maxTexts` of them it is no list and no count is whole. */
  readonly texts: ReadonlyMap<string, number>;
  /** A cell that prints fewer decimals is cut off; null where that cannot be told. */
  readonly fewestDecimals: number | null;
  readonly shape: Shape;
}

/** How a column's numbers go on from row to row. */
interface Shape {
  readonly count: number;
  readonly median: number;
  readonly min: number;
  readonly max: number;
  readonly whole: boolean;
  readonly risingShare: number;
  readonly fallingShare: number;
  /** Share of steps that are exactly 1. */
  readonly stepOneShare: number;
  readonly medianStep: number;
}

const maxTexts = 40;

/** Reads every column of the head. */
export function readHeadColumns(dialect: Dialect, rows: readonly Row[]): HeadColumn[] {
  const columns: HeadColumn[] = [];
  for (let index = 0; index < dialect.width; index++) columns.push(readHeadColumn(dialect, rows, index));
  return columns;
}

function readHeadColumn(dialect: Dialect, rows: readonly Row[], index: number): HeadColumn {
  const { decimalSign, names } = dialect;
  const name = names?.[index] ?? null;
  let filled = 0;
  let numbers = 0;
  let moments = 0;
  const texts = new Map<string, number>();
  const units = new Map<string, number>();
  const decimals = new Map<number, number>();
  const values = new Float64Array(rows.length).fill(Number.NaN);
  let longest = 0;
  // Many a column prints what it printed in the row before: a run of a cell is read and counted once.
  let last = "";
  let reading = missingCell;
  let run = 0;
  const countRun = (): void => {
    if (run === 0) return;
    if (texts.size < maxTexts) addTo(texts, last, run);
    if (reading.kind === "missing") return;
    filled += run;
    if (reading.kind === "text") return;
    if (reading.kind === "moment") moments += run;
    else numbers += run;
    if (reading.unit !== "") addTo(units, reading.unit, run);
    addTo(decimals, reading.decimals, run);
  };
  for (let r = 0; r < rows.length; r++) {
    const cell = rows[r]?.cells?.[index];
    if (cell === undefined || cell === "") continue;
    if (cell !== last) {
      countRun();
      last = cell;
      run = 0;
      longest = Math.max(longest, cell.length);
      reading = readHeadCell(cell, decimalSign);
    }
    run++;
    values[r] = reading.value;
  }
  countRun();
  const cells =
    filled === 0 ? "empty" : moments > filled / 2 ? "moment" : numbers > filled / 2 ? "number" : "text";
  const words = nameWords([name ?? "", dialect.units?.[index] ?? ""].join(" "));
  const unit = [...units].find(([, count]) => count > numbers / 2)?.[0] ?? "";
  const unitWords = nameWords(unit);
  const { clock, clockBase, dated } = readAsClock(dialect, rows, index, { kind: cells, values, longest });
  const isSpans = cells === "moment" && !dated && areSpans(clock, clockBase, words);
  const kind = isSpans ? "number" : cells;
  if (isSpans) for (let r = 0; r < clock.length; r++) values[r] = (clock[r] as number) + clockBase;
  const stated = cells === "moment" ? "s" : (timeUnitOfWords(unitWords) ?? timeUnitOfWords(words));
  const unitCell = dialect.units?.[index] ?? "";
  const inMinutes =
    stated === null && kind === "number" && (countsMinutes(name ?? "") || isMinutes(unitCell));
  const timeUnit = inMinutes ? "s" : stated;
  const isMultiple = kind === "number" && timeUnit !== null;
  const multiple = inMinutes ? 60 : isMultiple ? unitMultiple(name ?? "") * unitMultiple(unitCell) : 1;
  if (multiple !== 1) for (const series of new Set([values, clock])) scale(series, multiple);
  const most = Math.max(0, ...decimals.keys());
  return {
    index,
    name,
    label: labelOf(names, index),
    words,
    kind,
    values,
    clock,
    clockBase: clockBase * multiple,
    dated,
    isSpans,
    precision: 10 ** -most * multiple,
    timeUnit,
    multiple,
    otherUnit: quantityUnitOfWords(unitWords) ?? quantityUnitOfWords(words),
    texts,
    fewestDecimals: fewestDecimalsOf(decimals),
    shape: shapeOf(kind === "moment" ? clock : values),
  };
}

function scale(values: Float64Array, factor: number): void {
  for (let i = 0; i < values.length; i++) values[i] = (values[i] as number) * factor;
}

/** "00:00:00.016" in row after row: a clock goes on, and its hours, minutes and seconds are no lengths of time. */
function areSpans(clock: Float64Array, base: number, words: readonly string[]): boolean {
  const { min, max, fallingShare, risingShare } = shapeOf(clock);
  if (!(min + base > 0 && max + base <= longestSpanS)) return false;
  const isNamed =
    weighDurationName(words, true).weight >= 2 && !isClockName(words.filter((w) => w !== "time"));
  return fallingShare > 0.1 || risingShare === 0 || (isNamed && max - min < min + base);
}

/** No frame takes longer. */
const longestSpanS = 10;

/** The column's cells as readings of a clock, whether it is one or not. */
function readAsClock(
  { decimalSign }: Dialect,
  rows: readonly Row[],
  index: number,
  { kind, values, longest }: Pick<HeadColumn, "kind" | "values"> & { readonly longest: number },
): Pick<HeadColumn, "clock" | "clockBase" | "dated"> {
  const reader = new ClockReader(kind === "moment", decimalSign);
  if (kind === "number" && !reader.needsCells(longest, values))
    return { clock: values, clockBase: 0, dated: false };
  const clock = new Float64Array(rows.length).fill(Number.NaN);
  if (kind === "number" || kind === "moment") {
    for (const [r, row] of rows.entries()) clock[r] = reader.read(row.cells?.[index] ?? "", values[r]);
  }
  return { clock, clockBase: reader.base ?? 0, dated: kind === "moment" && reader.dated };
}

/** What one cell of the head is. */
interface CellReading {
  readonly kind: "missing" | "text" | "number" | "moment";
  /** NaN where there is no number. */
  readonly value: number;
  readonly decimals: number;
  /** Printed behind the number, "" for none. */
  readonly unit: string;
}

const missingCell: CellReading = { kind: "missing", value: Number.NaN, decimals: 0, unit: "" };
const textCell: CellReading = { ...missingCell, kind: "text" };

function readHeadCell(cell: string, decimalSign: TextReading["decimalSign"]): CellReading {
  const plain = readPlainDigits(cell);
  if (!Number.isNaN(plain)) {
    const point = cell.indexOf(".");
    return { kind: "number", value: plain, decimals: point < 0 ? 0 : cell.length - 1 - point, unit: "" };
  }
  if (isMissing(cell)) return missingCell;
  const value = readNumber(cell, decimalSign);
  if (Number.isFinite(value)) {
    const decimals = decimalsOf(cell, decimalSign) - exponentOf(cell);
    return { kind: "number", value, decimals, unit: readCellUnit(cell) };
  }
  const moment = readMoment(cell);
  return moment === null ? textCell : { ...missingCell, kind: "moment", decimals: moment.decimals };
}

function addTo<Value>(counts: Map<Value, number>, value: Value, more: number): void {
  counts.set(value, (counts.get(value) ?? 0) + more);
}

function labelOf(names: readonly string[] | null, index: number): string {
  const name = names?.[index] ?? "";
  const alike =
    names?.filter((other) => other.trim().toLowerCase() === name.trim().toLowerCase()).length ?? 0;
  return name.trim() === "" || alike > 1 ? `#${index + 1}` : name;
}

/**
 * Fewer digits after the decimal sign than this mean that a cell is cut off: where all cells but perhaps one print
 * as many, or where hardly any of many cells prints so few. null where the digits say nothing.
 */
function fewestDecimalsOf(decimals: ReadonlyMap<number, number>): number | null {
  const [usual, ...others] = [...decimals].sort((a, b) => b[1] - a[1]);
  if (usual === undefined || usual[0] <= 0 || usual[1] < 4) return null;
  if (others.reduce((sum, [, count]) => sum + count, 0) <= 1) return usual[0];
  const total = [...decimals.values()].reduce((sum, count) => sum + count, 0);
  let fewer = 0;
  for (const [digits, count] of [...decimals].sort((a, b) => a[0] - b[0])) {
    fewer += count;
    if (fewer > 0.005 * total) return digits > 0 && total >= 200 ? digits : null;
  }
  return null;
}

function exponentOf(cell: string): number {
  const at = /[eE]([+-]?\d+)$/.exec(cell);
  return at === null ? 0 : Number(at[1]);
}

/** @param values NaN where a row has none, which is passed over */
function shapeOf(values: Float64Array): Shape {
  const known = new Float64Array(values.length);
  const rises = new Float64Array(values.length);
  let count = 0;
  let rising = 0;
  let falling = 0;
  let stepsOfOne = 0;
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let whole = true;
  let last = Number.NaN;
  for (const value of values) {
    if (Number.isNaN(value)) continue;
    known[count++] = value;
    if (value < min) min = value;
    if (value > max) max = value;
    whole &&= Number.isInteger(value);
    // NaN before the first value: no comparison holds.
    const step = value - last;
    if (step > 0) rises[rising++] = step;
    else if (step < 0) falling++;
    if (step === 1) stepsOfOne++;
    last = value;
  }
  const share = (some: number): number => (count < 2 ? 0 : some / (count - 1));
  return {
    count,
    // Many a column holds one value only.
    median: min === max ? min : takeMedian(known.subarray(0, count)),
    min: count === 0 ? Number.NaN : min,
    max: count === 0 ? Number.NaN : max,
    whole,
    risingShare: share(rising),
    fallingShare: share(falling),
    stepOneShare: share(stepsOfOne),
    medianStep: takeMedian(rises.subarray(0, rising)),
  };
}

/** NaN for no values; none of them may be NaN. Their order is lost. */
export function takeMedian(scratch: Float64Array): number {
  const n = scratch.length;
  if (n === 0) return Number.NaN;
  const middle = n >> 1;
  partitionAt(scratch, middle);
  const upper = scratch[middle] as number;
  if (n % 2 === 1) return upper;
  let lower = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < middle; i++) lower = Math.max(lower, scratch[i] as number);
  return (lower + upper) / 2;
}

/** Whether the cell lacks digits that the others of its column print: the file ends inside it. */
export function isTruncatedCell(
  cell: string,
  fewestDecimals: number | null,
  decimalSign: TextReading["decimalSign"],
): boolean {
  if (fewestDecimals === null) return false;
  return (readMoment(cell)?.decimals ?? decimalsOf(cell, decimalSign) - exponentOf(cell)) < fewestDecimals;
}
