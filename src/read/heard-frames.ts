import { GrowingNumbers } from "./growing-numbers.ts";
import { mostHeldS, type Silence } from "./mark-silence.ts";

/** The frames in whose rows a sensor printed a reading, as the gaps between them: most sensors print in every row. */
export class HeardFrames {
  /** Pairs of frames with a reading and none between them. */
  private readonly gaps = new GrowingNumbers();
  private first = -1;
  private last = -1;

  /** A reading in the row of this frame. */
  at(frame: number): void {
    if (this.first < 0) this.first = frame;
    else if (frame > this.last + 1) {
      this.gaps.push(this.last);
      this.gaps.push(frame);
    }
    this.last = Math.max(this.last, frame);
  }

  /** Readings in all rows from the last one told up to this. */
  upTo(frame: number): void {
    this.last = Math.max(this.last, frame);
  }

  /**
   * Where no reading holds, in a stretch of frames.
   * @param startOf when a frame of the stretch began, in seconds; asked for in the order of the frames
   * @param from index of the stretch's first frame, `count` how many it has
   */
  silences(startOf: (frame: number) => number, from: number, count: number): Silence[] {
    const isWhole = this.gaps.length === 0 && this.first <= from && this.last >= from + count - 1;
    if (isWhole) return [];
    const startS = (frame: number): number => startOf(Math.min(Math.max(frame - from, 0), count - 1));
    const ends = this.gaps.view();
    const gaps: Silence[] = [];
    const firstS = startS(this.first);
    for (let i = 0; i + 1 < ends.length; i += 2) {
      if ((ends[i + 1] as number) <= from || (ends[i] as number) >= from + count) continue;
      gaps.push({ fromS: startS(ends[i] as number), toS: startS(ends[i + 1] as number) });
    }
    const lastS = startS(this.last);
    const endS = startOf(count - 1);
    const mostS = mostHeldS(this.usualStepS(gaps));
    const silent = gaps
      .filter(({ fromS, toS }) => toS > fromS + mostS)
      .map(({ fromS, toS }) => ({ fromS: fromS + mostS, toS }));
    // A first reading also holds before its time.
    if (firstS > mostS) silent.unshift({ fromS: 0, toS: firstS - mostS });
    if (endS > lastS + mostS) silent.push({ fromS: lastS + mostS, toS: Number.POSITIVE_INFINITY });
    return silent;
  }

  /** The median time from one reading to the next; 0 where most of them follow from row to row. */
  private usualStepS(gaps: readonly Silence[]): number {
    const steps = this.last - this.first - this.rowsSkipped();
    const middle = (steps >> 1) - (steps - this.gaps.length / 2);
    if (middle < 0) return 0;
    const sorted = gaps.map(({ fromS, toS }) => toS - fromS).sort((a, b) => a - b);
    return sorted[Math.min(middle, sorted.length - 1)] ?? 0;
  }

  /** Rows without a reading, between the first and the last one. */
  private rowsSkipped(): number {
    const ends = this.gaps.view();
    let rows = 0;
    for (let i = 0; i + 1 < ends.length; i += 2) rows += (ends[i + 1] as number) - (ends[i] as number) - 1;
    return rows;
  }
}
