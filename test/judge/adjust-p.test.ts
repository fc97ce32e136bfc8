import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { benjaminiHochberg, holm } from "../../src/judge/adjust-p.ts";
import { controlColumns } from "../../src/judge/control-false-alarms.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";

interface ColumnCase {
  readonly alpha: number;
  readonly columns: number[][];
  readonly bhWithin: number[][];
  readonly simes: number[];
  readonly simesAdjusted: number[];
  readonly selected: number;
  readonly adjusted: number[][];
}
const { cases, columnCases } = readReference<{
  cases: { p: number[]; bh: number[]; holm: number[] }[];
  columnCases: ColumnCase[];
}>("fixtures/reference/multiplicity.json");

// Benjamini & Hochberg 1995, JRSS B 57:289, section 4.1: the 15 ordered p-values of a trial of two treatments of
// myocardial infarction (Neuhaus et al. 1992).
const trial = [
  0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528,
  0.759, 1,
];
const countRejected = (adjusted: readonly number[], alpha = 0.05) =>
  adjusted.filter((p) => p <= alpha).length;

describe("benjaminiHochberg", () => {
  test("rejects the four smallest of the 15 in the worked example of the 1995 paper, where Bonferroni rejects three", () => {
    const adjusted = benjaminiHochberg(trial);
    expect(adjusted.slice(0, 4).every((p) => p <= 0.05)).toBe(true);
    expect(countRejected(adjusted)).toBe(4);
    // The paper's own comparison: p(4) = 0.0095 <= 4/15 * 0.05 = 0.013.
    expectClose(adjusted[3], 0.0095 * (15 / 4), 1e-14);
    expect(trial.filter((p) => p <= 0.05 / 15)).toHaveLength(3);
  });

  test.for(cases.map((row, i) => ({ ...row, i })))(
    "agrees with R's p.adjust(, 'BH'), case $i",
    ({ p, bh }) => {
      const actual = benjaminiHochberg(p);
      expect(actual).toHaveLength(p.length);
      bh.forEach((value, i) => {
        expectClose(actual[i], value, 1e-13);
      });
    },
  );
});

describe("holm", () => {
  test("rejects three in the same example, as Hochberg's procedure does in the paper", () => {
    expect(countRejected(holm(trial))).toBe(3);
  });

  test.for(cases.map((row, i) => ({ ...row, i })))("agrees with R's p.adjust(, 'holm'), case $i", (row) => {
    const actual = holm(row.p);
    expect(actual).toHaveLength(row.p.length);
    row.holm.forEach((value, i) => {
      expectClose(actual[i], value, 1e-13);
    });
  });
});

describe("controlColumns", () => {
  test.for(columnCases.map((row, i) => ({ ...row, i })))(
    "selects columns, then multiplies within them, as computed in R (Benjamini & Bogomolov 2014), case $i",
    (row) => {
      const actual = controlColumns(row.columns, row.alpha);
      expect(actual.selected).toBe(row.selected);
      row.columns.forEach((column, c) => {
        expectClose(actual.simes[c], row.simes[c]!, 1e-13, "simes");
        expectClose(actual.simesAdjusted[c], row.simesAdjusted[c]!, 1e-13, "simesAdjusted");
        column.forEach((_, i) => {
          expectClose(actual.bhWithin[c]![i], row.bhWithin[c]![i]!, 1e-13, "bhWithin");
          expectClose(actual.adjusted[c]![i], row.adjusted[c]![i]!, 1e-13, "adjusted");
        });
      });
    },
  );

  test("is plain Benjamini-Hochberg for a single column", () => {
    expect(controlColumns([trial], 0.05).adjusted[0]).toEqual(benjaminiHochberg(trial));
  });

  test("is Benjamini-Hochberg over the columns for a single game, as far as rejections go", () => {
    const p = [0.001, 0.2, 0.04, 0.5, 0.012, 0.9];
    const { adjusted } = controlColumns(
      p.map((value) => [value]),
      0.05,
    );
    expect(adjusted.flat().map((value) => value <= 0.05)).toEqual(
      benjaminiHochberg(p).map((value) => value <= 0.05),
    );
  });
});

const someP = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 30 });
const someColumns = fc.array(someP, { minLength: 1, maxLength: 6 });

describe("every adjustment", () => {
  test.for([
    { name: "benjaminiHochberg", adjust: benjaminiHochberg },
    { name: "holm", adjust: holm },
    {
      name: "controlColumns",
      adjust: (p: readonly number[]) => controlColumns([p, [0.9]], 0.05).adjusted[0]!,
    },
  ])("$name never makes a p smaller, keeps it within 1, keeps their order", ({ adjust }) => {
    fc.assert(
      fc.property(someP, (p) => {
        const adjusted = adjust(p);
        p.forEach((value, i) => {
          expect(adjusted[i]).toBeGreaterThanOrEqual(value * (1 - 1e-12));
          expect(adjusted[i]).toBeLessThanOrEqual(1);
          p.forEach((other, k) => {
            if (value < other) expect(adjusted[i]).toBeLessThanOrEqual(adjusted[k]! * (1 + 1e-12));
          });
        });
      }),
    );
  });

  test("does not depend on the order in which p-values come", () => {
    fc.assert(
      fc.property(someP, (p) => {
        const backwards = [...p].reverse();
        expect(benjaminiHochberg(backwards).reverse()).toEqual(benjaminiHochberg(p));
        expect(holm(backwards).reverse()).toEqual(holm(p));
      }),
    );
  });

  test("does not depend on the order of columns", () => {
    fc.assert(
      fc.property(someColumns, (columns) => {
        const there = controlColumns(columns, 0.05);
        const back = controlColumns([...columns].reverse(), 0.05);
        expect([...back.adjusted].reverse()).toEqual(there.adjusted);
        expect(back.selected).toBe(there.selected);
      }),
    );
  });

  test("leaves nothing of nothing", () => {
    expect(benjaminiHochberg([])).toEqual([]);
    expect(holm([])).toEqual([]);
  });
});
