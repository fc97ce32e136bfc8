import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { quantileType7 } from "../../src/measure/quantile.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

interface QuantileCase {
  readonly x: readonly number[];
  readonly probs: readonly number[];
  readonly types: readonly { readonly type: number; readonly values: readonly number[] }[];
}
const { cases } = readReference<{ cases: QuantileCase[] }>("fixtures/reference/quantiles.json");
const published = readReference<{
  eruptions: number[];
  eruptionQuantiles: { p: number; type7: number }[];
}>("test/reference/published-data.json");

const ascending = (x: readonly number[]) => [...x].sort((a, b) => a - b);
const eps = Number.EPSILON;

describe("quantileType7", () => {
  test.for(cases.flatMap(({ x, probs, types }) => probs.map((p, i) => ({ x, p, i, types }))))(
    "agrees with R's quantile(type = 7) for $x.length values at $p, and is none of the other types where these differ",
    ({ x, p, i, types }) => {
      const actual = quantileType7(ascending(x), p);
      const r7 = types.find(({ type }) => type === 7)!.values[i]!;
      // R's file holds 15 digits.
      expectClose(actual, r7, 1e-14, `type 7 at ${p}`);
      for (const { type, values } of types) {
        if (type !== 7 && Math.abs(values[i]! - r7) > 1e-9) {
          expect(Math.abs(actual - values[i]!), `type ${type}`).toBeGreaterThan(1e-10);
        }
      }
    },
  );

  test.for([
    // R Core Team, An Introduction to R, section 8.2: summary(eruptions) and fivenum(eruptions).
    { p: 0, printed: 1.6, digits: 3, source: "An Introduction to R 8.2, Min." },
    { p: 0.25, printed: 2.163, digits: 3, source: "An Introduction to R 8.2, 1st Qu." },
    { p: 0.5, printed: 4.0, digits: 3, source: "An Introduction to R 8.2, Median" },
    { p: 0.75, printed: 4.454, digits: 3, source: "An Introduction to R 8.2, 3rd Qu." },
    { p: 1, printed: 5.1, digits: 3, source: "An Introduction to R 8.2, Max." },
  ])("gives the printed quartile of Old Faithful's eruptions at $p ($source)", ({ p, printed, digits }) => {
    // Half a unit of the last digit printed, and an epsilon for a tie (4.45425 is printed as 4.454).
    expect(Math.abs(quantileType7(ascending(published.eruptions), p) - printed)).toBeLessThanOrEqual(
      0.5 * 10 ** -digits + 1e-12,
    );
  });

  test.for(published.eruptionQuantiles)("agrees with R on Old Faithful at $p", ({ p, type7 }) => {
    expectClose(quantileType7(ascending(published.eruptions), p), type7, 4 * eps);
  });

  test("gives the 90th percentile of NIST's gauge data", () => {
    // NIST/SEMATECH e-Handbook 7.2.6.2, 12 measurements, typed from memory; the page's own figure by the rule
    // p(N + 1), 95.1981, is recomputed here so that a mistyped value shows. Type 7 follows from the same data by hand:
    // h = 11 * 0.9 = 9.9, 95.1937 + 0.9 (95.1959 - 95.1937).
    const gauge = ascending([
      95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.061, 95.1591, 95.1195, 95.1065, 95.0925, 95.199,
      95.1682,
    ]);
    const byNPlus1 = gauge[10]! + 0.7 * (gauge[11]! - gauge[10]!);
    expect(byNPlus1.toFixed(4)).toBe("95.1981");
    expectClose(quantileType7(gauge, 0.9), 95.19568, 1e-14);
  });

  test.for([
    { title: "no values", x: [], p: 0.5 },
    { title: "a probability below 0", x: [1, 2], p: -1e-9 },
    { title: "a probability above 1", x: [1, 2], p: 1 + 1e-9 },
    { title: "a probability that is no number", x: [1, 2], p: Number.NaN },
  ])("refuses $title with a RangeError", ({ x, p }) => {
    expect(() => quantileType7(x, p)).toThrow(RangeError);
  });

  test("does not change what it is given", () => {
    const x = Object.freeze([1, 2, 3, 5]);
    expect(quantileType7(x, 0.4)).toBeCloseTo(2.2, 12);
  });

  const data = fc
    .array(fc.double({ min: 1e-3, max: 1e4, noNaN: true }), { minLength: 1, maxLength: 60 })
    .map(ascending);
  const probability = fc.double({ min: 0, max: 1, noNaN: true });

  test("lies within its data", () => {
    fc.assert(
      fc.property(data, probability, (x, p) => {
        const q = quantileType7(x, p);
        expect(q).toBeGreaterThanOrEqual(x[0]! * (1 - 2 * eps));
        expect(q).toBeLessThanOrEqual(x.at(-1)! * (1 + 2 * eps));
      }),
    );
  });

  test("rises with p", () => {
    fc.assert(
      fc.property(data, probability, probability, (x, p1, p2) => {
        const low = quantileType7(x, Math.min(p1, p2));
        expect(low).toBeLessThanOrEqual(quantileType7(x, Math.max(p1, p2)) * (1 + 4 * eps));
      }),
    );
  });

  test("reaches the smallest value at 0 and the largest at 1", () => {
    fc.assert(
      fc.property(data, (x) => {
        expect(quantileType7(x, 0)).toBe(x[0]);
        expect(quantileType7(x, 1)).toBe(x.at(-1));
      }),
    );
  });

  test("takes typed arrays as well as lists", () => {
    expect(quantileType7(Float64Array.of(1, 2, 3, 4), 0.5)).toBe(2.5);
  });
});
