import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { averageFps } from "../../src/measure/frame-rate.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

const { lows, means } = readReference<{
  lows: { frameTimeMs: number[]; avgFps: number; meanOfInstantaneousFps: number }[];
  means: { x: number[]; harmonic: number };
}>("fixtures/reference/quantiles.json");

const arithmeticMean = (x: readonly number[]) => x.reduce((sum, value) => sum + value, 0) / x.length;
const instantaneous = (frameTimesMs: readonly number[]) => frameTimesMs.map((ms) => 1000 / ms);

describe("averageFps", () => {
  test.for(lows)(
    "is frames by seconds: $avgFps, not the mean of rates $meanOfInstantaneousFps (R)",
    (row) => {
      expectClose(averageFps(row.frameTimeMs), row.avgFps, 1e-13);
      // The reference itself shows the two to be different figures.
      expectClose(arithmeticMean(instantaneous(row.frameTimeMs)), row.meanOfInstantaneousFps, 1e-13);
      expect(row.meanOfInstantaneousFps - averageFps(row.frameTimeMs)).toBeGreaterThan(1);
    },
  );

  test("is the harmonic mean of the rates: 60, 72 and 48 FPS for a frame each make 58.378 FPS (R)", () => {
    expectClose(averageFps(means.x.map((fps) => 1000 / fps)), means.harmonic, 1e-14);
  });

  test("gives 40 FPS for equally many frames at 30 and at 60 FPS", () => {
    // The textbook journey: out at 30, back at 60, on average 40 (harmonic mean; common knowledge, no source).
    expectClose(averageFps([1000 / 30, 1000 / 60]), 40, 1e-15);
  });

  const someFrames = fc.array(fc.double({ min: 0.05, max: 1000, noNaN: true }), {
    minLength: 1,
    maxLength: 100,
  });

  test("is never above the arithmetic mean of instantaneous FPS, and equal to it only for even frames", () => {
    fc.assert(
      fc.property(someFrames, (x) => {
        const rates = instantaneous(x);
        const harmonic = x.length / rates.reduce((sum, fps) => sum + 1 / fps, 0);
        expectClose(averageFps(x), harmonic, 1e-12);
        expect(averageFps(x)).toBeLessThanOrEqual(arithmeticMean(rates) * (1 + 1e-12));
        if (Math.max(...x) > 1.1 * Math.min(...x)) expect(averageFps(x)).toBeLessThan(arithmeticMean(rates));
      }),
    );
  });

  test("doubles when every frame takes half the time", () => {
    fc.assert(
      fc.property(someFrames, (x) =>
        expectClose(averageFps(x.map((ms) => ms / 2)), 2 * averageFps(x), 1e-13),
      ),
    );
  });

  test("keeps 13 digits over a million uneven frames", () => {
    // Exact: 500,000 frames of 0.1 ms and of 0.3 ms take 200 s.
    const x = Float64Array.from({ length: 1_000_000 }, (_, i) => (i % 2 === 0 ? 0.1 : 0.3));
    expectClose(averageFps(x), 5000, 1e-13);
  });

  test("refuses an empty series", () => {
    expect(() => averageFps([])).toThrow(RangeError);
  });
});
