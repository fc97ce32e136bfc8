import { alignNames } from "./align-names.ts";
import { blanks, withWideGaps } from "./choose-delimiter.ts";
import type { DialectFault } from "./dialect.ts";
import { type Delimiter, type Row, splitRows } from "./split-rows.ts";
import { isLabelled, isNameOfTime, isNumber, isProse, isRowOfUnits } from "./tell-cells.ts";

export interface Header {
  /** Counted from 1. */
  readonly line: number;
  readonly names: readonly string[];
  readonly units: readonly string[] | null;
}

/**
 * The names of a table's columns, with a line of units under them where there is one; null where nothing names them.
 * @param before rows above the first one of values
 * @param lines all of the head, comments among them
 * @param firstLine line of the first row of values, counted from 1
 */
export function findHeader(
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
  const values = delimiter === blanks ? lines[firstLine - 1] : undefined;
  const names = fitWidth(cells, table) ?? namesOver(values, last.text, width);
  if (names === null) {
    // "frame time, ms" over one column; else the second name may be that of a column that is missing.
    if (width === 1 && cells.length === 2 && isRowOfUnits(cells.slice(1))) {
      return { line: last.line, names: [last.text.trim()], units: null };
    }
    // A line of free text above the table has few cells; a header that lost one has nearly as many as the rows.
    const isOneOfNotes =
      cells.length === 2 &&
      above?.cells?.length === 2 &&
      above.line === last.line - 1 &&
      !cells.some((cell) => isNameOfTime(cell));
    const nearly = cells.length >= 2 && cells.length >= 0.5 * width && !isOneOfNotes;
    const isNames = delimiter !== blanks || cells.some((cell) => isNameOfTime(cell));
    return nearly && !isText && isNames
      ? { why: "header-width", line: last.line, names: cells.length, cells: width }
      : null;
  }
  // "Machine: bench 2, 32 GB" over two columns, or "Run,3": a name and its value, not names.
  const isNote = cells.some(isLabelled) || (cells.length === 2 && isNumber(cells[1] ?? "", "."));
  if (isNote && !cells.some((cell) => isNameOfTime(cell))) return null;
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

/** Names of several words that stand over the values of a table aligned with blanks. */
function namesOver(values: string | undefined, header: string, width: number): readonly string[] | null {
  const names = values === undefined ? null : alignNames(header, values);
  return names?.length === width ? names : null;
}

interface TableWidth {
  /** Cells of an ordinary row. */
  readonly width: number;
  /** Rows that end with the delimiter have a blank cell at the end, which needs no name. */
  readonly isEndBlank: boolean;
  /** Rows that begin with a name of their own, which is no value of a column. */
  readonly hasRowNames: boolean;
}

/**
 * A name for each column; what stands beyond the last one must be empty. Above rows with names of their own, a header
 * may be one name short (R Core Team, help page of read.table, argument row.names).
 */
function fitWidth(
  cells: readonly string[],
  { width, isEndBlank, hasRowNames }: TableWidth,
): readonly string[] | null {
  if (cells.length === width) return cells;
  if (cells.length > width && cells.slice(width).every((cell) => cell === "")) return cells.slice(0, width);
  if (cells.length !== width - 1) return null;
  if (isEndBlank) return [...cells, ""];
  return hasRowNames ? ["", ...cells] : null;
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
    const values = delimiter === blanks ? lines[firstLine - 1] : undefined;
    const names = (cells == null ? null : fitWidth(cells, table)) ?? namesOver(values, text, table.width);
    if (names === null) return null;
    // "# Quality: high, no shadows" over two columns.
    if (names.some(isLabelled) && !names.some((name) => isNameOfTime(name))) return null;
    const [first, ...others] = names;
    // "#,frame time": the sign is the name of the column that numbers the rows.
    const isNumbering = (first === "" || first === "#") && others.length > 0;
    const needed = table.isEndBlank && names.at(-1) === "" ? others.slice(0, -1) : others;
    if (![...(isNumbering ? [] : [first ?? ""]), ...needed].every((name) => /\p{L}/u.test(name))) return null;
    return { line, names: isNumbering ? ["#", ...others] : names, units: null };
  }
  return null;
}
