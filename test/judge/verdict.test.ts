import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { tTest } from "../../src/judge/compare-cells.ts";
import { decideVerdict } from "../../src/judge/verdict.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

interface EquivalenceCase {
  readonly logDiff: number;
  readonly se: number;
  readonly df: number;
  readonly mattersPct: number;
  readonly pTost: number;
  readonly ci95: [number, number];
  readonly ci90: [number, number];
  readonly same95: boolean;
  readonly same90: boolean;
}
const { cases } = readReference<{ cases: EquivalenceCase[] }>("fixtures/reference/equivalence.json");
const alpha = 0.05;
const margin = Math.log(1.03);

describe("decideVerdict", () => {
  test.for(cases.map((row, i) => ({ ...row, i })))(
    "says `same` exactly when two one-sided tests at 2.5% both reject (Schuirmann 1987; R's pt), case $i",
    (row) => {
      const { low, high } = tTest(row.logDiff, row.se, row.df, 0.95);
      expectClose(low, row.ci95[0], 1e-9, "low", 1e-15);
      expectClose(high, row.ci95[1], 1e-9, "high", 1e-15);
      // pAdjusted 1, so that nothing is called and equivalence alone decides.
      const comparison = { logDiff: row.logDiff, low, high, pAdjusted: 1, alpha, mattersPct: row.mattersPct };
      const { verdict, size } = decideVerdict(comparison);
      expect(verdict).toBe(row.same95 ? "same" : "unclear");
      expect(row.same95).toBe(row.pTost <= 0.025);
      expect(size).toBeNull();
    },
  );

  test.for([
    { title: "higher beyond the margin", logDiff: 0.05, p: 0.01, expected: ["higher", "notable"] },
    { title: "lower beyond the margin", logDiff: -0.05, p: 0.01, expected: ["lower", "notable"] },
    { title: "a slight difference", logDiff: 0.02, p: 0.01, expected: ["higher", "slight"] },
    { title: "exactly the margin upwards", logDiff: margin, p: 0.01, expected: ["higher", "notable"] },
    { title: "exactly the margin downwards", logDiff: -margin, p: 0.01, expected: ["lower", "notable"] },
    {
      title: "minus 2.95%, which is beyond the symmetric margin",
      logDiff: Math.log(1 - 0.0295),
      p: 0.01,
      expected: ["lower", "notable"],
    },
    { title: "an adjusted p of exactly alpha", logDiff: 0.05, p: 0.05, expected: ["higher", "notable"] },
    { title: "an adjusted p just above alpha", logDiff: 0.05, p: 0.0500001, expected: ["unclear", null] },
  ])("decides $title", ({ logDiff, p, expected }) => {
    const half = p <= alpha ? Math.abs(logDiff) / 2 : Math.abs(logDiff) * 1.2;
    const comparison = {
      logDiff,
      low: logDiff - half,
      high: logDiff + half,
      pAdjusted: p,
      alpha,
      mattersPct: 3,
    };
    const { verdict, size } = decideVerdict(comparison);
    expect([verdict, size]).toEqual(expected);
  });

  test.for([
    { title: "closed at both margins", low: -margin, high: margin, expected: "same" },
    { title: "just out below", low: -margin * 1.000001, high: 0, expected: "unclear" },
    { title: "just out above", low: 0, high: margin * 1.000001, expected: "unclear" },
    {
      title: "-2.95% as the lower bound is out, +2.95% as the upper is in",
      low: Math.log(0.9705),
      high: 0,
      expected: "unclear",
    },
    { title: "+2.95% as the upper bound", low: 0, high: Math.log(1.0295), expected: "same" },
  ])("the margin of `same` is $title", ({ low, high, expected }) => {
    const comparison = { logDiff: (low + high) / 2, low, high, pAdjusted: 0.6, alpha, mattersPct: 3 };
    expect(decideVerdict(comparison).verdict).toBe(expected);
  });

  test("a difference beyond noise stays a difference when its interval lies inside the margin", () => {
    const comparison = { logDiff: 0.01, low: 0.005, high: 0.015, pAdjusted: 0.001, alpha, mattersPct: 3 };
    expect(decideVerdict(comparison)).toEqual({ verdict: "higher", size: "slight" });
  });

  test("a comparison in no family is unclear, however narrow its interval", () => {
    const comparison = { logDiff: 0.01, low: 0.009, high: 0.011, pAdjusted: null, alpha, mattersPct: 3 };
    expect(decideVerdict(comparison)).toEqual({ verdict: "unclear", size: null });
    const unknown = { logDiff: 0.01, low: null, high: null, pAdjusted: null, alpha, mattersPct: 3 };
    expect(decideVerdict(unknown)).toEqual({ verdict: "unclear", size: null });
  });

  test("without an interval nothing is the same, however small the difference", () => {
    const comparison = { logDiff: 0, low: null, high: null, pAdjusted: 1, alpha, mattersPct: 3 };
    expect(decideVerdict(comparison)).toEqual({ verdict: "unclear", size: null });
  });

  test("swapping the sides swaps higher and lower and keeps every other word", () => {
    const swapped = { higher: "lower", lower: "higher", same: "same", unclear: "unclear" } as const;
    const number = fc.double({ min: -0.1, max: 0.1, noNaN: true });
    fc.assert(
      fc.property(
        number,
        fc.double({ min: 1e-4, max: 0.1, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (logDiff, half, p) => {
          fc.pre(logDiff !== 0);
          const there = decideVerdict({
            logDiff,
            low: logDiff - half,
            high: logDiff + half,
            pAdjusted: p,
            alpha,
            mattersPct: 3,
          });
          const back = decideVerdict({
            logDiff: -logDiff,
            low: -logDiff - half,
            high: -logDiff + half,
            pAdjusted: p,
            alpha,
            mattersPct: 3,
          });
          expect(back).toEqual({ verdict: swapped[there.verdict], size: there.size });
        },
      ),
    );
  });
});
