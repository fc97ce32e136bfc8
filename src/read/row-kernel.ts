import { Buffer } from "node:buffer";
import type { ClockForm } from "./read-clock.ts";
import type { PlainRows, ScanPlan } from "./scan-rows.ts";
import { scanRowsCode } from "./scan-rows-code.ts";
import { maxLineLength } from "./split-lines.ts";

/** What assembly/scan-rows.ts exports; places in memory are counted in bytes. */
interface Exports {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  setTable(
    delimiter: number,
    decimal: number,
    last: number,
    width: number,
    goesOn: boolean,
    longest: number,
    clock: number,
  ): void;
  setPlaces(
    tasks: number,
    blanks: number,
    printed: number,
    fixed: number,
    fixedLength: number,
    most: number,
    values: number,
    starts: number,
    unread: number,
  ): void;
  setClockBase(base: bigint): void;
  setMinute(
    prefix: number,
    prefixLength: number,
    suffix: number,
    suffixLength: number,
    minuteS: number,
  ): void;
  scan(from: number, end: number, most: number, isPure: boolean): number;
  nextRow(): number;
  countUnread(): number;
}

/** What to do with the cells of a column; from 0 on: the place among the values to read them to. */
const passOver = -1;
const passDigits = -2;
const compareFixed = -3;
const readMinute = -4;

/** A moment is no longer than this. */
const momentBytes = 64;

/** The inner loop looks at so many bytes at once, and reads cells with what stands before them. */
const blockBytes = 64;
const pageBytes = 1 << 16;
/** Larger ones are left to the collector. */
const mostSpareBytes = 8 << 20;

let code: WebAssembly.Module | null = null;
/** Kernels that nobody uses now: fresh memory for every log would cost more than reading it. */
const spare: RowKernel[] = [];

/** The inner loop of the scanner with its memory: bytes go in, numbers come out. */
export class RowKernel {
  private readonly exports: Exports;
  private clockSlot = -1;
  private most = 0;
  private values = 0;
  private starts = 0;
  private unread = 0;
  private minuteAt = 0;
  /** Where it says what to do with the clock's cells. */
  private clockTaskAt = 0;
  private form: ClockForm | null = null;
  private input = 0;
  private slots = 0;
  /** The memory as it is now: it is another one once it has grown. */
  private bytes: Uint8Array = new Uint8Array(0);
  private words: Uint32Array = new Uint32Array(0);
  /** One array per needed column. */
  rows: PlainRows = [];

  private constructor() {
    code ??= new WebAssembly.Module(Buffer.from(scanRowsCode, "base64"));
    this.exports = new WebAssembly.Instance(code).exports as unknown as Exports;
  }

  /** A kernel that is set up for some rows; to be given back. @param most rows of one scan */
  static take(plan: ScanPlan, most: number): RowKernel {
    const kernel = spare.pop() ?? new RowKernel();
    kernel.setUp(plan, most);
    return kernel;
  }

  private setUp(plan: ScanPlan, most: number): void {
    const { needed, digits = [], fixed, optional, clock, decimalSign } = plan;
    this.most = most;
    this.slots = needed.length;
    this.rows = [];
    this.clockSlot = clock === undefined ? -1 : needed.indexOf(clock);
    const last = Math.max(...needed, ...digits, fixed?.column ?? -1);
    const lengthOfFixed = fixed?.bytes.length ?? 0;
    let free = this.exports.firstFree();
    const reserve = (length: number): number => {
      const from = free;
      free += blockBytes * Math.ceil(length / blockBytes);
      return from;
    };
    const tasksAt = reserve(2 * (last + 1));
    this.clockTaskAt = tasksAt + 2 * (clock ?? 0);
    const blanksAt = reserve(this.slots);
    const printedAt = reserve(32 * this.slots);
    const fixedAt = reserve(lengthOfFixed);
    this.minuteAt = reserve(2 * momentBytes);
    this.form = null;
    this.values = reserve(8 * this.slots * most);
    this.starts = reserve(4 * (most + 1));
    this.unread = reserve(16 * this.slots * most);
    this.input = reserve(blockBytes) + blockBytes;
    this.room(0);
    const { buffer } = this.exports.memory;
    const tasks = new Int16Array(buffer, tasksAt, last + 1).fill(passOver);
    for (const column of digits) tasks[column] = passDigits;
    for (const [slot, column] of needed.entries()) tasks[column] = slot;
    if (fixed !== undefined) tasks[fixed.column] = compareFixed;
    const blanks = new Uint8Array(buffer, blanksAt, this.slots);
    for (const [slot, column] of needed.entries()) blanks[slot] = Number(optional?.has(column) ?? false);
    this.bytes.fill(0, printedAt, fixedAt);
    this.bytes.set(fixed?.bytes ?? [], fixedAt);
    const delimiter = plan.delimiter.charCodeAt(0);
    const width = plan.isCounted ? plan.width : 0;
    const goesOn = last < plan.width - 1 && !plan.mayEndShort;
    this.exports.setTable(
      delimiter,
      decimalSign.charCodeAt(0),
      last,
      width,
      goesOn,
      maxLineLength,
      this.clockSlot,
    );
    this.exports.setPlaces(
      tasksAt,
      blanksAt,
      printedAt,
      fixedAt,
      lengthOfFixed,
      most,
      this.values,
      this.starts,
      this.unread,
    );
  }

  /**
   * Where bytes to be scanned belong: at least so many, and what was there before.
   * It lies elsewhere once more were asked for.
   */
  room(length: number): Uint8Array {
    const { memory } = this.exports;
    const missing = this.input + length + 2 * blockBytes - memory.buffer.byteLength;
    if (missing > 0) memory.grow(Math.ceil(missing / pageBytes));
    if (this.bytes.buffer !== memory.buffer || this.rows.length !== this.slots) {
      this.bytes = new Uint8Array(memory.buffer);
      this.words = new Uint32Array(memory.buffer);
      this.rows = Array.from(
        { length: this.slots },
        (_, slot) => new Float64Array(memory.buffer, this.values + 8 * slot * this.most, this.most),
      );
    }
    return this.bytes.subarray(this.input);
  }

  /**
   * Reads plain rows, one after the other, into `rows`.
   * @param from where a row begins in the room
   * @param end behind a line feed there
   * @param most rows to read; as many as were asked for at first, or fewer
   * @param isPure whether the bytes hold neither quotes nor NUL and are text
   * @param form how the cells of the clock are read
   * @returns the rows read before one that is not plain
   */
  scan(from: number, end: number, most: number, isPure: boolean, form: ClockForm): number {
    const { exports, input } = this;
    if (form !== this.form) this.setForm(form);
    const rows = exports.scan(input + from, input + end, most, isPure);
    this.words[this.starts / 4 + rows] = exports.nextRow();
    const unread = exports.countUnread();
    if (unread > 0) this.readRest(unread);
    return rows;
  }

  private setForm(form: ClockForm): void {
    const { exports, bytes, minuteAt, clockTaskAt } = this;
    this.form = form;
    if ("base" in form) {
      exports.setClockBase(form.base);
      return;
    }
    const { prefix, suffix, minuteS } = form;
    new Int16Array(exports.memory.buffer, clockTaskAt, 1)[0] = readMinute;
    const suffixAt = minuteAt + momentBytes;
    bytes.set(Buffer.from(prefix, "latin1"), minuteAt);
    bytes.set(Buffer.from(suffix, "latin1"), suffixAt);
    exports.setMinute(minuteAt, prefix.length, suffixAt, suffix.length, minuteS);
  }

  /** Where a row of the last scan begins in the room; for the number of rows read, where the next one does. */
  startOf(row: number): number {
    return (this.words[this.starts / 4 + row] as number) - this.input;
  }

  /** Nothing of it may be used any more. */
  giveBack(): void {
    if (this.bytes.length <= mostSpareBytes) spare.push(this);
  }

  /** Numbers with more digits than machine arithmetic takes to the nearest double. */
  private readRest(count: number): void {
    const clockBase = this.form !== null && "base" in this.form ? Number(this.form.base) : 0;
    for (let i = 0, at = this.unread / 4; i < count; i++, at += 4) {
      const [slot = 0, row = 0, from, to] = this.words.subarray(at, at + 4);
      const text = Buffer.from(this.bytes.subarray(from, to)).toString("latin1");
      const value = Number(text.replace(",", "."));
      (this.rows[slot] as Float64Array)[row] = slot === this.clockSlot ? value - clockBase : value;
    }
  }
}
