import type { LogPart } from "../shared/problem.ts";
import { averageOf, FrameCollector, type Reading } from "./frame-collector.ts";
import type { Stream } from "./tell-streams.ts";

/** Streams named in a question. */
const mostStreams = 12;

/** Follows the streams of a log: which rows belong to the one that counts, and what the others hold. */
export class StreamCounter {
  private readonly how: Reading;
  private readonly own: FrameCollector;
  private readonly stream: Stream | null;
  private readonly others = new Map<string, FrameCollector>();
  private ownRows = 0;
  /** All rows as if they were one stream, to see whether the clock runs on where the value changes. */
  private readonly together: FrameCollector;
  private last: string | null = null;
  private changes = 0;
  private changesAgree = 0;

  constructor(how: Reading, own: FrameCollector, stream: Stream | null) {
    this.how = how;
    this.own = own;
    this.stream = stream;
    this.together = new FrameCollector(how);
  }

  /** Whether a row is of the stream that counts; other rows are counted here. */
  isOwn(name: string, cells: readonly string[], line: number): boolean {
    if (this.stream?.isGuess === true) this.watchChange(name, cells, line);
    if (name === this.stream?.wanted) {
      this.ownRows++;
      return true;
    }
    if (this.stream?.isGuess === true) this.count(name, cells, line);
    return false;
  }

  /** Like `isOwn` for rows that are known to be, while no other stream was seen. */
  addOwn(rows: number): void {
    this.ownRows += rows;
  }

  hasOwn(): boolean {
    return this.ownRows > 0;
  }

  areSeveral(): boolean {
    return this.others.size > 0;
  }

  /** The clock ran on across nearly every change of the value, as it does in one stream only. */
  areOneByClock(): boolean {
    return (
      this.how.frameTime.how === "duration" && this.changes > 0 && this.changesAgree >= 0.7 * this.changes
    );
  }

  parts(): LogPart[] {
    const part = (name: string, frames: FrameCollector): LogPart => ({
      name,
      frames: frames.frameTimesMs.length,
      avgFps: averageOf(frames.frameTimesMs.view()),
    });
    return [
      part(this.stream?.wanted ?? "", this.own),
      ...[...this.others].map(([name, frames]) => part(name, frames)),
    ];
  }

  private count(name: string, cells: readonly string[], line: number): void {
    let frames = this.others.get(name);
    if (frames === undefined) {
      if (this.others.size >= mostStreams - 1) return;
      frames = new FrameCollector(this.how);
      this.others.set(name, frames);
    }
    frames.addRow(cells, line);
  }

  private watchChange(name: string, cells: readonly string[], line: number): void {
    const { clock } = this.how;
    // Nothing is compared while there is one value only; the row before a change is needed, no more. The first row has
    // no frame before it.
    const isChange = this.last !== name;
    this.last = name;
    if (clock === null) return;
    const { length } = this.together.frameTimesMs;
    this.together.addRow(cells, line);
    const now = this.together.frameTimesMs.length - 1;
    if (now < length) return;
    if (isChange && length > 0) {
      const clockS = this.together.clockS.view();
      const stepS = (clockS[now] ?? Number.NaN) - (clockS[now - 1] ?? Number.NaN);
      const lengthS = (this.together.frameTimesMs.view()[now - clock.lag] ?? Number.NaN) / 1000;
      this.changes++;
      if (Math.abs(stepS - lengthS) <= 1.001 * clock.precisionS + 0.003 * lengthS + 1e-9) this.changesAgree++;
    }
    this.together.keepLast(2);
  }
}
