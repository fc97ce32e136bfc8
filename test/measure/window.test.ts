import { describe, expect, test } from "vitest";
import { pictureFrames } from "../../src/measure/picture-frames.ts";
import { summarisePass } from "../../src/measure/summarise-pass.ts";
import { thinTrace } from "../../src/measure/thin-trace.ts";
import { timeWeightedMean } from "../../src/measure/time-weighted-mean.ts";
import { trimFrames } from "../../src/measure/trim.ts";
import { logOf, sensor } from "../support/log-of.ts";

describe("a window takes whole frames", () => {
  // Five frames of 250 ms end at 0.25, 0.5, 0.75, 1 and 1.25 s, all exact in binary.
  const log = logOf([250, 250, 250, 250, 250]);
  test.for([
    { what: "a frame that starts on its edge is inside", skipS: 0.25, keepS: null, frames: 4, toS: 1.25 },
    { what: "a frame that starts before it is not", skipS: 0.26, keepS: null, frames: 3, toS: 1.25 },
    { what: "a frame that ends on its edge is inside", skipS: 0, keepS: 0.5, frames: 2, toS: 0.5 },
    { what: "a frame that ends behind it is not", skipS: 0, keepS: 0.49, frames: 1, toS: 0.49 },
    {
      what: "rounding on the edge puts no frame outside",
      skipS: 0.2500000005,
      keepS: 0.4999999995,
      frames: 2,
      toS: 0.75,
    },
    { what: "a window beyond the log ends with it", skipS: 0.5, keepS: 9, frames: 3, toS: 1.25 },
    { what: "a window behind the log holds nothing", skipS: 2, keepS: 1, frames: 0, toS: 1.25 },
    { what: "a window of no time holds nothing", skipS: 0.5, keepS: 0, frames: 0, toS: 0.5 },
  ])("$what", ({ skipS, keepS, frames, toS }) => {
    const trimmed = trimFrames(log, { skipS, keepS });
    expect(trimmed.frameTimesMs).toEqual(new Float64Array(frames).fill(250));
    expect(trimmed.sumMs).toBe(250 * frames);
    expect(trimmed.fromS).toBe(skipS);
    expect(trimmed.toS).toBeCloseTo(toS, 12);
  });

  test("the whole log is no window: its frames stay where they are, up to the end by its clock", () => {
    expect(trimFrames(log, null)).toEqual({
      frameTimesMs: log.frameTimesMs,
      sumMs: 1250,
      endsS: null,
      fromS: 0,
      toS: 1.25,
    });
    expect(trimFrames(log, { skipS: 0, keepS: null })).toEqual(trimFrames(log, null));
    const gap = logOf([250, 250, 250], { frameEndsS: Float64Array.of(0.25, 2, 2.25) });
    expect(trimFrames(gap, { skipS: 0, keepS: null })).toMatchObject({ endsS: gap.frameEndsS, toS: 2.25 });
    expect(trimFrames(logOf([]), null)).toMatchObject({ sumMs: 0, toS: 0 });
    expect(trimFrames(logOf([]), { skipS: 1, keepS: null })).toMatchObject({ sumMs: 0, toS: 0 });
  });

  test("pictures show the same frames", () => {
    const { trace, tail } = pictureFrames(log, { skipS: 0.5, keepS: null }, 10);
    expect(trace).toMatchObject({ frames: 3, spanS: 0.75, frameTimesMs: [250, 250, 250] });
    expect(tail).toEqual(pictureFrames(logOf([250, 250, 250]), null, 10).tail);
  });
});

describe("a sensor's mean over a window of time", () => {
  const steps = sensor("cpu-power", [1, 2, 4], [10, 20, 40]);
  test.for([
    { what: "each reading holds until the next", fromS: 1, toS: 4, mean: (10 + 2 * 20) / 3 },
    { what: "the last one holds to the end", fromS: 4, toS: 6, mean: 40 },
    { what: "the first one also holds before", fromS: 0, toS: 2, mean: 10 },
    { what: "a window that the first reading ends", fromS: 0, toS: 1, mean: 10 },
    { what: "a window that ends before the first reading", fromS: 0, toS: 0.9, mean: null },
    { what: "a window that begins behind the last one", fromS: 4.1, toS: 6, mean: null },
    { what: "a window of no time", fromS: 2, toS: 2, mean: null },
    { what: "a window that runs backwards", fromS: 3, toS: 2, mean: null },
    { what: "a part of two readings", fromS: 1.5, toS: 2.5, mean: 15 },
  ])("$what", ({ fromS, toS, mean }) => {
    expect(timeWeightedMean(steps, fromS, toS)).toBe(mean);
  });

  test("readings that are no numbers take no part, and no readings have no mean", () => {
    const gaps = sensor("cpu-power", [0, 1, 2], [10, Number.NaN, 30]);
    expect(timeWeightedMean(gaps, 0, 3)).toBe(20);
    expect(timeWeightedMean(gaps, 1, 2)).toBe(null);
    expect(timeWeightedMean(sensor("cpu-power", [], []), 0, 3)).toBe(null);
  });
});

test.for([
  { what: "no power", watts: 0, frames: 100 },
  { what: "no frames", watts: 50, frames: 0 },
])("with $what there is nothing per watt and per frame", ({ watts, frames }) => {
  const power = sensor("cpu-power", [0, 1], [watts, watts]);
  const log = logOf(new Array(frames).fill(10), { sensors: [power] });
  const key = { game: "saltworks", config: "quiet-35w", pass: "pass-1", boot: null };
  const pass = summarisePass(log, key, { lows: "percentile", trim: null });
  expect([pass.fpsPerWatt, pass.joulesPerFrame]).toEqual([null, null]);
});

describe("a thinned trace", () => {
  test("of twice as many frames as buckets is whole, of one more is not", () => {
    const trace = thinTrace(Float64Array.of(10, 20, 30, 40), 2);
    expect(trace).toEqual({
      atS: [0.005, 0.02, 0.045, 0.08],
      frameTimesMs: [10, 20, 30, 40],
      frames: 4,
      spanS: 0.1,
    });
    // 10 + 20 + 30 + 20 + 20 ms in two buckets of 50 ms: 10, 20, 30 (middle at 45 ms) and 20, 20.
    const thinned = thinTrace(Float64Array.of(10, 20, 30, 20, 20), 2);
    expect(thinned).toEqual({
      atS: [0.005, 0.045, 0.07],
      frameTimesMs: [10, 30, 20],
      frames: 5,
      spanS: 0.1,
    });
  });

  test("keeps the first of equal frames, and a frame whose middle lies on an edge behind it", () => {
    // Buckets of 40 ms; the middle of the third frame lies at 40 ms.
    expect(thinTrace(Float64Array.of(20, 10, 20, 10, 20), 2)).toMatchObject({
      atS: [0.01, 0.025, 0.04, 0.055],
      frameTimesMs: [20, 10, 20, 10],
    });
  });
});
