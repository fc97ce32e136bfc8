import { describe, expect, test } from "vitest";
import { askPasses, defaultStopRule, narrowHalfWidth, passesUntilNarrow } from "../../src/judge/stop-rule.ts";

const wanted = { confidencePct: 95, mattersPct: 3 };

describe("how many passes a comparison gets", () => {
  test.for([
    // Stein 1945: ceiling(2 sd^2 (qt(1 - a / 2, f) / (0.6 log(1 + m / 100)))^2), 2 or more, by R 4.2.2.
    { sd: 0.0002, degreesOfFreedom: 7, mattersPct: 3, confidencePct: 95, expected: 2 },
    { sd: 0.006, degreesOfFreedom: 7, mattersPct: 3, confidencePct: 95, expected: 2 },
    { sd: 0.01, degreesOfFreedom: 7, mattersPct: 3, confidencePct: 95, expected: 4 },
    { sd: 0.018, degreesOfFreedom: 7, mattersPct: 3, confidencePct: 95, expected: 12 },
    { sd: 0.018, degreesOfFreedom: 3, mattersPct: 3, confidencePct: 95, expected: 21 },
    { sd: 0.018, degreesOfFreedom: 1e6, mattersPct: 3, confidencePct: 95, expected: 8 },
    { sd: 0.045, degreesOfFreedom: 7, mattersPct: 3, confidencePct: 95, expected: 72 },
    { sd: 0.018, degreesOfFreedom: 7, mattersPct: 1, confidencePct: 95, expected: 102 },
    { sd: 0.018, degreesOfFreedom: 7, mattersPct: 3, confidencePct: 99, expected: 26 },
  ])(
    "noise of $sd with $degreesOfFreedom degrees of freedom, $mattersPct% and $confidencePct%: narrow after $expected",
    ({ sd, expected, degreesOfFreedom, ...asked }) => {
      expect(passesUntilNarrow({ variance: sd * sd, degreesOfFreedom }, asked)).toBe(expected);
    },
  );

  test.for([
    { why: "hardly any noise: those that every cell gets", sd: 0.001, df: 7, passes: 3, stop: "narrow" },
    { why: "what a narrow interval takes", sd: 0.0145, df: 7, passes: 8, stop: "narrow" },
    // 35,553 sd^2 passes: 9.7.
    { why: "just as many as allowed", sd: 0.0165, df: 7, passes: 10, stop: "narrow" },
    { why: "not more than allowed", sd: 0.018, df: 7, passes: 10, stop: "most-passes" },
    // R: 15 passes for sd 0.02478, 16 for 0.02479, were the noise known.
    { why: "in reach were its noise known", sd: 0.02478, df: 7, passes: 10, stop: "most-passes" },
    { why: "out of reach were its noise known", sd: 0.02479, df: 7, passes: 3, stop: "out-of-reach" },
    { why: "not given up for not being known", sd: 0.02478, df: 1, passes: 10, stop: "most-passes" },
  ])("$why: $passes passes, then $stop", ({ sd, df, passes, stop }) => {
    const noise = { variance: sd * sd, degreesOfFreedom: df };
    expect(askPasses(noise, defaultStopRule, wanted)).toEqual({ passes, stop });
  });

  test("of unknown noise as many as allowed", () => {
    expect(askPasses(null, defaultStopRule, wanted)).toEqual({ passes: 10, stop: "most-passes" });
  });

  test("an interval is narrow at 0.6 of what matters, on the log scale", () => {
    expect(narrowHalfWidth(3)).toBeCloseTo(0.6 * Math.log(1.03), 15);
  });
});
