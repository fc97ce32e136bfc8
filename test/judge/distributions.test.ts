import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  chiSquareUpperTail,
  medianOfF,
  normalCdf,
  normalQuantile,
  studentTCdf,
  studentTQuantile,
} from "../../src/judge/distributions.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

const r = readReference<{
  tQuantile: { p: number; df: number; q: number }[];
  tCdf: { t: number; df: number; p: number }[];
  chiSquareUpperTail: { x: number; df: number; p: number }[];
  normalCdf: { x: number; p: number }[];
  normalQuantile: { p: number; x: number }[];
  medianOfF: { d1: number; d2: number; median: number }[];
}>("test/reference/distributions.json");
const { medianOfF: ourMedians } = readReference<{
  medianOfF: { d: number[]; d2: number; median: number[] };
}>("fixtures/reference/outliers.json");

/** Fails with the worst row, so that one line of output says where a function is weakest. */
function expectAllClose<Row>(rows: readonly Row[], limit: number, pairOf: (row: Row) => [number, number]) {
  expect(rows.length).toBeGreaterThan(0);
  for (const row of rows) {
    const [actual, expected] = pairOf(row);
    expectClose(actual, expected, limit, JSON.stringify(row));
  }
}
const degrees = [...new Set(r.tQuantile.map(({ df }) => df))];

describe("Student's t", () => {
  test.for(degrees)("quantiles agree with R's qt at %s degrees of freedom, tails to 1e-12", (df) => {
    const rows = r.tQuantile.filter((row) => row.df === df);
    expectAllClose(rows, 1e-10, ({ p, q }) => [studentTQuantile(p, df), q]);
  });

  test.for(degrees)("probabilities agree with R's pt at %s degrees of freedom down to 1e-12", (df) => {
    const rows = r.tCdf.filter((row) => row.df === df && row.p >= 1e-12);
    expectAllClose(rows, 1e-10, ({ t, p }) => [studentTCdf(t, df), p]);
  });

  test("probabilities below 1e-12 agree with R's pt to 1e-6", () => {
    const rows = r.tCdf.filter(({ p }) => p < 1e-12);
    expectAllClose(rows, 1e-6, ({ t, df, p }) => [studentTCdf(t, df), p]);
  });

  // NIST/SEMATECH e-Handbook 1.3.6.7.2, "Upper critical values of Student's t distribution", three decimals, typed
  // from memory; the rows also stand in any handbook.
  test.for([
    { df: 1, critical: [3.078, 6.314, 12.706, 31.821, 63.657] },
    { df: 2, critical: [1.886, 2.92, 4.303, 6.965, 9.925] },
    { df: 3, critical: [1.638, 2.353, 3.182, 4.541, 5.841] },
    { df: 4, critical: [1.533, 2.132, 2.776, 3.747, 4.604] },
    { df: 5, critical: [1.476, 2.015, 2.571, 3.365, 4.032] },
    { df: 6, critical: [1.44, 1.943, 2.447, 3.143, 3.707] },
    { df: 8, critical: [1.397, 1.86, 2.306, 2.896, 3.355] },
    { df: 10, critical: [1.372, 1.812, 2.228, 2.764, 3.169] },
    { df: 15, critical: [1.341, 1.753, 2.131, 2.602, 2.947] },
    { df: 20, critical: [1.325, 1.725, 2.086, 2.528, 2.845] },
    { df: 30, critical: [1.31, 1.697, 2.042, 2.457, 2.75] },
    { df: 60, critical: [1.296, 1.671, 2.0, 2.39, 2.66] },
  ])("quantiles round to the handbook's critical values at $df degrees of freedom", ({ df, critical }) => {
    const upper = [0.9, 0.95, 0.975, 0.99, 0.995];
    expect(upper.map((p) => studentTQuantile(p, df).toFixed(3))).toEqual(critical.map((t) => t.toFixed(3)));
  });

  test("has exact values where the distribution is simple", () => {
    // df = 1 is Cauchy: F(t) = 1/2 + atan(t)/pi. df = 2: F(t) = 1/2 + t / (2 sqrt(2 + t^2)). (Standard closed forms.)
    expectClose(studentTCdf(1, 1), 0.75, 1e-14);
    expectClose(studentTCdf(-Math.sqrt(3), 1), 1 / 6, 1e-14);
    expectClose(studentTCdf(-Math.SQRT2, 2), 0.5 - Math.SQRT2 / 4, 1e-14);
    expectClose(studentTQuantile(0.975, 1), Math.tan(0.475 * Math.PI), 1e-12);
    expectClose(studentTQuantile(0.9, 2), 0.8 / Math.sqrt(2 * 0.9 * 0.1), 1e-12);
  });

  // R 4.2.2, qt(p, df): far out, on both sides of where another start is taken.
  test.for([
    { p: 1e-14, df: 300, t: -8.04668087654555 },
    { p: 1e-18, df: 300, t: -9.35658122222941 },
    { p: 1e-16, df: 150, t: -9.26007259381943 },
    { p: 1e-20, df: 62, t: -13.7050077387722 },
    { p: 1e-20, df: 58, t: -14.1226700039776 },
    { p: 1e-20, df: 5, t: -15683.9254543658 },
    { p: 1e-15, df: 6000, t: -7.96259184323815 },
    { p: 5e-4, df: 4.2, t: -8.14858831387845 },
    { p: 2e-3, df: 4.2, t: -5.71234861904365 },
  ])(
    "quantiles agree with R's qt beyond any p that is asked for: $p at $df degrees of freedom",
    ({ p, df, t }) => {
      expectClose(studentTQuantile(p, df), t, 1e-10);
    },
  );

  const probability = fc.double({ min: 1e-12, max: 0.999999, noNaN: true });
  const freedom = fc.double({ min: 0.5, max: 1e6, noNaN: true });

  test("quantile and probability undo each other", () => {
    fc.assert(
      fc.property(probability, freedom, (p, df) => {
        expectClose(studentTCdf(studentTQuantile(p, df), df), p, 1e-9, `p ${p}, df ${df}`);
      }),
    );
  });

  test("is symmetric about 0", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 30, noNaN: true }), freedom, (t, df) => {
        expect(Math.abs(studentTCdf(t, df) + studentTCdf(-t, df) - 1)).toBeLessThan(1e-12);
      }),
    );
    expect(studentTCdf(0, 3.7)).toBe(0.5);
    for (const df of [0.5, 3.7, 30, 1e6]) expect(studentTQuantile(0.5, df)).toBe(0);
  });

  test("loses nothing close to the middle, where its two forms meet, nor where quantiles are close to 0", () => {
    // The closed forms of 1 and 2 degrees of freedom, as above.
    for (const t of [1e-8, 1e-6, 1e-3, 0.5, 0.999, 1.001, 3]) {
      expectClose(studentTCdf(-t, 1), 0.5 - Math.atan(t) / Math.PI, 4e-16, `t ${t}, 1 df`);
      expectClose(studentTCdf(-t, 2), 0.5 - t / (2 * Math.sqrt(2 + t * t)), 4e-16, `t ${t}, 2 df`);
    }
    for (const p of [0.3, 0.45, 0.49, 0.4999, 0.499999]) {
      expectClose(studentTQuantile(p, 1), Math.tan((p - 0.5) * Math.PI), 1e-10, `${p}, 1 df`);
      expectClose(studentTQuantile(p, 2), (2 * p - 1) / Math.sqrt(2 * p * (1 - p)), 1e-10, `${p}, 2 df`);
    }
  });
});

describe("the normal distribution", () => {
  test("agrees with R's pnorm, tails included", () => {
    expectAllClose(r.normalCdf, 1e-12, ({ x, p }) => [normalCdf(x), p]);
  });

  test("agrees with R's qnorm, tails included", () => {
    expectAllClose(r.normalQuantile, 1e-12, ({ p, x }) => [normalQuantile(p), x]);
  });

  test.for([
    // Abramowitz & Stegun 1964, table 26.1, P(x), from memory.
    { x: 1, p: "0.841344746" },
    { x: 2, p: "0.977249868" },
    { x: 3, p: "0.998650102" },
  ])("rounds to Abramowitz and Stegun's table 26.1 at $x", ({ x, p }) => {
    expect(normalCdf(x).toFixed(9)).toBe(p);
  });
});

describe("chi-squared", () => {
  test("upper tails agree with R's pchisq", () => {
    expectAllClose(r.chiSquareUpperTail, 1e-10, ({ x, df, p }) => [chiSquareUpperTail(x, df), p]);
  });

  test.for([
    // NIST/SEMATECH e-Handbook 1.3.6.7.4, upper 5% critical values, from memory.
    { df: 1, critical: 3.841 },
    { df: 2, critical: 5.991 },
    { df: 5, critical: 11.07 },
    { df: 10, critical: 18.307 },
    { df: 15, critical: 24.996 },
  ])("has 5% above the handbook's critical value at $df degrees of freedom", ({ df, critical }) => {
    // The table's three decimals bound the tail from both sides.
    expect(chiSquareUpperTail(critical - 0.0005, df)).toBeGreaterThanOrEqual(0.05);
    expect(chiSquareUpperTail(critical + 0.0005, df)).toBeLessThanOrEqual(0.05);
  });

  test("is 1 at 0", () => {
    expect(chiSquareUpperTail(0, 4)).toBe(1);
  });

  test.for([
    // R 4.2.2, pchisq(x, df, lower.tail = FALSE).
    { x: 1300, df: 1, p: 1.1303728441492744e-284 },
    { x: 3000, df: 15, p: 0 },
    { x: 1e6, df: 1, p: 0 },
    { x: 1e-10, df: 500, p: 1 },
    { x: 1e-320, df: 50, p: 1 },
  ])("is $p beyond $x at $df degrees of freedom, however small the other tail", ({ x, df, p }) => {
    expectClose(chiSquareUpperTail(x, df), p, 1e-10);
  });
});

describe("the median of F", () => {
  test("agrees with R's qf(0.5, d1, d2)", () => {
    expectAllClose(r.medianOfF, 1e-10, ({ d1, d2, median }) => [medianOfF(d1, d2), median]);
    expectAllClose(
      ourMedians.d.map((d, i) => ({ d, median: ourMedians.median[i]! })),
      1e-10,
      ({ d, median }) => [medianOfF(d, ourMedians.d2), median],
    );
  });

  test("is 1 for equal degrees of freedom, because F and 1/F are then alike", () => {
    for (const d of [1, 3, 8.5]) expectClose(medianOfF(d, d), 1, 1e-10);
  });
});

describe("what is no probability and no degrees of freedom", () => {
  test.for([
    { what: "t at 0 df", call: () => studentTCdf(1, 0) },
    { what: "t at unknown df", call: () => studentTCdf(-1, Number.NaN) },
    { what: "a quantile at 0 df", call: () => studentTQuantile(0.9, 0) },
    { what: "the median at -1 df", call: () => studentTQuantile(0.5, -1) },
    { what: "t's quantile of 0", call: () => studentTQuantile(0, 3) },
    { what: "t's quantile of 1", call: () => studentTQuantile(1, 3) },
    { what: "the normal quantile of 0", call: () => normalQuantile(0) },
    { what: "the normal quantile of 1", call: () => normalQuantile(1) },
    { what: "the normal quantile of nothing", call: () => normalQuantile(Number.NaN) },
  ])("is refused, and what would be needed is said: $what", ({ call }) => {
    expect(call).toThrow(RangeError);
    expect(call).toThrow(
      /^(?:studentTCdf|studentTQuantile|normalQuantile) needs (?:p in \(0, 1\)|df above 0), got /,
    );
  });

  test("chi-squared below 0 has everything above it", () => {
    expect(chiSquareUpperTail(-1, 3)).toBe(1);
  });

  test("a quantile asked for again is the same, also after ten thousand others", () => {
    const [first, other] = [studentTQuantile(0.975, 7), studentTQuantile(0.975, 8)];
    expect(other).not.toBe(first);
    expect(studentTQuantile(0.975, 7)).toBe(first);
    for (let i = 0; i < 10_050; i++) studentTQuantile(0.9, 5 + i / 1000);
    expect(studentTQuantile(0.975, 7)).toBe(first);
    // R 4.2.2, qt(0.975, 7).
    expectClose(first, 2.364624251592784, 1e-12);
  });
});
