import fc from "fast-check";
import { mean, sampleVariance } from "simple-statistics";
import { describe, expect, test } from "vitest";
import { compareColumn } from "../../src/judge/compare-cells.ts";
import { pairVariance } from "../../src/judge/pair-variance.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

interface WelchCase {
  readonly config: number[];
  readonly baseline: number[];
  readonly logDiff: number;
  readonly se: number;
  readonly df: number;
  readonly t: number;
  readonly p: number;
  readonly ci95: [number, number];
  readonly ci90: [number, number];
}
const { cases } = readReference<{ cases: WelchCase[] }>("fixtures/reference/welch.json");
const { sleep } = readReference<{
  sleep: {
    group1: number[];
    mean1: number;
    mean2: number;
    variance1: number;
    variance2: number;
    t: number;
    df: number;
    p: number;
    low: number;
    high: number;
  };
}>("test/reference/published-data.json");

const cell = (values: readonly number[]) => {
  const logs = values.map(Math.log);
  return { n: logs.length, mean: mean(logs), variance: sampleVariance(logs) };
};

describe("a single game", () => {
  test.for(cases.map((row, i) => ({ ...row, i })))(
    "is judged by exact Welch: R's t.test on logs, case $i",
    (row) => {
      const pairs = [{ game: "saltworks", config: cell(row.config), against: cell(row.baseline) }];
      const [at95] = compareColumn(pairs, 0.95);
      const [at90] = compareColumn(pairs, 0.9);
      expectClose(at95!.logDiff, row.logDiff, 1e-11, "logDiff");
      expectClose(at95!.standardError, row.se, 1e-11, "standard error");
      expectClose(at95!.degreesOfFreedom, row.df, 1e-11, "degrees of freedom");
      expectClose(at95!.statistic, row.t, 1e-11, "statistic");
      expectClose(at95!.p, row.p, 1e-10, "p");
      expectClose(at95!.low, row.ci95[0], 1e-9, "low");
      expectClose(at95!.high, row.ci95[1], 1e-9, "high");
      expectClose(at90!.low, row.ci90[0], 1e-9, "low at 90%");
      expectClose(at90!.high, row.ci90[1], 1e-9, "high at 90%");
    },
  );

  test("repeats the Welch test of Student's sleep data as printed by R's ?t.test", () => {
    const group = (i: 1 | 2) => ({
      n: sleep.group1.length,
      mean: sleep[`mean${i}`],
      variance: sleep[`variance${i}`],
    });
    const [row] = compareColumn([{ game: "sleep", config: group(1), against: group(2) }], 0.95);
    // R's printed output: t = -1.8608, df = 17.776, p-value = 0.07939, -3.3654832 0.2054832.
    expect(row!.statistic!.toFixed(4)).toBe("-1.8608");
    expect(row!.degreesOfFreedom!.toFixed(3)).toBe("17.776");
    expect(row!.p!.toFixed(5)).toBe("0.07939");
    expect(row!.low!.toFixed(7)).toBe("-3.3654832");
    expect(row!.high!.toFixed(7)).toBe("0.2054832");
    expectClose(row!.p, sleep.p, 1e-10);
  });
});

describe("pairVariance", () => {
  test("is Welch's variance of the difference, per pass, with Satterthwaite's degrees of freedom", () => {
    // u h is the squared standard error of Welch 1947; R's t.test gave se and df.
    for (const row of cases) {
      const pair = pairVariance(cell(row.config), cell(row.baseline));
      expectClose(pair.u! * pair.h, row.se ** 2, 1e-11);
      expectClose(pair.nu, row.df, 1e-11);
    }
  });

  test.for([
    // By hand from the definitions; floor of a variance 1e-8.
    {
      title: "one lone pass leaves the other side's variance and n - 1",
      a: { n: 1, variance: null },
      b: { n: 4, variance: 2e-4 },
      expected: { u: 2e-4, nu: 3, h: 1.25 },
    },
    {
      title: "the same with the sides swapped",
      a: { n: 3, variance: 5e-5 },
      b: { n: 1, variance: null },
      expected: { u: 5e-5, nu: 2, h: 1 / 3 + 1 },
    },
    {
      title: "two lone passes know nothing",
      a: { n: 1, variance: null },
      b: { n: 1, variance: null },
      expected: { u: null, nu: 0, h: 2 },
    },
    {
      title: "no spread at all is floored on both sides: equal variances, n + n - 2",
      a: { n: 3, variance: 0 },
      b: { n: 3, variance: 0 },
      expected: { u: 1e-8, nu: 4, h: 2 / 3 },
    },
    {
      title: "a floor on one side",
      a: { n: 2, variance: 0 },
      b: { n: 2, variance: 1e-4 },
      expected: { u: (1e-8 + 1e-4) / 2, nu: (1e-8 + 1e-4) ** 2 / (1e-16 + 1e-8), h: 1 },
    },
    {
      title: "a lone pass beside a side without spread",
      a: { n: 1, variance: null },
      b: { n: 3, variance: 0 },
      expected: { u: 1e-8, nu: 2, h: 1 + 1 / 3 },
    },
  ])("$title", ({ a, b, expected }) => {
    const pair = pairVariance(a, b);
    expectClose(pair.u, expected.u, 1e-14, "u");
    expectClose(pair.nu, expected.nu, 1e-14, "nu");
    expectClose(pair.h, expected.h, 1e-15, "h");
  });

  const side = fc.record({
    n: fc.integer({ min: 2, max: 40 }),
    mean: fc.constant(0),
    variance: fc.double({ min: 0, max: 0.1, noNaN: true }),
  });

  test("has degrees of freedom between the smaller n - 1 and n + n - 2 (Welch 1947)", () => {
    fc.assert(
      fc.property(side, side, (a, b) => {
        const { nu } = pairVariance(a, b);
        expect(nu).toBeGreaterThanOrEqual((Math.min(a.n, b.n) - 1) * (1 - 1e-12));
        expect(nu).toBeLessThanOrEqual((a.n + b.n - 2) * (1 + 1e-12));
      }),
    );
  });

  test("does not care which side is which", () => {
    fc.assert(
      fc.property(side, side, (a, b) => {
        const [there, back] = [pairVariance(a, b), pairVariance(b, a)];
        expectClose(back.u, there.u, 1e-14);
        expectClose(back.nu, there.nu, 1e-13);
      }),
    );
  });
});
