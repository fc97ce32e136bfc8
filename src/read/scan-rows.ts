import { Buffer, isUtf8 } from "node:buffer";
import type { TextReading } from "./log.ts";
import type { ClockForm } from "./read-clock.ts";
import { RowKernel } from "./row-kernel.ts";

/** The rows of a log's body as bytes: what the scanner needs to know of the table. */
export interface ScanPlan {
  readonly delimiter: TextReading["delimiter"];
  readonly decimalSign: "." | ",";
  /** Cells of an ordinary row. */
  readonly width: number;
  /** Rows with more or fewer cells than `width`, though with all that are needed, are none of the plain ones. */
  readonly isCounted: boolean;
  /** Rows may end with the last needed cell, though the table goes on. */
  readonly mayEndShort: boolean;
  /** Columns to parse, from 0; the others are only passed over. */
  readonly needed: readonly number[];
  /** Needed columns whose cells may be blank: NaN then. */
  readonly optional?: ReadonlySet<number>;
  /** Columns that must hold digits, whatever they say, where they are not needed. */
  readonly digits?: readonly number[];
  /** A column that must hold these very bytes. */
  readonly fixed?: { readonly column: number; readonly bytes: Uint8Array };
  /** The needed column that is read by `RowTaker.clockForm`, exact however many digits it prints. */
  readonly clock?: number;
  /** Bytes beyond ASCII that make no text in this encoding are the careful reader's business. */
  readonly encoding: "utf-8" | "latin-1";
}

/** The needed cells of some plain rows: one array per needed column; all are reused for the next rows. */
export type PlainRows = readonly Float64Array[];

/** Who takes the rows. */
export interface RowTaker {
  /** How the clock's cells are to be read; null where that is the careful reader's business. */
  readonly clockForm: ClockForm | null;
  /**
   * Plain rows: the needed cells hold plain decimals, correctly rounded, and the rows are as wide as the table.
   * @returns how many of them, from the first on, were taken; the one after these shall be read carefully
   */
  takePlain(rows: PlainRows, count: number): number;
  /** Bytes of whole lines that are no plain rows, without the last line end; read carefully as text. */
  takeLines(bytes: Uint8Array): void;
  /** Whether the careful reader is in the middle of something that runs over line ends. */
  isBusy(): boolean;
}

/** Rows read at once at most; after one that was not taken, far fewer, as the ones behind it are read again. */
export const mostRows = 1024;
const fewestRows = 8;
/** Of a table without a clock. */
const noClock: ClockForm = { base: 0n };

/**
 * Scans the regular body of a log as bytes: only the needed columns are parsed, rows that are not plain are handed
 * over whole. Push the bytes in pieces of any size, then take the rest; release it when done.
 */
export class RowScanner {
  private readonly kernel: RowKernel;
  private readonly taker: RowTaker;
  private readonly hasClock: boolean;
  private readonly isLatin: boolean;
  /** Bytes of a line whose end has not come yet; they lie where the next piece goes on. */
  private held = 0;

  constructor(plan: ScanPlan, taker: RowTaker) {
    this.kernel = RowKernel.take(plan, mostRows);
    this.taker = taker;
    this.hasClock = plan.clock !== undefined;
    this.isLatin = plan.encoding === "latin-1";
  }

  /** Scans every line that is whole; what follows the last line end is kept for the next piece. */
  push(bytes: Uint8Array): void {
    const length = this.held + bytes.length;
    const input = this.kernel.room(length);
    input.set(bytes, this.held);
    const lastFeed = asBuffer(bytes).lastIndexOf(0x0a);
    const end = lastFeed < 0 ? 0 : this.held + lastFeed + 1;
    this.held = length - end;
    if (end === 0) return;
    this.scan(asBuffer(input.subarray(0, end)));
    input.copyWithin(0, end, length);
  }

  /** The bytes after the last line end. */
  rest(): Uint8Array {
    return this.kernel.room(this.held).subarray(0, this.held);
  }

  /** Bytes waiting for the end of their line. */
  get waiting(): number {
    return this.held;
  }

  /** Nothing of it may be used any more. */
  release(): void {
    this.kernel.giveBack();
  }

  /** @param lines whole ones at the beginning of the kernel's room, the last line end included */
  private scan(lines: Buffer): void {
    // Looked for in all lines at once these cost next to nothing; then no row needs to be looked at for them.
    const isPure = lines.indexOf(0x22) < 0 && lines.indexOf(0x00) < 0 && (this.isLatin || isUtf8(lines));
    const { kernel, taker } = this;
    const end = lines.length;
    let most = fewestRows;
    let at = 0;
    // Lines that are no plain rows are gathered, so that the careful reader gets them together.
    let strangeFrom = -1;
    const giveStrange = (to: number): void => {
      if (strangeFrom >= 0) taker.takeLines(lines.subarray(strangeFrom, to));
      strangeFrom = -1;
    };
    let form: ClockForm | null = null;
    while (at < end) {
      // The careful reader may find in them how the next rows are to be read.
      if (form === null || !("base" in form)) giveStrange(at - 1);
      form = this.hasClock ? taker.clockForm : noClock;
      const rows = form === null ? 0 : kernel.scan(at, end, most, isPure, form);
      if (rows > 0) giveStrange(at - 1);
      const taken = rows === 0 || taker.isBusy() ? 0 : taker.takePlain(kernel.rows, rows);
      if (taken > 0) at = kernel.startOf(taken);
      if (taken > 0 && taken === rows) {
        most = Math.min(mostRows, 4 * most);
      } else {
        most = fewestRows;
        if (strangeFrom < 0) strangeFrom = at;
        at = lines.indexOf(0x0a, at) + 1;
      }
    }
    giveStrange(end - 1);
  }
}

/** The same bytes with Node's own search, which is many times as fast as that of a plain array. */
export function asBuffer(bytes: Uint8Array): Buffer {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length);
}
