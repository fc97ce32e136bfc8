import { chooseDecimalSign } from "./choose-decimal-sign.ts";
import {
  blanks,
  chooseDelimiter,
  countsUp,
  delimiters,
  usualWidth,
  withWideGaps,
} from "./choose-delimiter.ts";
import type { Dialect, DialectFault } from "./dialect.ts";
import { findHeader } from "./find-header.ts";
import { mostColumns } from "./log-limits.ts";
import { isDigitAt, readPlainDigits } from "./read-number.ts";
import { type Delimiter, isSkipped, type Row, splitRows } from "./split-rows.ts";
import { areNames, isMissing, isNameOfTime, isNumberLike, isRowOfUnits } from "./tell-cells.ts";

/** Finds delimiter, decimal sign, header and first row of values from a file's first lines. */
export function detectDialect(lines: readonly string[]): Dialect | DialectFault {
  const found = detectFrom(lines);
  return "why" in found && found.why === "no-table" ? (detectBehindText(lines) ?? found) : found;
}

/** Lines of text above a table that are passed over at a time. */
const textStep = 50;
/** Lines that are enough to tell a table. */
const tableLines = 400;

/** A table behind more text than the first lines make up for; null where there is none. */
function detectBehindText(lines: readonly string[]): Dialect | null {
  for (let above = textStep; above < lines.length; above += textStep) {
    const found = tableBehind(lines, above);
    if (found === null) continue;
    // The lines that were passed over may have ended with the header.
    return found.names === null ? (tableBehind(lines, above - 3) ?? found) : found;
  }
  return null;
}

function tableBehind(lines: readonly string[], above: number): Dialect | null {
  const found = detectFrom(lines.slice(above, above + tableLines));
  if ("why" in found) return null;
  const headerLine = found.headerLine === null ? null : found.headerLine + above;
  const firstLine = found.firstLine + above;
  const rows = found.rows.map((row) => ({ ...row, line: row.line + above }));
  return { ...found, headerLine, firstLine, rows, notes: notesAbove(lines, headerLine ?? firstLine) };
}

/** More lines than these above the values may choose a delimiter of their own. */
const mostNoteLines = 20;

function detectFrom(
  lines: readonly string[],
  delimiter: Delimiter | null = chooseDelimiter(lines),
  isSure = false,
): Dialect | DialectFault {
  if (delimiter === null) return withoutDelimiter(lines);
  const cut = splitRows(lines, 1, delimiter);
  const usual = usualWidth(cut);
  const rows = delimiter === blanks ? cut.map((row) => withWideGaps(row, usual)) : cut;
  const isNumeric = numericColumns(rows, usual);
  const firstIndex = findFirstRow(rows, usual, isNumeric);
  const first = rows[firstIndex];
  if (first === undefined) return withoutNumbers(lines, rows, usual, delimiter);
  if (!isSure && first.line > mostNoteLines) {
    const ofValues = chooseDelimiter(lines.slice(Math.max(first.line - 1, lines.length - 100)));
    if (ofValues !== null && ofValues !== delimiter) return detectFrom(lines, ofValues, true);
  }

  const before = rows.slice(0, firstIndex).filter((row) => !isNoHeader(row));
  const values = rows.slice(firstIndex);
  const width = widthWithOptionalEnd(usual, before.at(-1), values);
  const isEndBlank = values.every(({ cells }) => (cells?.[width - 1] ?? "") === "");
  const table = { width, isEndBlank, hasRowNames: haveNumbersForNames(values) };
  const header = findHeader(before, lines, first.line, table, delimiter);
  if (header !== null && "why" in header) return header;
  // Without a delimiter or a header, words among the numbers are those of a text.
  if (delimiter === blanks && header === null && isNumeric.includes(false)) return { why: "no-table" };
  return {
    delimiter,
    ...chooseDecimalSign(values, delimiter),
    width,
    headerLine: header?.line ?? null,
    names: header?.names ?? null,
    units: header?.units ?? null,
    notes: notesAbove(lines, header?.line ?? first.line),
    firstLine: first.line,
    rows: values,
    mayEndShort: endShort(values, width).length > Math.max(1, 0.01 * values.length),
  };
}

/** Whether nearly all rows begin with their running number in quotes, as a name, which no other number is in. */
function haveNumbersForNames(rows: readonly Row[]): boolean {
  const isNamed = ({ text }: Row): boolean => /^"\d+"[^"]+$/.test(text);
  return rows.every(isNamed) && countsUp(rows.map(({ cells }) => readPlainDigits(cells?.[0] ?? "")));
}

/** Rows that lack cells at their end. */
function endShort(rows: readonly Row[], width: number): readonly Row[] {
  return rows.filter(({ cells }) => cells !== null && cells.length < width);
}

/**
 * The rows that tell what the columns hold: none under the names of another table, such as a summary's; and a cell at a
 * row's end may be cut where the row is.
 */
export function rowsToGoBy({ rows: all, width, mayEndShort, names }: Dialect): readonly Row[] {
  const under = all.findLastIndex(({ cells }) => isOtherHeader(cells ?? [], names ?? []));
  const rows = under > all.length / 2 ? all.slice(0, under) : all;
  return mayEndShort || endShort(rows, width).length === 0
    ? rows
    : rows.filter(({ cells }) => cells === null || cells.length >= width);
}

function isOtherHeader(cells: readonly string[], names: readonly string[]): boolean {
  // Nearly every row begins or ends with a number.
  const mayBe = names.length > 0 && ![cells[0], cells.at(-1)].some((cell) => isDigitAt(cell ?? "", 0));
  return mayBe && areNames(cells) && names.some((name, i) => name !== (cells[i] ?? ""));
}

/** No table, or one that goes beyond what is read. */
function withoutDelimiter(lines: readonly string[]): DialectFault {
  const widths = delimiters.map((delimiter) => usualWidth(splitRows(lines.slice(0, 100), 1, delimiter)));
  const columns = Math.max(...widths);
  return columns > mostColumns ? { why: "too-wide", columns } : { why: "no-table" };
}

/** Where rows leave out blank cells at their end, the header and the rows that have them say how wide the table is. */
function widthWithOptionalEnd(usual: number, header: Row | undefined, values: readonly Row[]): number {
  const names = header?.cells ?? [];
  if (names.length <= usual || !names.every((name) => /\p{L}/u.test(name))) return usual;
  const widest = Math.max(...values.map(({ cells }) => cells?.length ?? 0));
  return widest === names.length ? widest : usual;
}

function numericColumns(rows: readonly Row[], width: number): boolean[] {
  const even = rows.filter(({ cells }) => cells?.length === width);
  // Half is enough: in a log of three frames the header and its units are as many lines as the values.
  const enough = 0.5 * (even.length - 2);
  return Array.from({ length: width }, (_, i) => {
    let numbers = 0;
    let filled = 0;
    let last = "";
    let isLastNumber = false;
    for (const { cells } of even) {
      const cell = cells?.[i] ?? "";
      if (cell === "") continue;
      // Many a column prints what it printed in the row before.
      if (cell !== last) {
        last = cell;
        isLastNumber = isNumberLike(cell);
      }
      if (isMissing(cell)) continue;
      filled++;
      if (!isLastNumber) continue;
      numbers++;
      // Whatever follows.
      if (numbers >= enough) return true;
    }
    return numbers > 0 && numbers >= 0.5 * (filled - 2);
  });
}

function isRowOfValues({ cells }: Row, width: number, isNumeric: readonly boolean[]): boolean {
  if (cells === null || cells.length < Math.min(width, 2)) return false;
  let hits = 0;
  let misses = 0;
  for (let i = 0; i < cells.length; i++) {
    const cell = cells[i] ?? "";
    if (isNumeric[i] !== true || cell === "" || isMissing(cell)) continue;
    if (isNumberLike(cell)) hits++;
    else misses++;
  }
  return hits > misses && cells.length >= width * 0.5;
}

/** "|---|---|" under the header of a table drawn with characters, a row of blank cells, one with a stray quote, "sep=;". */
function isNoHeader({ cells, text }: Row): boolean {
  return cells === null || /^sep=.?$/i.test(text) || cells.every((cell) => /^[-:=+_]*$/.test(cell));
}

/** The first row of values; a table of another width above the log, with the log's header behind it, is passed over. */
function findFirstRow(rows: readonly Row[], width: number, isNumeric: readonly boolean[]): number {
  const first = rows.findIndex((row) => isRowOfValues(row, width, isNumeric));
  const even = rows.findIndex((row) => row.cells?.length === width && isRowOfValues(row, width, isNumeric));
  const isHeader = ({ cells }: Row): boolean =>
    cells?.length === width &&
    cells.some((cell) => /\p{L}/u.test(cell)) &&
    cells.every((cell, i) => isName(cell) || (cell === "" && i === width - 1));
  if (even > first && rows.slice(first, even).some(isHeader)) return even;
  return first < 0 ? first : passOverSummary(rows, first, isHeader);
}

/** Words, or the sign of a running number. */
function isName(cell: string): boolean {
  return cell === "#" || (/\p{L}/u.test(cell) && !isNumberLike(cell));
}

/** A short table of the log's own width above it, such as a summary: a header of other names stands behind it. */
function passOverSummary(rows: readonly Row[], first: number, isHeader: (row: Row) => boolean): number {
  // The log's own header, and perhaps a line of units.
  const above = rows.slice(Math.max(0, first - 2), first);
  const header = rows.findIndex(
    (row, i) =>
      i > first &&
      isHeader(row) &&
      !isRowOfUnits(row.cells ?? []) &&
      row.cells?.some((cell) => isNameOfTime(cell)) === true &&
      above.every(({ cells }) => row.cells?.some((cell, column) => cell !== cells?.[column])),
  );
  return header > first && header - first < rows.length - header ? header + 1 : first;
}

const maxNotes = 50;

function notesAbove(lines: readonly string[], line: number): string[] {
  const notes: string[] = [];
  for (const text of lines.slice(0, line - 1)) {
    if (!isSkipped(text) && notes.length < maxNotes) notes.push(text);
  }
  return notes;
}

/** Lines, but no row of numbers: perhaps a header over nothing, or words where numbers should be. */
function withoutNumbers(
  lines: readonly string[],
  rows: readonly Row[],
  width: number,
  delimiter: Delimiter,
): Dialect | DialectFault {
  const index = rows.findIndex(({ cells }) => cells?.length === width);
  const header = rows[index];
  if (
    header?.cells == null ||
    !header.cells.every((cell) => /^\D*\p{L}/u.test(cell) && cell.length <= 60) ||
    !header.cells.some((cell) => isNameOfTime(cell))
  ) {
    return { why: "no-table" };
  }
  const values = rows.slice(index + 1);
  const [first] = values;
  if (first === undefined) return { why: "no-rows" };
  return {
    delimiter,
    decimalSign: ".",
    isSignInDoubt: false,
    width,
    headerLine: header.line,
    names: header.cells,
    units: null,
    notes: notesAbove(lines, header.line),
    firstLine: first.line,
    rows: values,
    mayEndShort: false,
  };
}
