import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { low, lowOfTail, tailOfFrames } from "../../src/measure/lows.ts";
import { lowsDefinitions } from "../../src/shared/lows-definition.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

interface Pair {
  readonly low1: number;
  readonly low01: number;
}
interface LowsCase {
  readonly frameTimeMs: readonly number[];
  readonly percentile: Pair;
  readonly percentileOfFps: Pair;
  readonly tailAverage: Pair;
  readonly timeWeighted: Pair;
}
const { lows } = readReference<{ lows: LowsCase[] }>("fixtures/reference/quantiles.json");
const { frames } = readReference<{
  frames: { frameTimesMs: number[]; percentile: number[]; tailAverage: number[]; timeWeighted: number[] };
}>("test/reference/published-data.json");

describe("low", () => {
  test.for(lows.flatMap((row, i) => [0.01, 0.001].map((fraction) => ({ row, i, fraction }))))(
    "agrees with R under all three definitions, series $i, fraction $fraction",
    ({ row, fraction }) => {
      const key = fraction === 0.01 ? "low1" : "low01";
      expectClose(low(row.frameTimeMs, fraction, "percentile"), row.percentile[key], 1e-13, "percentile");
      expectClose(
        low(row.frameTimeMs, fraction, "tail-average"),
        row.tailAverage[key],
        1e-13,
        "tail average",
      );
      expectClose(
        low(row.frameTimeMs, fraction, "time-weighted"),
        row.timeWeighted[key],
        1e-13,
        "time-weighted",
      );
    },
  );

  test.for([0.01, 0.001].map((fraction, i) => ({ fraction, i })))(
    "agrees with R on 2,500 frames with drift and stutters, fraction $fraction",
    ({ fraction, i }) => {
      expectClose(low(frames.frameTimesMs, fraction, "percentile"), frames.percentile[i]!, 1e-13);
      expectClose(low(frames.frameTimesMs, fraction, "tail-average"), frames.tailAverage[i]!, 1e-13);
      expectClose(low(frames.frameTimesMs, fraction, "time-weighted"), frames.timeWeighted[i]!, 1e-13);
    },
  );

  test("takes the percentile of frame times and inverts it, not the percentile of frame rates", () => {
    const [, jump] = lows;
    expectClose(
      low(jump!.frameTimeMs, 0.001, "percentile"),
      21.7202432667247,
      1e-13,
      "R, 1000 / quantile(ft, .999)",
    );
    expect(jump!.percentileOfFps.low01).toBe(27.92);
  });

  test.for([
    // By hand from the definitions of the three lows; 100 frames, sum 1099 ms.
    {
      definition: "percentile",
      fraction: 0.01,
      expected: 1000 / (10 + 0.01 * 99),
      source: "by hand: h = 98.01",
    },
    {
      definition: "tail-average",
      fraction: 0.01,
      expected: 1000 / 109,
      source: "by hand: one slowest frame",
    },
    { definition: "time-weighted", fraction: 0.01, expected: 1000 / 109, source: "by hand: 109 ms >= 11 ms" },
    {
      definition: "tail-average",
      fraction: 0.05,
      expected: 5000 / 149,
      source: "by hand: five slowest frames",
    },
    { definition: "time-weighted", fraction: 0.1, expected: 100, source: "by hand: 109 < 109.9 <= 119" },
  ] as const)("$definition of one stutter among 99 even frames, $fraction ($source)", (row) => {
    const series = [...Array.from({ length: 99 }, () => 10), 109];
    expectClose(low(series, row.fraction, row.definition), row.expected, 1e-12);
  });

  test.for([
    { frames: 700, slow: 7, expected: 10, source: "by hand: ceil(0.01 * 700) = 7" },
    {
      frames: 701,
      slow: 7,
      expected: 8000 / 710,
      source: "by hand: ceil(7.01) = 8, seven of 100 ms and one of 10",
    },
    { frames: 50, slow: 1, expected: 10, source: "by hand: at least one frame" },
  ])("averages the slowest 1% of $frames frames, rounded up to whole frames ($source)", (row) => {
    const series = Array.from({ length: row.frames }, (_, i) => (i < row.slow ? 100 : 10));
    expectClose(low(series, 0.01, "tail-average"), row.expected, 1e-14);
  });

  const someFrames = fc.array(fc.double({ min: 0.1, max: 500, noNaN: true }), {
    minLength: 1,
    maxLength: 80,
  });
  const definition = fc.constantFrom(...lowsDefinitions);
  const fraction = fc.constantFrom(0.01, 0.001);

  test("does not depend on the order of frames and does not disturb it", () => {
    fc.assert(
      fc.property(someFrames, definition, fraction, (x, how, f) => {
        const before = [...x];
        const value = low(x, f, how);
        expect(x).toEqual(before);
        expectClose(low([...x].reverse(), f, how), value, 1e-12);
      }),
    );
  });

  test("doubles when every frame takes half the time", () => {
    fc.assert(
      fc.property(someFrames, definition, fraction, (x, how, f) => {
        const half = x.map((ms) => ms / 2);
        expectClose(low(half, f, how), 2 * low(x, f, how), 1e-13);
      }),
    );
  });

  test("lies between the frame rates of the slowest and the fastest frame, the 0.1% low not above the 1% low", () => {
    fc.assert(
      fc.property(someFrames, definition, (x, how) => {
        const [low1, low01] = [low(x, 0.01, how), low(x, 0.001, how)];
        expect(low01).toBeGreaterThanOrEqual((1000 / Math.max(...x)) * (1 - 1e-12));
        expect(low1).toBeLessThanOrEqual((1000 / Math.min(...x)) * (1 + 1e-12));
        expect(low01).toBeLessThanOrEqual(low1 * (1 + 1e-12));
      }),
    );
  });

  test.for(lowsDefinitions)("%s refuses an empty series", (how) => {
    expect(() => low([], 0.01, how)).toThrow(RangeError);
  });
});

test("a slow end that is too short for a low is a mistake, and no low", () => {
  const tail = tailOfFrames(
    Float64Array.from({ length: 1000 }, (_, i) => 1 + i),
    500_500,
    0.001,
  );
  expect(lowOfTail(tail, 0.001, "percentile")).toBeGreaterThan(0);
  expect(() => lowOfTail(tail, 0.01, "percentile")).toThrow(/fractions up to 0.001, not 0.01/);
});
