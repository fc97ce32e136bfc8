import { decodeLatin1 } from "./decode-latin-1.ts";
import { NotUtf8Error, type PlainBytes, plainBytes } from "./decode-text.ts";
import type { Dialect } from "./dialect.ts";
import type { FrameCollector, Reading } from "./frame-collector.ts";
import type { SensorCollector } from "./join-sensors.ts";
import type { ByteSource, TextReading } from "./log.ts";
import { requireFewLines } from "./log-limits.ts";
import type { ClockForm } from "./read-clock.ts";
import { readNumber } from "./read-number.ts";
import { asBuffer, type PlainRows, RowScanner, type RowTaker } from "./scan-rows.ts";
import { maxLineLength } from "./split-lines.ts";
import { type Row, RowSplitter } from "./split-rows.ts";
import type { StreamCounter } from "./stream-counter.ts";
import type { RowGate } from "./take-row.ts";
import type { Stream } from "./tell-streams.ts";

/** What the careful reader would do with the same rows. */
export interface ScanTarget {
  readonly how: Reading;
  readonly gate: RowGate;
  readonly frames: FrameCollector;
  readonly sensors: SensorCollector;
  readonly streams: StreamCounter;
  readonly stream: Stream | null;
  /** Takes a row that is not plain. */
  takeRow(row: Row, isLastOpen: boolean): void;
}

/**
 * Reads the body of a log as bytes: plain rows are parsed in place, all others go to the careful reader, row by row.
 * Both ways give the same frames, readings and account.
 * @param unpacked as in DecodedText
 * @returns false where the log is not for this way; then `target` may have been written to and must be made anew
 */
export async function scanBody(
  source: ByteSource,
  unpacked: Uint8Array | null,
  text: TextReading,
  dialect: Dialect,
  target: ScanTarget,
): Promise<boolean> {
  if (!isForScanning(text, dialect, target)) return false;
  const opened = await plainBytes(source, unpacked);
  const body = new BodyTaker(text, dialect, target);
  try {
    let skip = dialect.firstLine - 1;
    let isFirst = true;
    for await (const chunk of opened.bytes) {
      let from = isFirst && text.byteOrderMark ? 3 : 0;
      isFirst = false;
      while (skip > 0) {
        const lineFeed = asBuffer(chunk).indexOf(0x0a, from);
        const line = chunk.subarray(from, lineFeed < 0 ? chunk.length : lineFeed - 1);
        // A carriage return alone ends a line as well; then lines are not counted by their line feeds.
        if (line.includes(0x0d)) return false;
        if (lineFeed < 0) break;
        from = lineFeed + 1;
        skip--;
      }
      if (skip > 0) continue;
      if (!body.push(chunk.subarray(from))) return false;
    }
    return body.end(opened);
  } finally {
    body.release();
  }
}

/** Bytes that mean the same in every row, and columns that are numbers. */
function isForScanning(
  text: TextReading,
  { names, decimalSign, delimiter }: Dialect,
  target: ScanTarget,
): boolean {
  const { how, stream } = target;
  if (text.encoding !== "utf-8" && text.encoding !== "latin-1") return false;
  // Decimal commas in quotes between commas: outside quotes, a comma is no decimal sign.
  if (delimiter === decimalSign || delimiter === " ") return false;
  // A number among lengths of time in hours, minutes and seconds is none of them.
  if (how.isSpans) return false;
  // Else the header, repeated, could pass for a row of values.
  if (!Number.isNaN(readNumber(names?.[how.frameTime.index] ?? "", decimalSign))) return false;
  if (stream === null) return true;
  // A name is looked for as it is written in UTF-8.
  const odd = text.encoding === "utf-8" ? /[",;\t|\r\n]/ : /[",;\t|\r\n\u0080-\uffff]/;
  return !odd.test(stream.wanted);
}

class BodyTaker implements RowTaker {
  private readonly target: ScanTarget;
  private readonly splitter: RowSplitter;
  private readonly scanner: RowScanner;
  private readonly slots: Int32Array;
  private readonly isLatin1: boolean;
  private readonly decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  private readonly firstText: string;
  private isChecked = false;
  private isRefused = false;

  constructor(text: TextReading, dialect: Dialect, target: ScanTarget) {
    const { how, gate, sensors, stream } = target;
    this.target = target;
    this.splitter = new RowSplitter(dialect.delimiter, dialect.firstLine);
    this.firstText = dialect.rows[0]?.text ?? "";
    this.isLatin1 = text.encoding === "latin-1";
    // What tells that the log began again: its clock, else its running number.
    const order = how.clock?.index ?? how.counter ?? how.frameTime.index;
    const maybeBlank = [...sensors.indices, ...gate.leading];
    const needed = [...new Set([how.frameTime.index, order, ...maybeBlank])];
    this.slots = new Int32Array(dialect.width);
    for (const [slot, column] of needed.entries()) this.slots[column] = slot;
    this.scanner = new RowScanner(
      {
        delimiter: dialect.delimiter,
        decimalSign: how.decimalSign,
        width: dialect.width,
        isCounted: gate.canShift,
        mayEndShort: dialect.mayEndShort,
        needed,
        // Beside a clock a running number says nothing, but words in its place would. Needed columns are parsed anyway.
        digits: [how.counter ?? how.frameTime.index],
        ...(stream !== null && {
          fixed: { column: stream.index, bytes: new TextEncoder().encode(stream.wanted) },
        }),
        ...(how.clock !== null && { clock: how.clock.index }),
        encoding: this.isLatin1 ? "latin-1" : "utf-8",
        optional: new Set(maybeBlank),
      },
      this,
    );
  }

  /** @returns false where the log is not for this way after all */
  push(bytes: Uint8Array): boolean {
    if (!this.isChecked && bytes.length > 0) {
      // The head's first row must begin here, or lines were counted otherwise.
      const lineFeed = bytes.indexOf(0x0a);
      if (lineFeed < 0) return false;
      if (this.linesOf(bytes.subarray(0, lineFeed))[0] !== this.firstText) return false;
      this.isChecked = true;
    }
    this.scanner.push(bytes);
    requireFewLines(this.splitter.lines);
    return this.isForThis() && this.scanner.waiting <= maxLineLength;
  }

  end({ damage }: PlainBytes): boolean {
    if (damage.packed !== null || !this.isChecked) return false;
    const rest = this.scanner.rest();
    const lines = this.linesOf(rest);
    // Only a line that nothing ends may be cut off; ended ones may stand before it, by a carriage return alone.
    const isOpen = (rest.at(-1) ?? 0x0d) !== 0x0d;
    const open = isOpen ? lines.splice(-1) : [];
    for (const row of this.splitter.push(lines)) this.target.takeRow(row, false);
    const rows = [...this.splitter.push(open), ...this.splitter.end()];
    for (const [i, row] of rows.entries()) this.target.takeRow(row, isOpen && i === rows.length - 1);
    return this.isForThis();
  }

  get clockForm(): ClockForm | null {
    return this.target.frames.clock?.reader.form ?? null;
  }

  takePlain(rows: PlainRows, count: number): number {
    const { frames, sensors, streams } = this.target;
    const firstFrame = frames.frameTimesMs.length;
    const taken = frames.addParsed(rows, count, this.slots);
    this.splitter.passOver(taken);
    streams.addOwn(taken);
    sensors.addParsed(rows, taken, this.slots, firstFrame);
    return taken;
  }

  release(): void {
    this.scanner.release();
  }

  takeLines(bytes: Uint8Array): void {
    const lines = this.linesOf(bytes.at(-1) === 0x0d ? bytes.subarray(0, -1) : bytes);
    for (const row of this.splitter.push(lines)) this.target.takeRow(row, false);
  }

  isBusy(): boolean {
    return this.splitter.isHolding;
  }

  /** Lines are not too long, and no streams take turns: the careful reader compares those row by row. */
  private isForThis(): boolean {
    return !this.isRefused && !this.target.streams.areSeveral();
  }

  private linesOf(bytes: Uint8Array): string[] {
    const lines = this.decode(bytes).split(/\r\n|\n|\r/);
    if (lines.some((line) => line.length > maxLineLength)) this.isRefused = true;
    return lines;
  }

  private decode(bytes: Uint8Array): string {
    if (this.isLatin1) return decodeLatin1(bytes);
    try {
      return this.decoder.decode(bytes);
    } catch {
      throw new NotUtf8Error();
    }
  }
}
