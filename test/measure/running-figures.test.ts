import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { averageFps, sumFrameTimes } from "../../src/measure/frame-rate.ts";
import { framesNeeded } from "../../src/measure/frames-needed.ts";
import { low } from "../../src/measure/lows.ts";
import { runningFigures } from "../../src/measure/running-figures.ts";
import { lowsDefinitions } from "../../src/shared/lows-definition.ts";
import { expectClose } from "../support/expect-close.ts";
import { seededRandom } from "../support/seeded-random.ts";

const endsOf = (timesMs: Float64Array): Float64Array => {
  let sumMs = 0;
  return timesMs.map((ms) => {
    sumMs += ms;
    return sumMs / 1000;
  });
};

/** A pass with stutters; coarse times, so that many are alike. */
function frames(n: number, seed: number, digits: number): Float64Array {
  const random = seededRandom(seed);
  return Float64Array.from({ length: n }, () => {
    const ms = 8 * Math.exp(0.2 * random.normal()) * (random.uniform() < 0.01 ? 4 : 1);
    return Number(ms.toFixed(digits)) || 1;
  });
}

describe.for(lowsDefinitions)("running figures under %s", (definition) => {
  test("are those of a summary of the frames so far, at any moment of any pass", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 900, max: 12_000 }),
        fc.integer(),
        fc.integer({ min: 0, max: 6 }),
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 4 }),
        (n, seed, digits, shares) => {
          const timesMs = frames(n, seed, digits);
          const endsS = endsOf(timesMs);
          const momentsS = shares.map((share) => share * (endsS.at(-1) as number)).sort((a, b) => a - b);
          for (const found of runningFigures(timesMs, endsS, momentsS, definition)) {
            const seen = timesMs.filter((_, i) => (endsS[i] as number) <= found.atS + 1e-9);
            expect(found.frames).toBe(seen.length);
            if (seen.length === 0) {
              expect(found.avgFps).toBeNull();
              continue;
            }
            expect(found.avgFps).toBe((1000 * seen.length) / sumFrameTimes(seen));
            for (const metric of ["low1Fps", "low01Fps"] as const) {
              const { needed, fraction } = framesNeeded[metric];
              if (seen.length < needed) {
                expect(found[metric]).toBeNull();
              } else if (definition === "tail-average") {
                // The trees add up in another order: a few units in the last place.
                expectClose(found[metric], low(seen, fraction, definition), 1e-12, metric);
              } else expect(found[metric]).toBe(low(seen, fraction, definition));
            }
          }
        },
      ),
      { numRuns: 60, seed: 8 },
    );
  });
});

test("before the first frame has ended there is nothing, and a frame that ends on the moment counts", () => {
  const timesMs = Float64Array.of(100, 100, 300);
  const figures = runningFigures(timesMs, endsOf(timesMs), [0, 0.2, 0.5], "percentile");
  // By hand: 2 frames in 0.2 s, 3 in 0.5 s.
  expect(figures.map(({ frames: n, avgFps }) => [n, avgFps])).toEqual([
    [0, null],
    [2, 10],
    [3, 6],
  ]);
});

test("a low is there from the very frame on that makes enough of them", () => {
  const timesMs = new Float64Array(10_000).fill(8);
  const endsS = endsOf(timesMs);
  const at = (frames: number) => (endsS[frames - 1] as number) + 0.001;
  const figures = runningFigures(timesMs, endsS, [999, 1000, 9999, 10_000].map(at), "percentile");
  expect(figures.map(({ low1Fps, low01Fps }) => [low1Fps, low01Fps])).toEqual([
    [null, null],
    [125, null],
    [125, null],
    [125, 125],
  ]);
});

test("an average is that of a summary to the last digit, also where a long frame follows a short one", () => {
  const timesMs = Float64Array.of(6.7, 124.9);
  const [figures] = runningFigures(timesMs, endsOf(timesMs), [1], "percentile");
  expect(figures?.avgFps).toBe(averageFps(timesMs));
});
