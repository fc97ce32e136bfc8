import { describe, expect, test } from "vitest";
import {
  cautiousHalfWidth,
  defaultStopRule,
  findStopReason,
  isOutOfReach,
  narrowHalfWidth,
  passesUntilNarrow,
} from "../../src/judge/stop-rule.ts";

describe("when to stop capturing", () => {
  test.for([
    // Smallest n with qt(1 - a/2, f) sqrt(2 sd^2 / n (1 + 4 / f)) <= 0.6 ln(1 + m / 100), f = 1.5 (n - 1) + d0: R 4.2.2, n from 2 up.
    { sd: 0.006, priorDf: 4, mattersPct: 3, confidence: 0.95, expected: 3 },
    { sd: 0.01, priorDf: 4, mattersPct: 3, confidence: 0.95, expected: 5 },
    { sd: 0.018, priorDf: 4, mattersPct: 3, confidence: 0.95, expected: 11 },
    { sd: 0.018, priorDf: 0, mattersPct: 3, confidence: 0.95, expected: 12 },
    { sd: 0.018, priorDf: 1000, mattersPct: 3, confidence: 0.95, expected: 8 },
    { sd: 0.045, priorDf: 4, mattersPct: 3, confidence: 0.95, expected: 54 },
    { sd: 0.018, priorDf: 4, mattersPct: 1, confidence: 0.95, expected: 74 },
    { sd: 0.018, priorDf: 4, mattersPct: 3, confidence: 0.99, expected: 18 },
    { sd: 0.3, priorDf: 4, mattersPct: 3, confidence: 0.95, expected: Number.POSITIVE_INFINITY },
  ])(
    "noise of $sd, $mattersPct% and $confidence: narrow after $expected passes",
    ({ sd, expected, ...plan }) => {
      expect(passesUntilNarrow({ ...plan, variance: sd * sd, isCalled: false })).toBe(expected);
    },
  );

  const open = { passes: 5, halfWidth: 0.03, pAdjusted: 0.2, isCalled: false, stopBefore: null };
  const narrow = narrowHalfWidth(3, false);

  test.for([
    { why: "open", change: {}, expected: null },
    { why: "a verdict alone does not stop", change: { pAdjusted: 0.0011 }, expected: null },
    { why: "a plain difference does", change: { pAdjusted: 0.001 }, expected: "plain" },
    { why: "a narrow interval does", change: { halfWidth: narrow }, expected: "narrow" },
    { why: "one that is hardly wider does not", change: { halfWidth: narrow * 1.0001 }, expected: null },
    {
      why: "of a difference only a narrower one does",
      change: { halfWidth: narrow, isCalled: true, pAdjusted: 0.04 },
      expected: null,
    },
    {
      why: "such as this",
      change: { halfWidth: 0.75 * narrow, isCalled: true, pAdjusted: 0.04 },
      expected: "narrow",
    },
    {
      why: "but one that was narrow stays so",
      change: { halfWidth: narrow * 1.19, stopBefore: "narrow" as const },
      expected: "narrow",
    },
    {
      why: "until it is much wider",
      change: { halfWidth: narrow * 1.21, stopBefore: "narrow" as const },
      expected: null,
    },
    {
      why: "not with too few passes",
      change: { halfWidth: 0.001, pAdjusted: 1e-9, passes: 2 },
      expected: null,
    },
    { why: "as many passes as allowed", change: { passes: 10 }, expected: "most-passes" },
    {
      why: "as many as allowed, noise unknown",
      change: { passes: 10, halfWidth: null },
      expected: "most-passes",
    },
    { why: "noise unknown", change: { halfWidth: null }, expected: null },
    { why: "not tested", change: { halfWidth: 0.001, pAdjusted: null }, expected: null },
  ])("$why: $expected", ({ change, expected }) => {
    expect(findStopReason({ ...open, ...change }, defaultStopRule, 3)).toBe(expected);
  });

  test.for([
    { passesNeeded: 20, passes: 3, expected: false },
    { passesNeeded: 21, passes: 3, expected: true },
    { passesNeeded: Number.POSITIVE_INFINITY, passes: 3, expected: true },
    { passesNeeded: 21, passes: 2, expected: false },
    { passesNeeded: null, passes: 3, expected: false },
  ])("$passes passes that say $passesNeeded would be needed: given up $expected", (row) => {
    expect(isOutOfReach(row.passes, row.passesNeeded, defaultStopRule)).toBe(row.expected);
  });

  test.for([
    // Done by hand: sqrt(1 + 4 / df) and the square root of the ratio of variances where that is above 1.
    { df: 4, own: 1, typical: 1, expected: Math.SQRT2 },
    { df: 4, own: 1, typical: 2, expected: 2 },
    { df: 4, own: 2, typical: 1, expected: Math.SQRT2 },
    { df: 4e9, own: 1, typical: 1, expected: 1 },
  ])(
    "$df degrees of freedom, noise $own against $typical: wider by $expected",
    ({ df, expected, ...variances }) => {
      expect(cautiousHalfWidth(1, df, variances)).toBeCloseTo(expected, 8);
    },
  );
});
