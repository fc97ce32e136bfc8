import fc from "fast-check";
import { expect, test } from "vitest";
import { thinTrace } from "../../src/measure/thin-trace.ts";

const traces = fc.array(fc.double({ min: 0.5, max: 500, noNaN: true }), { minLength: 1, maxLength: 400 });

/** Bucket of each frame by its middle, worked out frame by frame: what thinTrace does in one go. */
function bucketsOf(frames: readonly number[], buckets: number): number[][] {
  const total = frames.reduce((sum, ms) => sum + ms, 0);
  const groups: number[][] = Array.from({ length: buckets }, () => []);
  let at = 0;
  for (const ms of frames) {
    const middle = at + ms / 2;
    const bucket = Math.min(buckets - 1, Math.floor((middle * buckets) / total));
    (groups[bucket] as number[]).push(ms);
    at += ms;
  }
  return groups.filter((group) => group.length > 0);
}

test("the fastest and the slowest frame of every stretch of time stay, so that no spike is lost", () => {
  fc.assert(
    fc.property(traces, fc.integer({ min: 1, max: 40 }), (frames, buckets) => {
      const kept = new Set(thinTrace(Float64Array.from(frames), buckets).frameTimesMs);
      for (const group of bucketsOf(frames, buckets)) {
        expect(kept).toContain(Math.max(...group));
        expect(kept).toContain(Math.min(...group));
      }
    }),
  );
});

test("at most two frames per bucket stay, in the order of time, and inside the trace", () => {
  fc.assert(
    fc.property(traces, fc.integer({ min: 1, max: 40 }), (frames, buckets) => {
      const { atS, frameTimesMs, spanS } = thinTrace(Float64Array.from(frames), buckets);
      expect(frameTimesMs.length).toBe(atS.length);
      expect(frameTimesMs.length).toBeLessThanOrEqual(2 * buckets);
      for (let i = 1; i < atS.length; i++) expect(atS[i]).toBeGreaterThan(atS[i - 1] as number);
      expect(atS[0]).toBeGreaterThanOrEqual(0);
      expect(atS.at(-1)).toBeLessThanOrEqual(spanS);
    }),
  );
});

test("a lone slow frame between thousands stays where it was", () => {
  const frames = new Float64Array(10_000).fill(10);
  frames[6789] = 210;
  const { atS, frameTimesMs } = thinTrace(frames, 100);
  const spike = frameTimesMs.indexOf(210);
  expect(spike).toBeGreaterThan(-1);
  // 6,789 frames of 10 ms before it, and half of its own 210 ms.
  expect(atS[spike]).toBeCloseTo(67.89 + 0.105, 9);
});

test("a trace that is short enough is kept whole", () => {
  expect(thinTrace(Float64Array.of(10, 20, 30), 2)).toEqual({
    atS: [0.005, 0.02, 0.045],
    frameTimesMs: [10, 20, 30],
    frames: 3,
    spanS: 0.06,
  });
});

test("no frames give an empty trace, and no buckets are a mistake", () => {
  expect(thinTrace(new Float64Array(0), 10)).toEqual({ atS: [], frameTimesMs: [], frames: 0, spanS: 0 });
  expect(() => thinTrace(Float64Array.of(1), 0)).toThrow(RangeError);
});
