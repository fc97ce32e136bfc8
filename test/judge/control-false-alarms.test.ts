import { describe, expect, test } from "vitest";
import { controlColumns, controlFalseAlarms } from "../../src/judge/control-false-alarms.ts";
import { expectClose } from "../support/expect-close.ts";

const alpha = 0.05;

describe("controlFalseAlarms", () => {
  /*
   * By hand from the definitions. `strict` is Holm 1979: the k-th smallest of n is called up to alpha / (n - k + 1) while
   * all smaller ones are. `columns` is Benjamini & Bogomolov 2014: within a column of m, the k-th smallest is called up
   * to (k / m) alpha times the share of columns that show anything.
   */
  test.for([
    {
      title: "strict: one is called, the next would need alpha / (n - 1)",
      rule: "strict",
      columns: [[0.001, 0.04], [0.5]],
      called: [[true, false], [false]],
      alphaEff: [[alpha / 3, alpha / 2], [alpha / 2]],
      adjusted: [[0.003, 0.08], [0.5]],
    },
    {
      title: "strict: nothing is called, all need alpha / n",
      rule: "strict",
      columns: [[0.2], [0.3, 0.03]],
      called: [[false], [false, false]],
      alphaEff: [[alpha / 3], [alpha / 3, alpha / 3]],
      adjusted: [[0.4], [0.4, 0.09]],
    },
    {
      title: "strict: an adjusted p of alpha itself is called",
      rule: "strict",
      columns: [[0.025, 0.9]],
      called: [[true, false]],
      alphaEff: [[alpha / 2, alpha]],
      adjusted: [[0.05, 0.9]],
    },
    {
      title: "columns: a single comparison needs alpha",
      rule: "columns",
      columns: [[0.05]],
      called: [[true]],
      alphaEff: [[alpha]],
      adjusted: [[0.05]],
    },
    {
      title: "columns: one column of two shows something",
      rule: "columns",
      columns: [
        [0.001, 0.04, 0.8, 0.9],
        [0.6, 0.7],
      ],
      called: [
        [true, false, false, false],
        [false, false],
      ],
      // Of the first column a quarter, a half for a second call, times one column of two; the second would be the second.
      alphaEff: [
        [alpha / 8, alpha / 4, alpha / 4, alpha / 4],
        [alpha / 2, alpha / 2],
      ],
      adjusted: [
        [0.008, 0.16, 1, 1],
        [1, 1],
      ],
    },
    {
      title: "columns: nothing shows anything",
      rule: "columns",
      columns: [
        [0.3, 0.4],
        [0.6, 0.5],
      ],
      called: [
        [false, false],
        [false, false],
      ],
      // The first call of one column of two, one comparison of two.
      alphaEff: [
        [alpha / 4, alpha / 4],
        [alpha / 4, alpha / 4],
      ],
      adjusted: [
        [0.8, 0.8],
        [1, 1],
      ],
    },
  ] as const)("$title", ({ rule, columns, called, alphaEff, adjusted }) => {
    const result = controlFalseAlarms(columns, alpha, rule);
    expect(result.map((column) => column.map((row) => row.called))).toEqual(called);
    result.flat().forEach((row, i) => {
      expectClose(row.alphaEff, alphaEff.flat()[i] as number, 1e-14, `alphaEff ${i}`);
      expectClose(row.pAdjusted, adjusted.flat()[i] as number, 1e-14, `pAdjusted ${i}`);
    });
  });

  // What a reader is told: with this p it would have been called, whatever the others.
  test.for(["strict", "columns"] as const)(
    "%s: a comparison that is not called would be with its alphaEff",
    (rule) => {
      const columns = [
        [0.0004, 0.02, 0.3],
        [0.004, 0.2],
        [0.7, 0.9, 0.06, 0.08],
      ];
      const result = controlFalseAlarms(columns, alpha, rule);
      let tried = 0;
      result.forEach((column, c) => {
        column.forEach(({ called, alphaEff }, i) => {
          if (called) return;
          const word = (p: number) =>
            controlFalseAlarms(
              columns.map((own, k) => (k === c ? own.with(i, p) : own)),
              alpha,
              rule,
            )[c]?.[i]?.called;
          expect(word(alphaEff * (1 - 1e-9))).toBe(true);
          tried++;
        });
      });
      expect(tried).toBeGreaterThan(4);
    },
  );

  test.for(["strict", "columns"] as const)("%s: nothing comes of nothing", (rule) => {
    expect(controlFalseAlarms([], alpha, rule)).toEqual([]);
  });
});

describe("controlColumns", () => {
  test("selects a column whose adjusted p is alpha itself, and none just above", () => {
    expect(controlColumns([[0.025], [0.9]], alpha).isSelected).toEqual([true, false]);
    expect(controlColumns([[0.0250001], [0.9]], alpha).isSelected).toEqual([false, false]);
  });

  test("counts no column twice where none shows anything: the p-values are multiplied by the columns", () => {
    const { selected, adjusted } = controlColumns([[0.3], [0.4], [0.5]], alpha);
    expect(selected).toBe(0);
    expectClose(adjusted[0]?.[0], 0.9, 1e-14);
    expect(adjusted[1]).toEqual([1]);
  });
});
