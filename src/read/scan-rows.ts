/** The rows of a log's body as bytes: what the scanner needs to know of the table. */
export interface ScanPlan {
  readonly delimiter: "," | ";" | "\t" | "|";
  readonly decimalSign: "." | ",";
  /** Cells of an ordinary row. */
  readonly width: number;
  /** Columns to parse, from 0, ascending; the others are only counted. */
  readonly needed: readonly number[];
  /** Needed columns whose cells may be blank: NaN then. */
  readonly optional?: ReadonlySet<number>;
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
  /** Whole part and fraction apart, where a value has more digits than a double holds. */
  readonly wholes: Float64Array;
  readonly fractions: Float64Array;
  /** Characters of each cell. */
  readonly lengths: Int32Array;
}

const ordinary = 0;
const isDelimiter = 1;
const isLineFeed = 2;
/** Quotes, carriage returns, NUL and all beyond ASCII: the careful reader's business. */
const isSpecial = 3;

const powersOfTen = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));
/** Any integer below this is a double exactly. */
const exactBelow = 2 ** 53;

/**
 * Scans the regular body of a log as bytes: only the needed columns are parsed, rows that are not plain are handed
 * over whole. Push the bytes in pieces of any size, then end.
 */
export class RowScanner {
  private readonly classes: Uint8Array;
  private readonly decimalByte: number;
  private readonly width: number;
  /** For each column up to the last needed one its place among the needed, or -1. */
  private readonly slots: Int32Array;
  private readonly isOptional: readonly boolean[];
  private readonly row: PlainRow & { values: Float64Array };
  private readonly taker: RowTaker;
  private buffer: Uint8Array = new Uint8Array(1 << 16);
  private held = 0;

  constructor(plan: ScanPlan, taker: RowTaker) {
    this.taker = taker;
    this.width = plan.width;
    this.decimalByte = plan.decimalSign.charCodeAt(0);
    this.classes = new Uint8Array(256).fill(ordinary);
    this.classes[plan.delimiter.charCodeAt(0)] = isDelimiter;
    this.classes[0x0a] = isLineFeed;
    for (const byte of [0x00, 0x0d, 0x22]) this.classes[byte] = isSpecial;
    this.classes.fill(isSpecial, 0x80);
    this.slots = new Int32Array((plan.needed.at(-1) ?? -1) + 1).fill(-1);
    for (const [slot, column] of plan.needed.entries()) this.slots[column] = slot;
    this.isOptional = plan.needed.map((column) => plan.optional?.has(column) ?? false);
    const n = plan.needed.length;
    this.row = {
      values: new Float64Array(n),
      wholes: new Float64Array(n),
      fractions: new Float64Array(n),
      lengths: new Int32Array(n),
    };
  }

  /** Scans every line that is whole; the rest is kept for the next piece. `bytes` are copied, not kept. */
  push(bytes: Uint8Array): void {
    const total = this.held + bytes.length;
    if (total > this.buffer.length) {
      const larger = new Uint8Array(Math.max(total, 2 * this.buffer.length));
      larger.set(this.buffer.subarray(0, this.held));
      this.buffer = larger;
    }
    this.buffer.set(bytes, this.held);
    const used = this.scan(total);
    this.buffer.copyWithin(0, used, total);
    this.held = total - used;
  }

  /** The bytes after the last line end. */
  rest(): Uint8Array {
    return this.buffer.subarray(0, this.held);
  }

  /** Bytes waiting for the end of their line. */
  get waiting(): number {
    return this.held;
  }

  /** @returns how many bytes were used up */
  private scan(end: number): number {
    const { buffer, classes, width, slots, taker } = this;
    const lastNeeded = slots.length;
    let lineStart = 0;
    // Lines that are no plain rows are gathered, so that the careful reader gets them together.
    let strangeFrom = -1;
    for (;;) {
      let at = lineStart;
      let column = 0;
      let isPlain = true;
      const first = buffer[at];
      if (first === 0x23 || first === 0x0a) isPlain = false;
      // The columns up to the last one that is needed.
      while (isPlain && column < lastNeeded && at < end) {
        const slot = slots[column] as number;
        if (slot >= 0) {
          at = this.parseCell(at, end, slot);
          if (at < 0) {
            isPlain = false;
            at = lineStart;
            break;
          }
        } else {
          while (at < end && classes[buffer[at] as number] === ordinary) at++;
        }
        if (at >= end) break;
        const kind = classes[buffer[at] as number];
        if (kind === isDelimiter) {
          column++;
          at++;
        } else {
          break;
        }
      }
      // The others are only counted.
      let kind = ordinary;
      if (isPlain) {
        for (; at < end; at++) {
          kind = classes[buffer[at] as number] as number;
          if (kind === ordinary) continue;
          if (kind === isDelimiter) column++;
          else break;
        }
        if (
          kind === isSpecial &&
          at < end &&
          buffer[at] === 0x0d &&
          at + 1 < end &&
          buffer[at + 1] === 0x0a
        ) {
          at++;
          kind = isLineFeed;
        }
        if (kind !== isLineFeed && at < end) isPlain = false;
      }
      if (!isPlain) {
        const lineFeed = buffer.indexOf(0x0a, at);
        at = lineFeed < 0 || lineFeed >= end ? end : lineFeed;
      }
      if (at >= end) {
        if (strangeFrom >= 0) taker.takeLines(buffer.subarray(strangeFrom, lineStart - 1));
        return lineStart;
      }
      if (isPlain && column === width - 1) {
        if (strangeFrom >= 0) {
          taker.takeLines(buffer.subarray(strangeFrom, lineStart - 1));
          strangeFrom = -1;
        }
        if (taker.isBusy() || !taker.takePlain(this.row)) strangeFrom = lineStart;
      } else if (strangeFrom < 0) {
        strangeFrom = lineStart;
      }
      lineStart = at + 1;
    }
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
    row.fractions[slot] = fraction / power;
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

function textOf(buffer: Uint8Array, from: number, to: number): string {
  return String.fromCharCode(...buffer.subarray(from, to));
}
