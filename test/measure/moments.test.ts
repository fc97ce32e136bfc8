import fc from "fast-check";
import { mean, sampleVariance } from "simple-statistics";
import { describe, expect, test } from "vitest";
import { exactMoments } from "../support/exact-moments.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

const { michelson } = readReference<{ michelson: number[] }>("test/reference/published-data.json");

/** NumAcc2, 3 and 4: the middle value once, then low and high in turn, 1001 values. */
const alternating = (middle: number, low: number, high: number) => [
  middle,
  ...Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? low : high)),
];

// NIST StRD, univariate summary statistics (www.itl.nist.gov/div898/strd). Certified values typed from memory, and each
// is checked below against exact rational arithmetic on the data, which are built by their published rule (NumAcc) or
// come with R (Michelso = datasets::morley).
const certified = [
  { name: "Michelso", values: michelson, mean: 299.8524, sd: 0.0790105478190518, n: 100 },
  { name: "NumAcc1", values: [10000001, 10000003, 10000002], mean: 10000002, sd: 1, n: 3 },
  { name: "NumAcc2", values: alternating(1.2, 1.1, 1.3), mean: 1.2, sd: 0.1, n: 1001 },
  {
    name: "NumAcc3",
    values: alternating(1000000.2, 1000000.1, 1000000.3),
    mean: 1000000.2,
    sd: 0.1,
    n: 1001,
  },
  {
    name: "NumAcc4",
    values: alternating(10000000.2, 10000000.1, 10000000.3),
    mean: 10000000.2,
    sd: 0.1,
    n: 1001,
  },
];

/** How far the rounding of the data to doubles alone can move the sd: one half unit in the last place over the sd. */
const roundingOfData = (values: readonly number[], sd: number) => (Math.max(...values) * 2 ** -53) / sd;

describe("mean and sample variance as the judgement takes them from simple-statistics", () => {
  test.for(certified)("meet NIST's certified values of $name ($n values)", (row) => {
    expect(row.values).toHaveLength(row.n);
    expectClose(mean(row.values), row.mean, 1e-15, "mean");
    expectClose(
      Math.sqrt(sampleVariance(row.values)),
      row.sd,
      1e-14 + 2 * roundingOfData(row.values, row.sd),
      "sd",
    );
  });

  test.for(certified)("agree with exact arithmetic on the doubles of $name", (row) => {
    const exact = exactMoments(row.values);
    // The certified value typed above is itself checked here.
    expectClose(exact.mean, row.mean, 1e-15, "certified mean");
    expectClose(
      Math.sqrt(exact.variance),
      row.sd,
      1e-14 + 2 * roundingOfData(row.values, row.sd),
      "certified sd",
    );
    expectClose(mean(row.values), exact.mean, 1e-15, "mean");
    // A mean off by half a unit in its last place is all that a two-pass variance may suffer.
    expectClose(
      sampleVariance(row.values),
      exact.variance,
      1e-13 + 4 * roundingOfData(row.values, row.sd) ** 2,
      "variance",
    );
  });

  test("divides by n - 1", () => {
    expect(sampleVariance([1, 3])).toBe(2);
  });

  test("agree with exact arithmetic on logs of any pass figures", () => {
    const logs = fc.array(
      fc.double({ min: 1, max: 1000, noNaN: true }).map((fps) => Math.log(fps)),
      { minLength: 2, maxLength: 12 },
    );
    fc.assert(
      fc.property(logs, (x) => {
        const exact = exactMoments(x);
        expectClose(mean(x), exact.mean, 1e-14, "mean", 1e-15);
        expectClose(sampleVariance(x), exact.variance, 1e-12, "variance", 1e-28);
      }),
    );
  });
});
