import { describe, expect, test } from "vitest";
import { describeFlag } from "../../src/judge/describe-flag.ts";
import { findCoarseTimes } from "../../src/read/find-coarse-times.ts";
import type { FrameTimeChoice } from "../../src/read/recognition.ts";

const durations = (unit: "s" | "ms", unitS: number): FrameTimeChoice => ({
  index: 0,
  how: "duration",
  unit,
  unitS,
});
const rate: FrameTimeChoice = { index: 0, how: "rate", unit: "fps", unitS: 1 };
const steps: FrameTimeChoice = { index: 0, how: "steps", unit: "s", unitS: 1 };

/** Frame times around this one, which is their mean. */
const framesOf = (ms: number, count = 100): Float64Array =>
  Float64Array.from({ length: count }, (_, i) => (i % 2 === 0 ? 0.9 : 1.1) * ms);

// From 3% of a frame on: this project's own rule, the usual smallest difference worth telling.
describe("digits are too few for lows where one step of them is more than 3% of a frame", () => {
  test.for([
    { said: "whole ms at 60 FPS (6%)", ms: 1000 / 60, choice: durations("ms", 1e-3), precision: 1, is: true },
    { said: "whole ms at 30 FPS (3.0%)", ms: 33.4, choice: durations("ms", 1e-3), precision: 1, is: false },
    { said: "whole ms just above it", ms: 33.3, choice: durations("ms", 1e-3), precision: 1, is: true },
    {
      said: "tenths of a ms at 60 FPS",
      ms: 1000 / 60,
      choice: durations("ms", 1e-3),
      precision: 0.1,
      is: false,
    },
    {
      said: "tenths of a ms at 500 FPS (5%)",
      ms: 2,
      choice: durations("ms", 1e-3),
      precision: 0.1,
      is: true,
    },
    {
      said: "seconds with three decimals",
      ms: 1000 / 60,
      choice: durations("s", 1),
      precision: 1e-3,
      is: true,
    },
    { said: "a clock with three decimals", ms: 9, choice: steps, precision: 1e-3, is: true },
    { said: "a clock with six decimals", ms: 9, choice: steps, precision: 1e-6, is: false },
    { said: "whole FPS at 100 FPS (1%)", ms: 10, choice: rate, precision: 1, is: false },
    { said: "whole FPS at 20 FPS (5%)", ms: 50, choice: rate, precision: 1, is: true },
  ])("$said: $is", ({ ms, choice, precision, is }) => {
    expect(findCoarseTimes(framesOf(ms), ms, choice, precision).map(({ code }) => code)).toEqual(
      is ? ["coarse-times"] : [],
    );
  });

  test("nothing is said where nothing gives frame times", () => {
    expect(findCoarseTimes(framesOf(9), 9, null, 1)).toEqual([]);
  });

  test("nothing is said of a few frames, or of frames that are all alike", () => {
    const choice = durations("ms", 1e-3);
    expect(findCoarseTimes(framesOf(10, 100), 10, choice, 1)).toHaveLength(1);
    expect(findCoarseTimes(framesOf(10, 99), 10, choice, 1)).toEqual([]);
    expect(findCoarseTimes(new Float64Array(100).fill(10), 10, choice, 1)).toEqual([]);
  });

  test("the flag gives the step in milliseconds and as a share of a frame, and does not stop the pass", () => {
    const [flag] = findCoarseTimes(framesOf(50), 50, rate, 1);
    expect(flag).toMatchObject({ stepMs: 2.5, usualMs: 50 });
    expect(flag === undefined ? null : describeFlag(flag)).toEqual({
      code: "coarse-times",
      severity: "warning",
      text: "the log's digits show frame times in steps of 2.50 ms, 5% of a usual frame: lows go in such steps",
    });
  });
});
