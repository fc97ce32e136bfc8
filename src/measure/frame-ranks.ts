import type { RankedFrames } from "./lows.ts";

/**
 * The frames seen so far of a pass that is known whole, in order of their frame times: adding one and asking for the
 * n-th slowest, or for the slowest that took a given time, costs O(log n).
 * @see Fenwick 1994, A new data structure for cumulative frequency tables, Software: Practice and Experience 24:327
 */
export class FrameRanks implements RankedFrames {
  /** Distinct frame times, slowest first. */
  readonly #timesMs: Float64Array;
  /** Fenwick trees over those, from index 1: frames seen, and their milliseconds. */
  readonly #counts: Uint32Array;
  readonly #sumsMs: Float64Array;
  readonly #top: number;
  #frames = 0;

  /** @param frameTimesMs all that may be added, milliseconds above 0; not kept */
  constructor(frameTimesMs: Float64Array) {
    this.#timesMs = differentDescending(frameTimesMs);
    this.#counts = new Uint32Array(this.#timesMs.length + 1);
    this.#sumsMs = new Float64Array(this.#timesMs.length + 1);
    this.#top = 2 ** Math.floor(Math.log2(Math.max(1, this.#timesMs.length)));
  }

  get frames(): number {
    return this.#frames;
  }

  /** @throws RangeError if this frame time was not among those given at first: a caller's mistake */
  add(frameTimeMs: number): void {
    this.#frames++;
    for (let node = this.#rankOf(frameTimeMs); node < this.#counts.length; node += node & -node) {
      this.#counts[node] = (this.#counts[node] as number) + 1;
      (this.#sumsMs[node] as number) += frameTimeMs;
    }
  }

  /** The n-th slowest frame time so far, n from 1 to `frames`, in milliseconds. */
  slowest(n: number): number {
    return this.#timesMs[this.#descend(n).node] as number;
  }

  /** Sum of the n slowest frame times so far, in milliseconds. */
  sumOfSlowest(n: number): number {
    const { node, frames, sumMs } = this.#descend(n);
    return sumMs + (n - frames) * (this.#timesMs[node] as number);
  }

  /** The frame time at which the slowest frames so far, added up from the slowest, reach a sum; the fastest if never. */
  slowestReaching(sumMs: number): number {
    let node = 0;
    let left = sumMs;
    for (let step = this.#top; step > 0; step >>= 1) {
      const next = node + step;
      if (next < this.#sumsMs.length && (this.#sumsMs[next] as number) < left) {
        node = next;
        left -= this.#sumsMs[next] as number;
      }
    }
    return node < this.#timesMs.length ? (this.#timesMs[node] as number) : this.slowest(this.#frames);
  }

  /** The last node before the n-th slowest frame, with the frames up to it and their sum. */
  #descend(n: number): { node: number; frames: number; sumMs: number } {
    if (!(n >= 1 && n <= this.#frames)) throw new RangeError(`there are ${this.#frames} frames, not ${n}`);
    let node = 0;
    let frames = 0;
    let sumMs = 0;
    for (let step = this.#top; step > 0; step >>= 1) {
      const next = node + step;
      if (next < this.#counts.length && frames + (this.#counts[next] as number) < n) {
        node = next;
        frames += this.#counts[next] as number;
        sumMs += this.#sumsMs[next] as number;
      }
    }
    return { node, frames, sumMs };
  }

  /** Place among the distinct frame times, from 1. */
  #rankOf(frameTimeMs: number): number {
    let from = 0;
    let to = this.#timesMs.length;
    while (from < to) {
      const middle = (from + to) >> 1;
      if ((this.#timesMs[middle] as number) > frameTimeMs) from = middle + 1;
      else to = middle;
    }
    if (this.#timesMs[from] !== frameTimeMs) throw new RangeError(`${frameTimeMs} ms is none of the frames`);
    return from + 1;
  }
}

/** A loop, since filter() of a typed array takes as long as all the rest for a million frames. */
function differentDescending(values: Float64Array): Float64Array {
  const sorted = values.slice().sort().reverse();
  let kept = 0;
  for (let i = 0; i < sorted.length; i++) {
    if (i === 0 || sorted[i] !== sorted[i - 1]) sorted[kept++] = sorted[i] as number;
  }
  return sorted.subarray(0, kept);
}
