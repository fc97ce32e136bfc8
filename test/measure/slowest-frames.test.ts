import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { low } from "../../src/measure/lows.ts";
import { quantileType7 } from "../../src/measure/quantile.ts";
import { slowestFrames } from "../../src/measure/slowest-frames.ts";

const frames = fc.oneof(
  fc.array(fc.double({ min: 0.1, max: 100, noNaN: true }), { minLength: 1, maxLength: 400 }),
  // Many equal values, sorted and reversed runs: where selections go wrong.
  fc.array(fc.constantFrom(8, 8.3, 16.7, 16.7, 33.3), { minLength: 1, maxLength: 400 }),
  fc.integer({ min: 1, max: 400 }).map((n) => Array.from({ length: n }, (_, i) => i + 1)),
  fc.integer({ min: 1, max: 400 }).map((n) => Array.from({ length: n }, (_, i) => n - i)),
);

describe("selection gives exactly what sorting gives", () => {
  test("the slowest frames are the end of the sorted ones", () => {
    fc.assert(
      fc.property(frames, fc.integer({ min: 1, max: 500 }), (values, count) => {
        const times = Float64Array.from(values);
        const sorted = times.slice().sort();
        expect(slowestFrames(times, count)).toEqual(sorted.slice(Math.max(0, sorted.length - count)));
        expect(times).toEqual(Float64Array.from(values));
      }),
      { numRuns: 1000 },
    );
  });

  // Long enough for the sample that spares a copy, in orders that mislead it: every 30th frame is looked at.
  test.for([
    "even",
    "rising",
    "falling",
    "periodic",
    "slow where looked at",
    "fast where looked at",
    "one level",
  ])("a long pass, %s", (order) => {
    const n = 30_000;
    const times = Float64Array.from({ length: n }, (_, i) => {
      const noise = ((i * 7919) % 10_007) / 1000;
      return {
        even: 10 + noise,
        rising: i + 1,
        falling: n - i,
        periodic: i % 30 === 0 ? 10 : 20 + noise,
        "slow where looked at": i % 30 === 0 ? 40 + noise : 20 + noise,
        "fast where looked at": i % 30 === 0 ? 1 : 20 + noise,
        "one level": 16,
      }[order] as number;
    });
    const sorted = times.slice().sort();
    for (const count of [1, 300, 303, 3000, 29_999]) {
      expect(slowestFrames(times, count)).toEqual(sorted.slice(n - count));
    }
  });

  test("the percentile lows are those of the sorted definition, to the last bit", () => {
    fc.assert(
      fc.property(frames, fc.constantFrom(0.01, 0.001), (values, fraction) => {
        const sorted = Float64Array.from(values).sort();
        expect(low(values, fraction, "percentile")).toBe(1000 / quantileType7(sorted, 1 - fraction));
      }),
    );
  });

  test("the time-weighted lows are those of the sorted definition", () => {
    fc.assert(
      fc.property(frames, fc.constantFrom(0.01, 0.001), (values, fraction) => {
        const falling = [...values].sort((a, b) => b - a);
        const total = falling.reduce((sum, ms) => sum + ms, 0);
        let sum = 0;
        const at = falling.find((ms) => {
          sum += ms;
          return sum >= fraction * total - 1e-12 * total;
        });
        expect(low(values, fraction, "time-weighted")).toBe(1000 / (at ?? Number.NaN));
      }),
    );
  });
});
