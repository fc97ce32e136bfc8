import { parse } from "csv-parse/sync";
import type { TextReading } from "./log.ts";

export type Delimiter = TextReading["delimiter"];

/** One line of the table (or several, where a quoted cell holds line ends). */
export interface Row {
  /** Line it begins on, counted from 1. */
  readonly line: number;
  /** Lines it covers. */
  readonly lines: number;
  /** Its cells without quotes and surrounding blanks; null where a quote is never closed. */
  readonly cells: readonly string[] | null;
  readonly text: string;
}

interface NumberedLine {
  readonly line: number;
  readonly text: string;
}

/** A quoted cell may hold this many lines; beyond that the quote is taken for a stray one. */
const longestCell = 8;
const longestText = 20_000;
/** After as many stray quotes no cell is taken to run over a line end any more: looking for its end costs time. */
const mostStrays = 100;

/**
 * Cuts lines into cells. Blank lines and lines that begin with "#" are no rows. Lines without a quote are cut at the
 * delimiter, which is all that RFC 4180 asks of them; lines with quotes go through csv-parse, as many at a time as
 * arrive together.
 */
export class RowSplitter {
  private readonly delimiter: Delimiter;
  private nextLine: number;
  /** Lines whose quote is still open. */
  private held: string[] = [];
  private strays = 0;

  /** @param firstLine number of the first line that will be pushed, counted from 1 */
  constructor(delimiter: Delimiter, firstLine: number) {
    this.delimiter = delimiter;
    this.nextLine = firstLine;
  }

  /** The rows that these lines complete, in order. */
  push(lines: readonly string[]): Row[] {
    if (this.delimiter === " ") return this.pushAligned(lines);
    const rows: Row[] = [];
    const quoted: NumberedLine[] = [];
    for (const text of lines) {
      const line = this.nextLine++;
      if (this.held.length === 0 && text.includes('"') && !isSkipped(text)) {
        quoted.push({ line, text });
        continue;
      }
      this.takeQuoted(quoted, rows);
      // A cell that the lines so far leave open takes a blank line in.
      if (this.held.length > 0) this.pushAlone(line, text, rows);
      else if (!isSkipped(text)) rows.push({ line, lines: 1, cells: cutPlain(text, this.delimiter), text });
    }
    this.takeQuoted(quoted, rows);
    return rows;
  }

  /** Runs of blanks between cells; a cell with blanks in it stands in quotes, and ends on its line. */
  private pushAligned(lines: readonly string[]): Row[] {
    const rows: Row[] = [];
    for (const text of lines) {
      const line = this.nextLine++;
      if (!isSkipped(text)) rows.push({ line, lines: 1, cells: cutAligned(text), text });
    }
    return rows;
  }

  /** Whether a quote is open, so that the next line belongs to a cell of this one. */
  get isHolding(): boolean {
    return this.held.length > 0;
  }

  /** Lines so far, with those before the table. */
  get lines(): number {
    return this.nextLine - 1;
  }

  /** Counts lines that were read by somebody else. */
  passOver(lines: number): void {
    this.nextLine += lines;
  }

  /** The rows still held back at the end of the file. */
  end(): Row[] {
    const rows: Row[] = [];
    while (this.held.length > 0) this.giveUpFirst(rows);
    return rows;
  }

  private pushAlone(line: number, text: string, rows: Row[]): void {
    this.held.push(text);
    const joined = this.held.join("\n");
    const cells = cutQuotedRecord(joined, this.delimiter);
    if (cells !== null) {
      rows.push({ line: line - this.held.length + 1, lines: this.held.length, cells, text: joined });
      this.held = [];
    } else if (
      this.held.length > longestCell ||
      joined.length > longestText ||
      this.strays > mostStrays ||
      !mayContinue(this.held[0] ?? "", this.delimiter)
    ) {
      this.giveUpFirst(rows, line);
    }
  }

  /** The first held line has a stray quote: it is a row of its own, the lines after it are looked at again. */
  private giveUpFirst(rows: Row[], lastLine = this.nextLine - 1): void {
    const lines = this.held;
    const line = lastLine - lines.length + 1;
    this.held = [];
    this.strays++;
    rows.push({ line, lines: 1, cells: null, text: lines[0] ?? "" });
    for (let i = 1; i < lines.length; i++) {
      const text = lines[i] ?? "";
      if (this.held.length > 0 || !isSkipped(text)) this.pushAlone(line + i, text, rows);
    }
  }

  /** Takes all lines with quotes from the list, cut together where each is a row. */
  private takeQuoted(quoted: NumberedLine[], rows: Row[]): void {
    if (quoted.length === 0) return;
    const records = parseQuoted(quoted.map(({ text }) => text).join("\n"), this.delimiter);
    // Fewer records than lines: somewhere a quote runs over a line end.
    const isEach = records?.length === quoted.length;
    for (const [i, { line, text }] of quoted.entries()) {
      if (isEach) rows.push({ line, lines: 1, cells: records[i] ?? null, text });
      else this.pushAlone(line, text, rows);
    }
    quoted.length = 0;
  }
}

/** Blank, or a comment: "#N/A" and "#DIV/0!" at the start of a row are what spreadsheets print for no number. */
export function isSkipped(line: string): boolean {
  return (line.startsWith("#") && !spreadsheetError.test(line)) || line.trim() === "";
}

const spreadsheetError = /^#(?:N\/?[AV]|\p{Lu}[\p{Lu}\d/]{1,8}[!?])(?=[,;\t|\s]|$)/u;

function cutPlain(text: string, delimiter: Delimiter): string[] {
  const cells: string[] = [];
  for (let from = 0; ; ) {
    const found = text.indexOf(delimiter, from);
    const to = found < 0 ? text.length : found;
    const cell = text.slice(from, to);
    cells.push(isVisible(text, from) && isVisible(text, to - 1) ? cell : cell.trim());
    if (found < 0) return cells;
    from = to + 1;
  }
}

/** A quoted cell, or a date with its time, may hold a blank. */
const alignedCell = /"(?:[^"]|"")*"(?!\S)|\d{4}[-/]\d{1,2}[-/]\d{1,2} \d{1,2}:\S+|\S+/g;

function cutAligned(text: string): string[] {
  const cells = /[":]/.test(text) ? (text.match(alignedCell) ?? []) : text.trim().split(/\s+/);
  return cells.map((cell) => (/^".*"$/.test(cell) ? cell.slice(1, -1).replaceAll('""', '"') : cell));
}

/** An ASCII character that trimming leaves. */
function isVisible(text: string, at: number): boolean {
  const code = text.charCodeAt(at);
  return code > 0x20 && code < 0x7f;
}

function cutQuotedRecord(text: string, delimiter: Delimiter): readonly string[] | null {
  if (!text.includes('"')) return cutPlain(text, delimiter);
  const records = parseQuoted(text, delimiter);
  return records?.length === 1 ? (records[0] ?? null) : null;
}

/** Only a quote at the start of a cell can be open at the end of the line. */
function mayContinue(text: string, delimiter: Delimiter): boolean {
  return text.split(delimiter).some((cell) => cell.trimStart().startsWith('"'));
}

function parseQuoted(text: string, delimiter: Delimiter): string[][] | null {
  try {
    return parse(text, {
      delimiter,
      quote: '"',
      escape: '"',
      record_delimiter: "\n",
      relax_quotes: true,
      relax_column_count: true,
      trim: true,
    });
  } catch {
    return null;
  }
}

/** Cuts a whole text at once, for the head of a file. */
export function splitRows(lines: readonly string[], firstLine: number, delimiter: Delimiter): Row[] {
  const splitter = new RowSplitter(delimiter, firstLine);
  return [...splitter.push(lines), ...splitter.end()];
}
