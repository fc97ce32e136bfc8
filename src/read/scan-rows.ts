import { Buffer, isUtf8 } from "node:buffer";
import { maxLineLength } from "./split-lines.ts";

/** The rows of a log's body as bytes: what the scanner needs to know of the table. */
export interface ScanPlan {
  readonly delimiter: "," | ";" | "\t" | "|";
  readonly decimalSign: "." | ",";
  /** Cells of an ordinary row. */
  readonly width: number;
  /** Rows with more or fewer cells than `width`, though with all that are needed, are none of the plain ones. */
  readonly isCounted: boolean;
  /** Columns to parse, from 0, ascending; the others are only passed over. */
  readonly needed: readonly number[];
  /** Needed columns whose cells may be blank: NaN then. */
  readonly optional?: ReadonlySet<number>;
  /** Columns that must hold digits, whatever they say. */
  readonly digits?: readonly number[];
  /** A column that must hold these very bytes. */
  readonly fixed?: { readonly column: number; readonly bytes: Uint8Array };
  /** Bytes beyond ASCII that make no text in this encoding are the careful reader's business. */
  readonly encoding: "utf-8" | "latin-1";
}

/** Who takes the rows. */
export interface RowTaker {
  /**
   * A plain row: the needed cells hold plain decimals and the row is as wide as the table.
   * @param values one per needed column; reused for the next row
   * @returns false if the row shall be read carefully after all
   */
  takePlain(row: PlainRow): boolean;
  /** Bytes of whole lines that are no plain rows, without the last line end; read carefully as text. */
  takeLines(bytes: Uint8Array): void;
  /** Whether the careful reader is in the middle of something that runs over line ends. */
  isBusy(): boolean;
}

/** The needed cells of one row; all arrays are reused from row to row and follow ScanPlan.needed. */
export interface PlainRow {
  /** Correctly rounded values. */
  readonly values: Float64Array;
  /** Whole part and fraction apart, where a value has more digits than a double holds; NaN where it is too long too. */
  readonly wholes: Float64Array;
  /** Only where the whole part has more than nine digits. */
  readonly fractions: Float64Array;
  /** A whole part of 16 to 24 digits, where `wholes` is NaN: its billions, and what is left of it. */
  readonly billions: Float64Array;
  readonly rests: Float64Array;
  /** Characters of each cell. */
  readonly lengths: Int32Array;
}

const ordinary = 0;
const isDelimiter = 1;
const isLineFeed = 2;
/** Quotes, carriage returns, NUL and all beyond ASCII: the careful reader's business. */
const isSpecial = 3;

/** What to do with the cells of a column up to the last one that matters; from 0 on: the place to parse them to. */
const passOver = -1;
const passDigits = -2;
const compareFixed = -3;

const powersOfTen = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));
/** Any integer below this is a double exactly. */
const exactBelow = 2 ** 53;

/**
 * Scans the regular body of a log as bytes: only the needed columns are parsed, rows that are not plain are handed
 * over whole. Push the bytes in pieces of any size, then end.
 */
export class RowScanner {
  /** Kinds of bytes where every piece must be looked at. */
  private readonly wary: Uint8Array;
  /** Kinds of bytes in pieces that hold no quote and are text as a whole. */
  private readonly trusting: Uint8Array;
  private classes: Uint8Array;
  private readonly delimiter: number;
  private readonly decimalByte: number;
  private readonly width: number;
  private readonly isCounted: boolean;
  private readonly isLatin: boolean;
  /** For each column up to the last one that matters what to do. */
  private readonly slots: Int32Array;
  private readonly fixed: Uint8Array;
  private readonly isOptional: readonly boolean[];
  private readonly row: PlainRow & { values: Float64Array };
  private readonly taker: RowTaker;
  /** The bytes being scanned, and the same memory as words of four. */
  private buffer: Uint8Array = new Uint8Array(0);
  private words: Int32Array = new Int32Array(0);
  /** The beginning of a line whose end has not come yet. */
  private carry: Uint8Array = new Uint8Array(1 << 12);
  private held = 0;
  /** Delimiters between the last cell that matters and the line's end. */
  private passed = 0;

  constructor(plan: ScanPlan, taker: RowTaker) {
    this.taker = taker;
    this.width = plan.width;
    this.isCounted = plan.isCounted;
    this.isLatin = plan.encoding === "latin-1";
    this.delimiter = plan.delimiter.charCodeAt(0);
    this.decimalByte = plan.decimalSign.charCodeAt(0);
    this.trusting = new Uint8Array(256).fill(ordinary);
    this.trusting[this.delimiter] = isDelimiter;
    this.trusting[0x0a] = isLineFeed;
    this.trusting[0x0d] = isSpecial;
    this.wary = this.trusting.slice();
    for (const byte of [0x00, 0x22]) this.wary[byte] = isSpecial;
    this.wary.fill(isSpecial, 0x80);
    this.classes = this.wary;
    const { needed, digits = [], fixed } = plan;
    this.slots = new Int32Array(Math.max(-1, ...needed, ...digits, fixed?.column ?? -1) + 1).fill(passOver);
    for (const column of digits) this.slots[column] = passDigits;
    for (const [slot, column] of needed.entries()) this.slots[column] = slot;
    if (fixed !== undefined) this.slots[fixed.column] = compareFixed;
    this.fixed = fixed?.bytes ?? new Uint8Array(0);
    this.isOptional = needed.map((column) => plan.optional?.has(column) ?? false);
    const n = needed.length;
    this.row = {
      values: new Float64Array(n),
      wholes: new Float64Array(n),
      fractions: new Float64Array(n),
      billions: new Float64Array(n),
      rests: new Float64Array(n),
      lengths: new Int32Array(n),
    };
  }

  /** Scans every line that is whole; what follows the last line end is copied and kept for the next piece. */
  push(bytes: Uint8Array): void {
    const piece = asBuffer(bytes);
    let from = 0;
    if (this.held > 0) {
      from = piece.indexOf(0x0a) + 1;
      this.hold(piece.subarray(0, from === 0 ? piece.length : from));
      if (from === 0) return;
      this.scan(this.carry.subarray(0, this.held));
      this.held = 0;
    }
    const end = piece.lastIndexOf(0x0a) + 1;
    if (end > from) this.scan(bytes.subarray(from, end));
    this.hold(piece.subarray(Math.max(from, end)));
  }

  /** The bytes after the last line end. */
  rest(): Uint8Array {
    return this.carry.subarray(0, this.held);
  }

  /** Bytes waiting for the end of their line. */
  get waiting(): number {
    return this.held;
  }

  private hold(bytes: Uint8Array): void {
    const total = this.held + bytes.length;
    if (total > this.carry.length) {
      const larger = new Uint8Array(2 * total);
      larger.set(this.carry.subarray(0, this.held));
      this.carry = larger;
    }
    this.carry.set(bytes, this.held);
    this.held = total;
  }

  /** @param lines whole ones, the last line end included */
  private scan(lines: Uint8Array): void {
    const all = asBuffer(lines);
    // Looked for in all lines at once these cost next to nothing; then no line needs to be looked at for them.
    const isPure = all.indexOf(0x22) < 0 && all.indexOf(0x00) < 0 && (this.isLatin || isUtf8(all));
    this.classes = isPure ? this.trusting : this.wary;
    this.buffer = lines;
    this.words = new Int32Array(lines.buffer, 0, lines.buffer.byteLength >> 2);
    const { taker } = this;
    const end = lines.length;
    let lineStart = 0;
    // Lines that are no plain rows are gathered, so that the careful reader gets them together.
    let strangeFrom = -1;
    while (lineStart < end) {
      const lineFeed = this.scanRow(lineStart, end, isPure);
      if (lineFeed >= 0) {
        if (strangeFrom >= 0) {
          taker.takeLines(lines.subarray(strangeFrom, lineStart - 1));
          strangeFrom = -1;
        }
        if (taker.isBusy() || !taker.takePlain(this.row)) strangeFrom = lineStart;
        lineStart = lineFeed + 1;
      } else {
        if (strangeFrom < 0) strangeFrom = lineStart;
        lineStart = all.indexOf(0x0a, lineStart) + 1;
      }
    }
    if (strangeFrom >= 0) taker.takeLines(lines.subarray(strangeFrom, end - 1));
  }

  /** @returns the position of the row's line feed, or -1 where it is no plain row */
  private scanRow(lineStart: number, end: number, isPure: boolean): number {
    const { buffer, classes, slots } = this;
    const lastColumn = slots.length - 1;
    const first = buffer[lineStart];
    if (first === 0x23 || first === 0x0a) return -1;
    let at = lineStart;
    let column = 0;
    // The columns up to the last one that matters: each must end before the next begins.
    for (;;) {
      const slot = slots[column] as number;
      if (slot >= 0) at = this.parseCell(at, end, slot);
      else if (slot === passOver) while (classes[buffer[at] as number] === ordinary) at++;
      else if (slot === passDigits) at = this.passDigits(at);
      else at = this.passFixed(at);
      if (at < 0) return -1;
      const kind = classes[buffer[at] as number];
      if (column === lastColumn && kind !== ordinary) break;
      if (kind !== isDelimiter) return -1;
      column++;
      at++;
    }
    // What follows is passed over, and counted where that matters.
    this.passed = 0;
    if (buffer[at] !== 0x0a) at = isPure ? this.findLineEnd(at, end) : this.walkToLineEnd(at);
    column += this.passed;
    if (buffer[at] === 0x0d) at++;
    if (buffer[at] !== 0x0a || at - lineStart > maxLineLength) return -1;
    return this.isCounted && column !== this.width - 1 ? -1 : at;
  }

  /**
   * The next line feed or carriage return, four bytes at a time; delimiters on the way are counted in `passed`.
   * There is one before `end`.
   * @see Warren, Hacker's Delight, 2nd edition, section 6-1 (bytes of zero in a word)
   */
  private findLineEnd(from: number, end: number): number {
    const { buffer, words, delimiter, isCounted } = this;
    const offset = buffer.byteOffset;
    let at = from;
    let count = 0;
    for (; ((offset + at) & 3) !== 0; at++) {
      const byte = buffer[at];
      if (byte === 0x0a || byte === 0x0d) {
        this.passed = count;
        return at;
      }
      if (byte === delimiter) count++;
    }
    const delimiters = Math.imul(delimiter, 0x01010101);
    let word = (offset + at) >> 2;
    for (; at + 4 <= end; at += 4, word++) {
      const four = words[word] as number;
      const feed = four ^ 0x0a0a0a0a;
      const turn = four ^ 0x0d0d0d0d;
      if ((((feed - 0x01010101) & ~feed) | ((turn - 0x01010101) & ~turn)) & 0x80808080) break;
      if (isCounted) {
        const other = four ^ delimiters;
        // The highest bit of each byte that is a delimiter; times this they add up in the highest byte.
        const equal = ~(((other & 0x7f7f7f7f) + 0x7f7f7f7f) | other) & 0x80808080;
        count += Math.imul(equal >>> 7, 0x01010101) >>> 24;
      }
    }
    for (; buffer[at] !== 0x0a && buffer[at] !== 0x0d; at++) if (buffer[at] === delimiter) count++;
    this.passed = count;
    return at;
  }

  /** The same byte by byte; stops at whatever else is special, too. */
  private walkToLineEnd(from: number): number {
    const { buffer, classes } = this;
    for (let at = from; ; at++) {
      const kind = classes[buffer[at] as number];
      if (kind === isDelimiter) this.passed++;
      else if (kind !== ordinary) return at;
    }
  }

  /** The position after a cell of digits alone, or -1. */
  private passDigits(from: number): number {
    const { buffer } = this;
    let at = from;
    while ((buffer[at] as number) >= 0x30 && (buffer[at] as number) <= 0x39) at++;
    return at > from ? at : -1;
  }

  /** The position after the cell that must be the fixed one, or -1. */
  private passFixed(from: number): number {
    const { buffer, fixed } = this;
    for (let i = 0; i < fixed.length; i++) if (buffer[from + i] !== fixed[i]) return -1;
    return from + fixed.length;
  }

  /**
   * Parses a cell: the usual one, up to nine digits on either side of the point and nothing else, in integers; any
   * other plain decimal with more care.
   * @returns the position after the cell, or -1 where the cell is no plain decimal
   */
  private parseCell(from: number, end: number, slot: number): number {
    const { buffer, row } = this;
    let at = from;
    let byte = 0;
    let whole = 0;
    for (; at < end; at++) {
      byte = (buffer[at] as number) - 0x30;
      if (byte < 0 || byte > 9) break;
      whole = (whole * 10 + byte) | 0;
    }
    const wholeDigits = at - from;
    let fraction = 0;
    let fractionDigits = 0;
    if (at < end && buffer[at] === this.decimalByte) {
      const fractionFrom = ++at;
      for (; at < end; at++) {
        byte = (buffer[at] as number) - 0x30;
        if (byte < 0 || byte > 9) break;
        fraction = (fraction * 10 + byte) | 0;
      }
      fractionDigits = at - fractionFrom;
    }
    const digits = wholeDigits + fractionDigits;
    // What follows must end the cell: the delimiter, or a line end.
    const isUsual =
      digits > 0 &&
      digits <= 15 &&
      wholeDigits <= 9 &&
      fractionDigits <= 9 &&
      (at >= end || (this.classes[buffer[at] as number] as number) > ordinary);
    if (!isUsual) return this.parseAnyCell(from, end, slot);
    if (at < end && buffer[at] !== 0x0d && this.classes[buffer[at] as number] === isSpecial) return -1;
    const power = powersOfTen[fractionDigits] as number;
    row.values[slot] = (whole * power + fraction) / power;
    row.wholes[slot] = whole;
    row.lengths[slot] = at - from;
    return at;
  }

  /** Parses any plain decimal with blanks around it; results as parseCell. */
  private parseAnyCell(from: number, end: number, slot: number): number {
    const { buffer, classes, decimalByte, row } = this;
    let at = from;
    while (at < end && buffer[at] === 0x20) at++;
    const start = at;
    let byte = buffer[at] as number;
    let isNegative = false;
    if (byte === 0x2d || byte === 0x2b) {
      isNegative = byte === 0x2d;
      at++;
    }
    let digits = 0;
    let significant = 0;
    let mantissa = 0;
    let whole = 0;
    let fractionDigits = 0;
    for (; at < end; at++) {
      byte = (buffer[at] as number) - 0x30;
      if (byte < 0 || byte > 9) break;
      digits++;
      if (mantissa !== 0 || byte !== 0) significant++;
      mantissa = mantissa * 10 + byte;
    }
    whole = mantissa;
    const wholeDigits = significant;
    const wholeEnd = at;
    if (at < end && buffer[at] === decimalByte) {
      at++;
      let fraction = 0;
      for (; at < end; at++) {
        byte = (buffer[at] as number) - 0x30;
        if (byte < 0 || byte > 9) break;
        digits++;
        fractionDigits++;
        if (mantissa !== 0 || byte !== 0) significant++;
        mantissa = mantissa * 10 + byte;
        fraction = fraction * 10 + byte;
      }
      row.fractions[slot] =
        fractionDigits <= 15 ? fraction / (powersOfTen[fractionDigits] as number) : Number.NaN;
    } else {
      row.fractions[slot] = 0;
    }
    if (digits === 0)
      return start === at && this.isOptional[slot] === true ? this.blankCell(at, end, slot) : -1;
    let exponent = 0;
    if (at < end && ((buffer[at] as number) | 0x20) === 0x65) {
      at++;
      let isDown = false;
      byte = buffer[at] as number;
      if (byte === 0x2d || byte === 0x2b) {
        isDown = byte === 0x2d;
        at++;
      }
      const exponentFrom = at;
      for (; at < end; at++) {
        byte = (buffer[at] as number) - 0x30;
        if (byte < 0 || byte > 9) break;
        if (exponent < 10_000) exponent = exponent * 10 + byte;
      }
      if (at === exponentFrom) return -1;
      if (isDown) exponent = -exponent;
    }
    const stop = at;
    while (at < end && buffer[at] === 0x20) at++;
    if (at < end) {
      const kind = classes[buffer[at] as number];
      if (kind === ordinary) return -1;
      if (kind === isSpecial && buffer[at] !== 0x0d) return -1;
    }
    row.lengths[slot] = stop - start;
    row.wholes[slot] = wholeDigits <= 15 && exponent === 0 ? (isNegative ? -whole : whole) : Number.NaN;
    const isLong = wholeDigits > 15 && wholeDigits <= 24 && exponent === 0 && !isNegative;
    row.billions[slot] = isLong ? digitsBetween(buffer, wholeEnd - wholeDigits, wholeEnd - 9) : Number.NaN;
    row.rests[slot] = isLong ? digitsBetween(buffer, wholeEnd - 9, wholeEnd) : Number.NaN;
    const power = exponent - fractionDigits;
    if (significant <= 15 && power >= -22 && power <= 22 && mantissa < exactBelow) {
      // One rounding of exact operands is the nearest double (Clinger 1990, How to read floating point numbers accurately).
      const size =
        power < 0 ? mantissa / (powersOfTen[-power] as number) : mantissa * (powersOfTen[power] as number);
      row.values[slot] = isNegative ? -size : size;
    } else {
      row.values[slot] = Number(textOf(buffer, start, stop).replace(",", "."));
    }
    return at;
  }

  private blankCell(at: number, end: number, slot: number): number {
    const kind = this.classes[this.buffer[at] as number];
    if (at < end && (kind === ordinary || (kind === isSpecial && this.buffer[at] !== 0x0d))) return -1;
    this.row.values[slot] = Number.NaN;
    this.row.lengths[slot] = 0;
    return at;
  }
}

function digitsBetween(buffer: Uint8Array, from: number, to: number): number {
  let value = 0;
  for (let at = from; at < to; at++) value = value * 10 + (buffer[at] as number) - 0x30;
  return value;
}

function textOf(buffer: Uint8Array, from: number, to: number): string {
  // Not character by character: a cell may be longer than a call has room for arguments.
  return Buffer.from(buffer.buffer, buffer.byteOffset + from, to - from).toString("latin1");
}

/** The same bytes with Node's own search, which is many times as fast as that of a plain array. */
function asBuffer(bytes: Uint8Array): Buffer {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length);
}
