import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { FrameRanks } from "../../src/measure/frame-ranks.ts";
import { lowOfRanked } from "../../src/measure/lows.ts";
import { type LowsDefinition, lowsDefinitions } from "../../src/shared/lows-definition.ts";
import { expectClose } from "../support/expect-close.ts";

/** The definitions as they are stated, by sorting: nothing of this is shared with the code under test. */
function lowBySorting(frameTimesMs: readonly number[], fraction: number, definition: LowsDefinition): number {
  const slowest = [...frameTimesMs].sort((a, b) => b - a);
  const n = slowest.length;
  if (definition === "percentile") {
    // Hyndman & Fan 1996, definition 7: between the order statistics around 1 + (n - 1) p.
    const h = (n - 1) * fraction;
    const slower = slowest[Math.floor(h)]!;
    const faster = slowest[Math.min(n - 1, Math.floor(h) + 1)]!;
    return 1000 / (slower + (h - Math.floor(h)) * (faster - slower));
  }
  if (definition === "tail-average") {
    const taken = slowest.slice(0, Math.max(1, Math.ceil(fraction * n - 1e-9)));
    return (1000 * taken.length) / taken.reduce((sum, ms) => sum + ms, 0);
  }
  const reachMs = fraction * frameTimesMs.reduce((sum, ms) => sum + ms, 0);
  let sumMs = 0;
  for (const ms of slowest) {
    sumMs += ms;
    if (sumMs >= reachMs * (1 - 1e-12)) return 1000 / ms;
  }
  return 1000 / slowest.at(-1)!;
}

// Whole multiples of 1/8 ms add up without rounding, and repeat, as printed frame times do.
const frames = fc.array(
  fc.integer({ min: 1, max: 300 }).map((eighths) => eighths / 8),
  { minLength: 1, maxLength: 300 },
);

describe("frames that come one after the other", () => {
  test.for(lowsDefinitions)("at every moment give the %s low that sorting gives", (definition) => {
    fc.assert(
      fc.property(frames, fc.constantFrom(0.01, 0.001, 0.05), (series, fraction) => {
        const soFar = new FrameRanks(Float64Array.from(series));
        let totalMs = 0;
        for (const [i, ms] of series.entries()) {
          soFar.add(ms);
          totalMs += ms;
          const bySorting = lowBySorting(series.slice(0, i + 1), fraction, definition);
          expectClose(lowOfRanked(soFar, totalMs, fraction, definition), bySorting, 1e-13, `${i + 1} frames`);
        }
      }),
      { numRuns: 40, seed: 9 },
    );
  });

  test("know every rank and every sum of the slowest", () => {
    fc.assert(
      fc.property(frames, (series) => {
        const soFar = new FrameRanks(Float64Array.from(series));
        for (const ms of series) soFar.add(ms);
        const descending = [...series].sort((a, b) => b - a);
        expect(descending.map((_, i) => soFar.slowest(i + 1))).toEqual(descending);
        let sum = 0;
        for (const [i, ms] of descending.entries()) {
          sum += ms;
          expect(soFar.sumOfSlowest(i + 1)).toBe(sum);
        }
      }),
    );
  });

  test.for([
    { sumMs: 20, atMs: 20 },
    { sumMs: 20.5, atMs: 10 },
    { sumMs: 30, atMs: 10 },
    { sumMs: 30.5, atMs: 10 },
  ])("of 20 and 10 ms, and 5 ms still to come, $sumMs ms are reached at $atMs ms", ({ sumMs, atMs }) => {
    const soFar = new FrameRanks(Float64Array.of(5, 10, 20));
    for (const ms of [10, 20]) soFar.add(ms);
    // More than all take together ends with the fastest frame seen.
    expect(soFar.slowestReaching(sumMs)).toBe(atMs);
  });

  test("a rank that does not exist is refused", () => {
    const soFar = new FrameRanks(Float64Array.of(10, 20));
    soFar.add(10);
    for (const n of [0, 2]) expect(() => soFar.slowest(n)).toThrow(RangeError);
    expect(() => soFar.add(15)).toThrow(RangeError);
  });
});
