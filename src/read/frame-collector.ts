import type { LogPart } from "../shared/problem.ts";
import { GrowingNumbers } from "./growing-numbers.ts";
import type { TextReading } from "./log.ts";
import { ClockReader } from "./read-clock.ts";
import { readMoment } from "./read-moment.ts";
import { readNumber } from "./read-number.ts";
import type { ClockChoice, FrameTimeChoice } from "./recognition.ts";
import type { PlainRows } from "./scan-rows.ts";
import { isMissing } from "./tell-cells.ts";

/** Frame times beyond this are no frames of a running game. Common practice, no source. */
export const longestMs = 10_000;
/** A clock that falls by more than this many seconds has started again; less is a hiccup of the clock. */
export const restartS = 0.05;

/** A table under the log's own with more rows than these is no summary of it. Common practice, no source. */
const mostRowsOfSummary = 50;

/** Why a row gave no frame. */
export type NotUsed =
  | "header repeated"
  | "too few cells"
  | "too many cells"
  | "words among the numbers"
  | "after the table"
  | "stray quote"
  | "cut off"
  | "other stream"
  | "other stretch"
  | "readings between frames"
  | "first reading of the clock"
  | "clock went back"
  | "frame time empty"
  | "frame time not a number"
  | "frame time zero or negative"
  | "frame time over 10 s";

/** Reasons that mean a frame was there and its time is lost. */
export const lostReasons: readonly NotUsed[] = [
  "too few cells",
  "too many cells",
  "words among the numbers",
  "stray quote",
  "frame time empty",
  "frame time not a number",
  "frame time zero or negative",
  "frame time over 10 s",
  "clock went back",
];

/** Where a stretch of a log begins, in frames used. */
interface Segment {
  readonly firstFrame: number;
  /** Frames lost before it. */
  readonly lostBefore: number;
  /** The account of rows not used before it, where it stands under the names of another table. */
  readonly otherTable: ReadonlyMap<NotUsed, number> | null;
  /** The cell with the date at the start of the stretch. */
  wallCell: string | null;
}

/** What to read from every row. */
export interface Reading {
  readonly frameTime: FrameTimeChoice;
  readonly clock: ClockChoice | null;
  readonly isMomentClock: boolean;
  /** Frame times are hours, minutes and seconds. */
  readonly isSpans: boolean;
  readonly counter: number | null;
  /** Column with the date, for the start of the capture. */
  readonly wall: number | null;
  readonly decimalSign: TextReading["decimalSign"];
}

/** The clock, and what reads its cells. */
interface FrameClock extends ClockChoice {
  readonly reader: ClockReader;
}

/** The clock of rows that were parsed: its readings, and the same in seconds from the first of the log. */
interface ParsedClock {
  readonly reader: ClockReader;
  readonly readings: Float64Array;
  readonly clockS: Float64Array;
}

/**
 * Collects the frames of one series, row by row: frame times, the clock's reading at each, and an account of the
 * rows that gave none.
 */
export class FrameCollector {
  readonly frameTimesMs: GrowingNumbers;
  /** The clock's reading of each frame's row in seconds from its first; NaN where it had none. Empty without a clock. */
  readonly clockS: GrowingNumbers;
  readonly notUsed = new Map<NotUsed, number>();
  readonly segments: Segment[] = [{ firstFrame: 0, lostBefore: 0, otherTable: null, wallCell: null }];
  /** The first row that was lost for each reason: its line and what stood there. */
  readonly firstLost = new Map<NotUsed, { line: number; found: string }>();
  rows = 0;
  /** The clock's first reading, in its own unit from its base; null before. */
  firstClock: number | null = null;
  readonly clock: FrameClock | null;
  private readonly how: Reading;
  private lastClockS = Number.NaN;
  /** The reading before the last. */
  private clockBeforeS = Number.NaN;
  /** The reading before the last, where the clock fell from it and no new beginning was told since. */
  private fellFromS = Number.NaN;
  private lastStepClockS = Number.NaN;
  private lastCount = Number.NaN;
  /** Rows that look like lines under the table, and how many frames stand before them. */
  private tail = { frames: 0, rows: new Map<NotUsed, number>() };

  /** @param expected about how many frames there will be, where that is known */
  constructor(how: Reading, expected = 0) {
    this.how = how;
    this.frameTimesMs = new GrowingNumbers(expected);
    this.clockS = new GrowingNumbers(how.clock === null ? 0 : expected);
    const reader = new ClockReader(how.isMomentClock, how.decimalSign);
    this.clock = how.clock === null ? null : { ...how.clock, reader };
  }

  /** One row of values. @returns true if it gave a frame, or the moment at which the next one begins */
  addRow(cells: readonly string[], line: number): boolean {
    this.rows++;
    const clockS = this.readClock(cells);
    let fellFromS = Number.NaN;
    if (clockS < this.lastClockS - restartS) {
      if (this.wasOutlier(clockS)) this.leaveOutLast(this.clockBeforeS);
      else {
        fellFromS = this.lastClockS;
        this.startSegment();
      }
    } else if (this.countsAnew(cells)) this.startSegment();
    else if (this.goesOnAfterFall(clockS)) {
      this.segments.pop();
      this.leaveOutLast(this.fellFromS);
    }
    if (!Number.isNaN(clockS)) {
      this.fellFromS = fellFromS;
      this.goTo(clockS);
    }
    const cell = cells[this.how.frameTime.index] ?? "";
    const ms = this.how.frameTime.how === "steps" ? this.step(clockS) : this.durationMs(cell);
    if (typeof ms === "number" || ms === "first reading of the clock") this.noteWall(cells);
    if (typeof ms === "string") {
      this.lose(ms, line, cell, ms === "frame time not a number" && this.hasNoNumber(cells));
      return ms === "first reading of the clock";
    }
    this.frameTimesMs.push(ms);
    if (this.clock !== null) this.clockS.push(clockS);
    return true;
  }

  /**
   * Plain rows, parsed already; the clock was read by the clock reader's form.
   * @param slots place of each column among the rows' values
   * @returns how many of them, from the first on, gave a frame each; the next one needs the careful look of `addRow`
   */
  addParsed(rows: PlainRows, count: number, slots: Int32Array): number {
    const { frameTime, counter, wall } = this.how;
    if ((wall !== null && this.segment.wallCell === null) || !Number.isNaN(this.fellFromS)) return 0;
    const columnOf = (index: number): Float64Array => rows[slots[index] as number] as Float64Array;
    const timesMs = this.frameTimesMs.room(count);
    const clock =
      this.clock === null ? null : this.parsedClock(this.clock, columnOf(this.clock.index), count);
    const counts = clock !== null || counter === null ? null : columnOf(counter);
    if (frameTime.how === "steps") {
      // Steps are those of the clock.
      stepsMs((clock as ParsedClock).clockS, count, this.lastStepClockS, timesMs);
    } else if (frameTime.how === "rate") ratesToMs(columnOf(frameTime.index), count, timesMs);
    else durationsToMs(columnOf(frameTime.index), count, frameTime.unitS * 1000, timesMs);
    let taken = countUsable(timesMs, count);
    if (clock !== null) taken = countWithoutFall(clock.clockS, taken, this.lastClockS, restartS);
    if (counts !== null) taken = countWithoutFall(counts, taken, this.lastCount, 1);
    if (taken === 0) return 0;
    if (clock !== null) {
      const { reader, readings, clockS } = clock;
      this.clockBeforeS = taken > 1 ? (clockS[taken - 2] as number) : this.lastClockS;
      this.lastClockS = clockS[taken - 1] as number;
      this.clockS.length += taken;
      reader.passOver(readings[taken - 1] as number);
    }
    if (counts !== null) this.lastCount = counts[taken - 1] as number;
    this.lastStepClockS = this.lastClockS;
    this.frameTimesMs.length += taken;
    this.rows += taken;
    return taken;
  }

  /** A row that is none: its reason is kept. @param mayFollow it looks like a line under the table */
  skipRow(reason: NotUsed, line: number, found = "", mayFollow = false): void {
    this.rows++;
    this.lose(reason, line, found, mayFollow);
  }

  /** Forgets all frames but the last few, for those who only compare neighbours. */
  keepLast(count: number): void {
    this.frameTimesMs.keepLast(count);
    this.clockS.keepLast(count);
  }

  /** No more rows: what looked like lines under the table was that, and a header with nothing under it no stretch. */
  end(): void {
    if (this.segments.length > 1 && this.segment.firstFrame === this.frameTimesMs.length) this.segments.pop();
    this.leaveOutSummary();
    if (this.tail.frames < this.frameTimesMs.length) return;
    for (const [reason, rows] of this.tail.rows) {
      const left = (this.notUsed.get(reason) ?? 0) - rows;
      this.notUsed.set("after the table", (this.notUsed.get("after the table") ?? 0) + rows);
      if (left > 0) this.notUsed.set(reason, left);
      else {
        this.notUsed.delete(reason);
        this.firstLost.delete(reason);
      }
    }
  }

  /** A short table under the log's own, such as one of percentiles, holds no frames. */
  private leaveOutSummary(): void {
    const { otherTable, firstFrame } = this.segment;
    const under = this.frameTimesMs.length - firstFrame;
    if (otherTable === null || under > mostRowsOfSummary || under > firstFrame) return;
    this.segments.pop();
    this.frameTimesMs.length = firstFrame;
    if (this.clock !== null) this.clockS.length = firstFrame;
    let left = this.rows - firstFrame;
    this.notUsed.clear();
    for (const [reason, rows] of otherTable) {
      if (rows === 0) continue;
      this.notUsed.set(reason, rows);
      left -= rows;
    }
    this.notUsed.set("after the table", left);
    this.tail = { frames: 0, rows: new Map() };
    for (const reason of this.firstLost.keys()) if (!this.notUsed.has(reason)) this.firstLost.delete(reason);
  }

  /** The cell with the date at the start of the stretch that holds this frame. */
  wallCellAt(frame: number): string | null {
    return (this.segments.findLast(({ firstFrame }) => firstFrame <= frame) as Segment).wallCell;
  }

  /** The log began again: a repeated header, or a clock that went back. */
  startSegment(otherTable: Segment["otherTable"] = null): void {
    this.fellFromS = Number.NaN;
    this.lastStepClockS = Number.NaN;
    this.lastClockS = Number.NaN;
    this.clockBeforeS = Number.NaN;
    this.lastCount = Number.NaN;
    // A header over nothing began no stretch of its own.
    if (this.segment.firstFrame === this.frameTimesMs.length) this.segments.pop();
    const firstFrame = this.frameTimesMs.length;
    this.segments.push({ firstFrame, lostBefore: this.lostFrames(), otherTable, wallCell: null });
  }

  /** Frames that were there and whose times are lost: of the whole log, or of one of its stretches, counted from 1. */
  lostFrames(stretch?: number): number {
    const lost = lostReasons.reduce((sum, reason) => sum + (this.notUsed.get(reason) ?? 0), 0);
    if (stretch === undefined) return lost;
    return (this.segments[stretch]?.lostBefore ?? lost) - (this.segments[stretch - 1]?.lostBefore ?? 0);
  }

  /** What comes stands under the names of another table. */
  startOtherTable(): void {
    const before = new Map(this.notUsed);
    if (this.tail.frames === this.frameTimesMs.length) {
      for (const [reason, rows] of this.tail.rows) before.set(reason, (before.get(reason) ?? 0) - rows);
    }
    this.startSegment(before);
  }

  /** The stretches of a restarted log, for the question which one counts. */
  parts(): LogPart[] {
    return this.segments.map(({ firstFrame }, i) => {
      const frames = this.frameTimesMs.view(firstFrame, this.segments[i + 1]?.firstFrame);
      return { name: String(i + 1), frames: frames.length, avgFps: averageOf(frames) };
    });
  }

  /** The stretch that goes on: there always is one. */
  private get segment(): Segment {
    return this.segments.at(-1) as Segment;
  }

  private goTo(clockS: number): void {
    this.clockBeforeS = this.lastClockS;
    this.lastClockS = clockS;
  }

  /** The last reading of the clock was none. Its row may have lost its frame, and others without a reading follow. */
  private leaveOutLast(beforeS: number): void {
    this.clockS.blankLast(this.lastClockS);
    this.lastClockS = beforeS;
  }

  /** One damaged reading far ahead, with the clock going on from before it, is no restart. */
  private wasOutlier(clockS: number): boolean {
    return this.how.frameTime.how === "duration" && clockS >= this.clockBeforeS;
  }

  /** Nor is one far behind: the clock goes on from where it fell. */
  private goesOnAfterFall(clockS: number): boolean {
    const isOn = clockS >= this.fellFromS && clockS <= this.fellFromS + longestMs / 1000;
    return isOn && this.segments.length > 1 && this.how.frameTime.how === "duration";
  }

  /** Without a clock, a running number that starts over says that the log did. */
  private countsAnew(cells: readonly string[]): boolean {
    const { clock, counter, decimalSign } = this.how;
    if (clock !== null || counter === null) return false;
    const count = readNumber(cells[counter] ?? "", decimalSign);
    const isAnew = count < this.lastCount - 1;
    if (!Number.isNaN(count)) this.lastCount = count;
    return isAnew;
  }

  private noteWall(cells: readonly string[]): void {
    if (this.how.wall !== null) this.segment.wallCell ??= cells[this.how.wall] ?? "";
  }

  private hasNoNumber(cells: readonly string[]): boolean {
    return cells.every((cell) => Number.isNaN(readNumber(cell, this.how.decimalSign)));
  }

  private lose(reason: NotUsed, line: number, found: string, mayFollow: boolean): void {
    if (mayFollow) this.follow(reason);
    this.notUsed.set(reason, (this.notUsed.get(reason) ?? 0) + 1);
    if (!this.firstLost.has(reason)) this.firstLost.set(reason, { line, found });
  }

  /** Counts a row that may stand under the table; a frame behind it says that it does not. */
  private follow(reason: NotUsed): void {
    const frames = this.frameTimesMs.length;
    if (this.tail.frames < frames) this.tail = { frames, rows: new Map() };
    this.tail.rows.set(reason, (this.tail.rows.get(reason) ?? 0) + 1);
  }

  private readClock(cells: readonly string[]): number {
    if (this.clock === null) return Number.NaN;
    const value = this.clock.reader.read(cells[this.clock.index] ?? "");
    if (Number.isNaN(value)) return Number.NaN;
    this.firstClock ??= value;
    return (value - this.firstClock) * this.clock.unitS;
  }

  /** The clock of plain rows. Its form comes from a reading, so that there was a first one. */
  private parsedClock({ reader, unitS }: FrameClock, readings: Float64Array, count: number): ParsedClock {
    const clockS = this.clockS.room(count);
    const first = this.firstClock as number;
    for (let i = 0; i < count; i++) clockS[i] = ((readings[i] as number) - first) * unitS;
    return { reader, readings, clockS };
  }

  private step(clockS: number): number | NotUsed {
    if (Number.isNaN(clockS)) return "frame time empty";
    const before = this.lastStepClockS;
    if (Number.isNaN(before)) {
      this.lastStepClockS = clockS;
      return "first reading of the clock";
    }
    if (clockS < before) return "clock went back";
    this.lastStepClockS = clockS;
    return usable(1000 * (clockS - before));
  }

  private durationMs(cell: string): number | NotUsed {
    if (cell === "" || isMissing(cell)) return "frame time empty";
    const value = this.how.isSpans ? readSpan(cell) : readNumber(cell, this.how.decimalSign);
    if (!Number.isFinite(value)) return "frame time not a number";
    if (this.how.frameTime.how === "rate")
      return value > 0 ? usable(1000 / value) : "frame time zero or negative";
    return usable(value * (this.how.frameTime.unitS * 1000));
  }
}

// Loops over many rows, each compiled once for all logs. `count` values are read and written.

function stepsMs(clockS: Float64Array, count: number, lastS: number, timesMs: Float64Array): void {
  let before = lastS;
  for (let i = 0; i < count; i++) {
    const now = clockS[i] as number;
    timesMs[i] = 1000 * (now - before);
    before = now;
  }
}

function ratesToMs(rates: Float64Array, count: number, timesMs: Float64Array): void {
  for (let i = 0; i < count; i++) timesMs[i] = 1000 / (rates[i] as number);
}

function durationsToMs(durations: Float64Array, count: number, unitMs: number, timesMs: Float64Array): void {
  for (let i = 0; i < count; i++) timesMs[i] = (durations[i] as number) * unitMs;
}

/** Frame times before the first that is none; NaN, as before the clock's first reading, is none. */
function countUsable(timesMs: Float64Array, count: number): number {
  for (let i = 0; i < count; i++) {
    const ms = timesMs[i] as number;
    if (!(ms > 0 && ms <= longestMs)) return i;
  }
  return count;
}

/** Values before the first that is none, or lies more than `fall` below the one before it. */
function countWithoutFall(values: Float64Array, count: number, last: number, fall: number): number {
  let before = last;
  for (let i = 0; i < count; i++) {
    const value = values[i] as number;
    if (value < before - fall || !Number.isFinite(value)) return i;
    before = value;
  }
  return count;
}

/** Seconds; NaN where the cell holds no length of time. */
function readSpan(cell: string): number {
  const moment = readMoment(cell);
  return moment === null || moment.dated ? Number.NaN : moment.wholeS + moment.fractionS;
}

function usable(ms: number): number | NotUsed {
  if (!(ms > 0)) return "frame time zero or negative";
  return ms > longestMs ? "frame time over 10 s" : ms;
}

/** Average FPS of some frames; null for none. */
export function averageOf(frameTimesMs: Float64Array): number | null {
  if (frameTimesMs.length === 0) return null;
  let sumMs = 0;
  for (const ms of frameTimesMs) sumMs += ms;
  return (1000 * frameTimesMs.length) / sumMs;
}
