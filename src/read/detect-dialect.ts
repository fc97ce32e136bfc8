import type { TextReading } from "./log.ts";
import { mostColumns } from "./log-limits.ts";
import { nameWords } from "./name-words.ts";
import { readMoment } from "./read-moment.ts";
import { cellUnits, isDigitAt, readNumber } from "./read-number.ts";
import { type Delimiter, isSkipped, type Row, splitRows } from "./split-rows.ts";
import { timeUnitOfWords, unitOfWords } from "./units.ts";
import { isClockName, weighDurationName, weighRateName } from "./weigh-words.ts";

type DecimalSign = TextReading["decimalSign"];

/** The head of a file as a table. */
export interface Dialect {
  readonly delimiter: Delimiter;
  readonly decimalSign: DecimalSign;
  /** Every comma in a number could be a decimal sign or part thousands. */
  readonly isSignInDoubt: boolean;
  /** Cells of an ordinary row. */
  readonly width: number;
  /** Line of the header, counted from 1; null where there is none. */
  readonly headerLine: number | null;
  /** One per column, or null where there is no header. */
  readonly names: readonly string[] | null;
  /** A second header line that holds units alone. */
  readonly units: readonly string[] | null;
  readonly notes: readonly string[];
  /** Line of the first row of values, counted from 1. */
  readonly firstLine: number;
  /** Rows of values in the head. */
  readonly rows: readonly Row[];
  /** Rows may end before the table does, as where the last cells are blank; else one that does was cut. */
  readonly mayEndShort: boolean;
}

export type DialectFault =
  | { readonly why: "no-table" }
  | { readonly why: "too-wide"; readonly columns: number }
  | { readonly why: "no-rows" }
  | { readonly why: "header-width"; readonly line: number; readonly names: number; readonly cells: number };

/** Any of these may be one; blanks part cells only where none of them does. */
const delimiters: readonly Delimiter[] = [",", ";", "\t", "|"];
/** Runs of blanks between cells, as in a table that is aligned for the eye. */
const blanks = " ";
/** Lines of text above a table may happen to have as many words as the table has cells. */
const clearlyBetter = 0.05;
const maxNotes = 50;

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

function detectFrom(lines: readonly string[]): Dialect | DialectFault {
  const delimiter = chooseDelimiter(lines);
  if (delimiter === null) return withoutDelimiter(lines);
  const cut = splitRows(lines, 1, delimiter);
  const usual = usualWidth(cut);
  const rows = delimiter === blanks ? cut.map((row) => withWideGaps(row, usual)) : cut;
  const isNumeric = numericColumns(rows, usual);
  const firstIndex = findFirstRow(rows, usual, isNumeric);
  const first = rows[firstIndex];
  if (first === undefined) return withoutNumbers(lines, rows, usual, delimiter);

  const before = rows.slice(0, firstIndex).filter((row) => !isNoHeader(row));
  const values = rows.slice(firstIndex);
  const width = widthWithOptionalEnd(usual, before.at(-1), values);
  const isEndBlank = values.every(({ cells }) => (cells?.[width - 1] ?? "") === "");
  const header = findHeader(before, lines, first.line, { width, isEndBlank }, delimiter);
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

/** Rows that lack cells at their end. */
function endShort(rows: readonly Row[], width: number): readonly Row[] {
  return rows.filter(({ cells }) => cells !== null && cells.length < width);
}

/** The rows that tell what the columns hold: a cell at a row's end may be cut where the row is. */
export function rowsToGoBy({ rows, width, mayEndShort }: Dialect): readonly Row[] {
  return mayEndShort || endShort(rows, width).length === 0
    ? rows
    : rows.filter(({ cells }) => cells === null || cells.length >= width);
}

/** The delimiter that cuts the lines most evenly into the most numbers; null where none gives a table. */
function chooseDelimiter(lines: readonly string[]): Delimiter | null {
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

/** Names with blanks inside stand further apart than their words: cut where two blanks or more are. */
function withWideGaps(row: Row, width: number): Row {
  if (row.cells?.length === width) return row;
  const cells = row.text.trim().split(/\s{2,}|\t/);
  return cells.length === width ? { ...row, cells } : row;
}

/** No table, or one that goes beyond what is read. */
function withoutDelimiter(lines: readonly string[]): DialectFault {
  const widths = delimiters.map((delimiter) => usualWidth(splitRows(lines.slice(0, 100), 1, delimiter)));
  const columns = Math.max(...widths);
  return columns > mostColumns ? { why: "too-wide", columns } : { why: "no-table" };
}

/** Wider tables first where the rest is equal: cutting too little also gives even lines. */
function scoreOf(regularShare: number, goodShare: number, width: number): number {
  return regularShare * goodShare + Math.min(width, 20) * 0.01 - (width === 1 ? 0.2 : 0);
}

/** One column such as "16,67": cut at the comma it would be two columns of whole numbers that make no sense. */
function isColumnOfDecimalCommas(lines: readonly string[]): boolean {
  const rows = lines.filter((line) => !isSkipped(line));
  if (rows.filter((line) => momentWithComma.test(line)).length > 0.9 * (rows.length - 1)) return true;
  const first = rows.findIndex((line) => decimalComma.test(line));
  if (first < 0) return false;
  const values = rows.slice(first).filter((line) => !isMissing(line.trim()));
  const parts = values.flatMap((line) => {
    const match = decimalComma.exec(line);
    return match === null ? [] : [{ whole: Number(match[1]), fraction: match[2] ?? "" }];
  });
  if (parts.length < 0.9 * values.length) return false;
  // A running number before the comma is a column of its own.
  const counted = parts.filter(({ whole }, i) => whole === (parts[i - 1]?.whole ?? Number.NaN) + 1).length;
  if (parts.length >= 5 && counted === parts.length - 1) return false;
  // Whole numbers have no zero in front; fractions of one length do.
  const isEven = parts.every(({ fraction }) => fraction.length === parts[0]?.fraction.length);
  const hasZero = parts.some(({ fraction }) => /^0\d/.test(fraction));
  if (isEven && hasZero && parts.some(({ fraction }) => Number(fraction) !== 0)) return true;
  const header = rows[first - 1];
  // "frame time, ms" names one column, "frame,ms" two.
  const [name = "", unit, ...more] = header?.split(/,\s+/) ?? [];
  if (unit !== undefined && more.length === 0 && !name.includes(",") && isRowOfUnits([unit.trim()]))
    return true;
  if (header !== undefined && !isProse([header])) return !header.includes(",");
  // Nor do a duration's decimals count its frames.
  const numbered = parts.filter(
    ({ fraction }, i) => Number(fraction) === Number(parts[i - 1]?.fraction ?? Number.NaN) + 1,
  ).length;
  if (parts.length >= 5 && numbered >= 0.9 * (parts.length - 1)) return false;
  return parts.some(({ whole }, i) => whole < (parts[i - 1]?.whole ?? whole));
}

/** ISO 8601 prefers the comma before a fraction of a second. */
const momentWithComma = /^[^,;\t|]*\d:\d\d:\d\d,\d{1,12}\s*(?:Z|[+-]\d\d:?\d\d)?\s*$/;
const decimalComma = new RegExp(`^\\s*([+-]?\\d+),(\\d+)\\s*(?:${cellUnits})?\\s*$`, "i");

/** The commonest number of cells; the larger where two are as common. */
function usualWidth(rows: readonly Row[]): number {
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

/** Where rows leave out blank cells at their end, the header and the rows that have them say how wide the table is. */
function widthWithOptionalEnd(usual: number, header: Row | undefined, values: readonly Row[]): number {
  const names = header?.cells ?? [];
  if (names.length <= usual || !names.every((name) => /\p{L}/u.test(name))) return usual;
  const widest = Math.max(...values.map(({ cells }) => cells?.length ?? 0));
  return widest === names.length ? widest : usual;
}

function isNumberLike(cell: string): boolean {
  return isNumber(cell, ".") || isNumber(cell, ",") || readMoment(cell) !== null || isMissing(cell);
}

function isNumber(cell: string, decimalSign: DecimalSign): boolean {
  return !Number.isNaN(readNumber(cell, decimalSign));
}

/** What programs print where they have no number. */
export function isMissing(cell: string): boolean {
  // All of them begin otherwise, and nearly every cell begins so.
  if (isDigitAt(cell, 0)) return false;
  // "#DIV/0!", "#N/A": what spreadsheets print.
  if (/^#\p{Lu}[\p{Lu}\d/]{0,8}[!?]?$/u.test(cell)) return true;
  const said = /^(?:nan|n\/?a|null|none|-+|[-+]?inf|infinity|\?)(?:\s+(\S{1,12}))?$/i.exec(cell);
  return said !== null && (said[1] === undefined || unitOfWords(said[1]) !== null);
}

function numericColumns(rows: readonly Row[], width: number): boolean[] {
  const even = rows.filter(({ cells }) => cells?.length === width);
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
      if (isLastNumber) numbers++;
    }
    // Half is enough: in a log of three frames the header and its units are as many lines as the values.
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

/** "|---|---|" under the header of a table drawn with characters, a row of blank cells, or one with a stray quote. */
function isNoHeader({ cells }: Row): boolean {
  return cells === null || cells.every((cell) => /^[-:=+_]*$/.test(cell));
}

interface Header {
  readonly line: number;
  readonly names: readonly string[];
  readonly units: readonly string[] | null;
}

/** The first row of values; a table of another width above the log, with the log's header behind it, is passed over. */
function findFirstRow(rows: readonly Row[], width: number, isNumeric: readonly boolean[]): number {
  const first = rows.findIndex((row) => isRowOfValues(row, width, isNumeric));
  const even = rows.findIndex((row) => row.cells?.length === width && isRowOfValues(row, width, isNumeric));
  const isHeader = ({ cells }: Row): boolean =>
    cells?.length === width && cells.every((cell) => /\p{L}/u.test(cell) && !isNumberLike(cell));
  if (even > first && rows.slice(first, even).some(isHeader)) return even;
  return first < 0 ? first : passOverSummary(rows, first, isHeader);
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

function findHeader(
  before: readonly Row[],
  lines: readonly string[],
  firstLine: number,
  table: TableWidth,
  delimiter: Delimiter,
): Header | DialectFault | null {
  const { width } = table;
  const last = before.at(-1);
  const above = before.at(-2);
  const comment = commentHeader(lines, firstLine, table, delimiter);
  if (last?.cells == null || comment !== null) return comment;
  const { cells } = last;
  const isText = isProse(cells);
  if (width === 1 && isText) return null;
  const names = fitWidth(cells, table);
  if (names === null) {
    // "frame time, ms" over one column; else the second name may be that of a column that is missing.
    if (width === 1 && cells.length === 2 && isRowOfUnits(cells.slice(1))) {
      return { line: last.line, names: [last.text.trim()], units: null };
    }
    // A line of free text above the table has few cells; a header that lost one has nearly as many as the rows.
    const nearly = cells.length >= 2 && cells.length >= 0.5 * width;
    const isNames = delimiter !== blanks || cells.some((cell) => isNameOfTime(cell));
    return nearly && !isText && isNames
      ? { why: "header-width", line: last.line, names: cells.length, cells: width }
      : null;
  }
  // "Machine: bench 2, 32 GB" over two columns.
  if (cells.some(isLabelled) && !cells.some((cell) => isNameOfTime(cell))) return null;
  const commented = isRowOfUnits(cells) ? commentHeader(lines, last.line, table, delimiter) : null;
  if (commented?.names.some((name) => isNameOfTime(name)) === true) return { ...commented, units: names };
  const aboveNames = above?.cells == null ? null : fitWidth(above.cells, table);
  if (
    above?.line === last.line - 1 &&
    aboveNames !== null &&
    isRowOfUnits(cells) &&
    (width > 1 || aboveNames.some((name) => isNameOfTime(name))) &&
    aboveNames.some((name) => /\p{L}/u.test(name))
  ) {
    return { line: above.line, names: aboveNames, units: names };
  }
  return { line: last.line, names, units: null };
}

/** A line of notes, cut at its commas, rather than names: "Scene: the harbour, at night". */
function isProse(cells: readonly string[]): boolean {
  if (cells.some(isLabelled)) return true;
  return cells.some((cell) => cell.split(/\s+/).length > 3) && !cells.some((cell) => isNameOfTime(cell));
}

function isLabelled(cell: string): boolean {
  return /:(?:\s|$)/.test(cell);
}

/** Cells of an ordinary row; rows that end with the delimiter have a blank one at the end, which needs no name. */
interface TableWidth {
  readonly width: number;
  readonly isEndBlank: boolean;
}

/** A name for each column; what stands beyond the last one must be empty. */
function fitWidth(cells: readonly string[], { width, isEndBlank }: TableWidth): readonly string[] | null {
  if (cells.length === width) return cells;
  if (cells.length > width && cells.slice(width).every((cell) => cell === "")) return cells.slice(0, width);
  return isEndBlank && cells.length === width - 1 ? [...cells, ""] : null;
}

function isRowOfUnits(cells: readonly string[]): boolean {
  return cells.every((cell) => /^[[(]?[-#]?[\])]?$/.test(cell) || unitOfWords(cell) !== null);
}

/** "# frame, time" straight above the values, as plotting tools like it. */
function commentHeader(
  lines: readonly string[],
  firstLine: number,
  table: TableWidth,
  delimiter: Delimiter,
): Header | null {
  for (let line = firstLine - 1; line >= 1; line--) {
    const text = lines[line - 1] ?? "";
    if (text.trim() === "") continue;
    if (!text.startsWith("#")) return null;
    const row = splitRows([text.replace(/^#+/, "")], line, delimiter)[0];
    const cut = delimiter === blanks && row !== undefined ? withWideGaps(row, table.width).cells : row?.cells;
    const aligned = row === undefined ? null : withWideGaps(row, table.width - 1).cells;
    // Nothing stands before the blanks that follow the sign: it is a name, see below.
    const isSignName = delimiter === blanks && /^#\s/.test(text) && aligned?.length === table.width - 1;
    const cells = isSignName && cut?.length !== table.width ? ["", ...(aligned ?? [])] : cut;
    const names = cells == null ? null : fitWidth(cells, table);
    if (names === null) return null;
    const [first, ...others] = names;
    // "#,frame time": the sign is the name of the column that numbers the rows.
    const isNumbering = first === "" && others.length > 0;
    if (!(isNumbering ? others : names).every((name) => /\p{L}/u.test(name))) return null;
    return { line, names: isNumbering ? ["#", ...others] : names, units: null };
  }
  return null;
}

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

/** Prose has lines and commas too; a header names a time or a rate, and is no sentence. */
function isNameOfTime(cell: string): boolean {
  const words = nameWords(cell);
  if (/[.!?]$/.test(cell)) return false;
  return (
    weighDurationName(words, timeUnitOfWords(words) !== null).weight >= 1 ||
    isClockName(words) ||
    weighRateName(words).isRate
  );
}

/** By majority of the cells that can only be read one way. */
function chooseDecimalSign(
  rows: readonly Row[],
  delimiter: Delimiter,
): Pick<Dialect, "decimalSign" | "isSignInDoubt"> {
  const sample = rows.slice(0, 400);
  // Without a comma in any cell there is no doubt.
  const mayHoldCommas = ({ text }: Row): boolean => text.includes(delimiter === "," ? '"' : ",");
  if (!sample.some(mayHoldCommas)) return { decimalSign: ".", isSignInDoubt: false };
  let commas = 0;
  let points = 0;
  let either = 0;
  for (const { cells, text } of sample) {
    for (const cell of cells ?? []) {
      if (!cell.includes(",")) {
        if (cell.includes(".") && isNumber(cell, ".")) points++;
      } else if (cell.includes(".")) {
        if (isNumber(cell, ",")) commas++;
        else if (isNumber(cell, ".")) points++;
      } else if (isNumber(cell, ",")) {
        const thousands = isNumber(cell, ".") && !/^[+-]?0/.test(cell);
        // Thousands are parted inside quotes only.
        if (thousands && (delimiter === "," || text.includes(`"${cell}"`))) either++;
        else commas++;
      }
    }
  }
  if (commas !== points) return { decimalSign: commas > points ? "," : ".", isSignInDoubt: false };
  const isSignInDoubt = either > 0 && points === 0;
  return { decimalSign: isSignInDoubt && looksDecimal(rows) ? "," : ".", isSignInDoubt };
}

/**
 * Every cell with a comma has exactly three digits behind it. Whole numbers with parted thousands sooner or later
 * show one below 1,000 or a second comma; three fixed decimals never do.
 */
function looksDecimal(rows: readonly Row[]): boolean {
  const withComma = new Set<number>();
  const wholeSmall = new Set<number>();
  let hasTwoGroups = false;
  for (const { cells } of rows.slice(0, 400)) {
    cells?.forEach((cell, i) => {
      if (/^[+-]?\d{1,3},\d{3}$/.test(cell)) withComma.add(i);
      else if (/^[+-]?\d{1,3}$/.test(cell)) wholeSmall.add(i);
      else if (/^[+-]?\d{1,3}(,\d{3}){2,}$/.test(cell)) hasTwoGroups = true;
    });
  }
  return !hasTwoGroups && [...withComma].every((i) => !wholeSmall.has(i));
}
