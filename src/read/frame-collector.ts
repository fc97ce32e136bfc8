import type { LogPart } from "../shared/problem.ts";
import { isMissing } from "./detect-dialect.ts";
import type { TextReading } from "./log.ts";
import { ClockReader } from "./read-clock.ts";
import { readNumber } from "./read-number.ts";
import type { ClockChoice, FrameTimeChoice } from "./recognise-columns.ts";

/** Frame times beyond this are no frames of a running game. Common practice, no source. */
const longestMs = 10_000;
/** A clock that falls by more than this many seconds has started again; less is a hiccup of the clock. */
const restartS = 0.05;

/** Numbers in the order in which they come, without an array of objects. */
export class GrowingNumbers {
  private buffer = new Float64Array(1024);
  length = 0;

  push(value: number): void {
    if (this.length === this.buffer.length) {
      const larger = new Float64Array(2 * this.length);
      larger.set(this.buffer);
      this.buffer = larger;
    }
    this.buffer[this.length++] = value;
  }

  /** The numbers from one position on; a view. */
  view(from = 0, to = this.length): Float64Array {
    return this.buffer.subarray(from, to);
  }
}

/** Why a row gave no frame. */
export type NotUsed =
  | "header repeated"
  | "too few cells"
  | "stray quote"
  | "cut off"
  | "other stream"
  | "other stretch"
  | "first reading of the clock"
  | "clock went back"
  | "frame time empty"
  | "frame time not a number"
  | "frame time zero or negative"
  | "frame time over 10 s";

/** Reasons that mean a frame was there and its time is lost. */
export const lostReasons: readonly NotUsed[] = [
  "too few cells",
  "stray quote",
  "frame time empty",
  "frame time not a number",
  "frame time zero or negative",
  "frame time over 10 s",
];

/** Where a stretch of a log begins, in frames used and rows read. */
interface Segment {
  readonly firstFrame: number;
  readonly rowsBefore: number;
}

/**
 * Collects the frames of one series, row by row: frame times, the clock's reading at each, and an account of the
 * rows that gave none.
 */
export class FrameCollector {
  readonly frameTimesMs = new GrowingNumbers();
  /** The clock's reading of each frame's row in seconds from its first; NaN where it had none. Empty without a clock. */
  readonly clockS = new GrowingNumbers();
  readonly notUsed = new Map<NotUsed, number>();
  readonly segments: Segment[] = [{ firstFrame: 0, rowsBefore: 0 }];
  /** The first row that was lost for each reason: its line and what stood there. */
  readonly firstLost = new Map<NotUsed, { line: number; found: string }>();
  rows = 0;
  /** The clock's first reading, in its own unit from its base; null before. */
  firstClock: number | null = null;
  readonly clockReader: ClockReader | null;
  private readonly frameTime: FrameTimeChoice;
  private readonly clock: ClockChoice | null;
  readonly decimalSign: TextReading["decimalSign"];
  private lastClockS = Number.NaN;
  private lastStepClockS = Number.NaN;

  constructor(
    frameTime: FrameTimeChoice,
    clock: ClockChoice | null,
    isMomentClock: boolean,
    decimalSign: TextReading["decimalSign"],
  ) {
    this.frameTime = frameTime;
    this.clock = clock;
    this.decimalSign = decimalSign;
    this.clockReader = clock === null ? null : new ClockReader(isMomentClock, decimalSign);
  }

  /** One row of values. @returns true if it gave a frame */
  addRow(cells: readonly string[], line: number): boolean {
    this.rows++;
    const clockS = this.readClock(cells);
    if (clockS < this.lastClockS - restartS) this.startSegment(1);
    if (!Number.isNaN(clockS)) this.lastClockS = clockS;
    const cell = cells[this.frameTime.index];
    const ms = this.frameTime.how === "steps" ? this.step(clockS) : this.durationMs(cell);
    if (typeof ms === "string") {
      this.lose(ms, line, cell ?? "");
      return false;
    }
    this.frameTimesMs.push(ms);
    if (this.clock !== null) this.clockS.push(clockS);
    return true;
  }

  /** A row that is none: its reason is kept. */
  skipRow(reason: NotUsed, line: number, found = ""): void {
    this.rows++;
    this.lose(reason, line, found);
  }

  /** The log began again: a repeated header, or a clock that went back. */
  startSegment(rowsInIt = 0): void {
    this.lastStepClockS = Number.NaN;
    this.lastClockS = Number.NaN;
    const { firstFrame } = this.segments.at(-1) as Segment;
    const segment = { firstFrame: this.frameTimesMs.length, rowsBefore: this.rows - rowsInIt };
    // A header over nothing began no stretch of its own.
    if (firstFrame === this.frameTimesMs.length) this.segments.pop();
    this.segments.push(segment);
  }

  /** The stretches of a restarted log, for the question which one counts. */
  parts(): LogPart[] {
    return this.segments.map(({ firstFrame }, i) => {
      const frames = this.frameTimesMs.view(firstFrame, this.segments[i + 1]?.firstFrame);
      return { name: String(i + 1), frames: frames.length, avgFps: averageOf(frames) };
    });
  }

  private lose(reason: NotUsed, line: number, found: string): void {
    this.notUsed.set(reason, (this.notUsed.get(reason) ?? 0) + 1);
    if (!this.firstLost.has(reason)) this.firstLost.set(reason, { line, found });
  }

  private readClock(cells: readonly string[]): number {
    if (this.clock === null || this.clockReader === null) return Number.NaN;
    const value = this.clockReader.read(cells[this.clock.index] ?? "");
    if (Number.isNaN(value)) return Number.NaN;
    this.firstClock ??= value;
    return (value - this.firstClock) * this.clock.unitS;
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

  private durationMs(cell: string | undefined): number | NotUsed {
    if (cell === undefined || cell === "" || isMissing(cell)) return "frame time empty";
    const value = readNumber(cell, this.decimalSign);
    if (!Number.isFinite(value)) return "frame time not a number";
    if (this.frameTime.how === "rate")
      return value > 0 ? usable(1000 / value) : "frame time zero or negative";
    return usable(value * (this.frameTime.unitS * 1000));
  }
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
