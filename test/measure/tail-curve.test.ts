import { describe, expect, test } from "vitest";
import { low } from "../../src/measure/lows.ts";
import { quantileType7 } from "../../src/measure/quantile.ts";
import { tailCurve } from "../../src/measure/tail-curve.ts";
import { seededRandom } from "../support/seeded-random.ts";

function simulate(frames: number, seed: number): Float64Array {
  const random = seededRandom(seed);
  return Float64Array.from(
    { length: frames },
    () => 8 + 2 * random.uniform() + (random.uniform() < 0.01 ? 40 * random.uniform() : 0),
  );
}

describe("the curve of the slow end", () => {
  test.for([30, 300, 5_000, 50_000])("is the quantile at each share (%i frames)", (frames) => {
    // quantileType7 over the whole sorted pass is held to R 4.x quantile(type = 7) in quantile.test.ts.
    const times = simulate(frames, 7);
    const sorted = times.slice().sort();
    const { shares, frameTimesMs } = tailCurve(times);
    expect(shares[0]).toBe(0.1);
    for (const [i, share] of shares.entries()) expect(frameTimesMs[i]).toBe(quantileType7(sorted, 1 - share));
  });

  test("goes through the lows by percentile at 1% and 0.1%", () => {
    const times = simulate(50_000, 8);
    const { shares, frameTimesMs } = tailCurve(times);
    for (const fraction of [0.01, 0.001]) {
      const at = shares.indexOf(fraction);
      expect(1000 / (frameTimesMs[at] as number)).toBe(low(times, fraction, "percentile"));
    }
  });

  test("ends where only single frames are left", () => {
    const { shares } = tailCurve(simulate(5_000, 9));
    expect(Math.min(...shares) * 5_000).toBeGreaterThanOrEqual(3);
    expect(Math.min(...shares) * 5_000).toBeLessThan(3 * 10 ** (1 / 16));
    expect(tailCurve(simulate(29, 9))).toEqual({ shares: [], frameTimesMs: [] });
    expect(tailCurve(new Float64Array(0))).toEqual({ shares: [], frameTimesMs: [] });
  });

  test("ends at 0.01% of a pass that has frames enough for it", () => {
    expect(tailCurve(simulate(50_000, 9)).shares.at(-1)).toBe(0.0001);
  });
});
