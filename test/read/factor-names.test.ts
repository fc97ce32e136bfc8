import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { factorNames } from "../../src/read/factor-names.ts";

describe("two lists that give all names", () => {
  test.for<{ what: string; names: string[]; grid: unknown }>([
    {
      what: "names that hold the separator themselves",
      names: ["tide-runner-quiet-35w", "tide-runner-stock", "moss-quiet-35w", "moss-stock"],
      grid: { outer: ["moss", "tide-runner"], between: "-", inner: ["quiet-35w", "stock"], fill: 1 },
    },
    {
      what: "one pair that is missing",
      names: ["a_x", "a_y", "b_x"],
      grid: { outer: ["a", "b"], between: "_", inner: ["x", "y"], fill: 0.75 },
    },
    {
      what: "the longer of two separators",
      names: ["Tide Run - x", "Tide Run - y", "Moss Walk - x", "Moss Walk - y"],
      grid: { outer: ["Moss Walk", "Tide Run"], between: " - ", inner: ["x", "y"], fill: 1 },
    },
    {
      what: "what all share is the outer names'",
      names: ["a_hd_x", "a_hd_y", "b_hd_x", "b_hd_y"],
      grid: { outer: ["a_hd", "b_hd"], between: "_", inner: ["x", "y"], fill: 1 },
    },
    { what: "one outer name", names: ["a_x", "a_y"], grid: { outer: ["a"], inner: ["x", "y"], fill: 1 } },
    { what: "one inner name is none", names: ["a_x", "b_x"], grid: null },
    { what: "nothing repeats", names: ["a_x", "b_y"], grid: null },
    { what: "no separator", names: ["ax", "ay", "bx", "by"], grid: null },
    { what: "a single name", names: ["a_x"], grid: null },
  ])("$what", ({ names, grid }) => {
    const found = factorNames(names);
    if (grid === null) expect(found).toBeNull();
    else
      expect(
        found && { ...found, outer: [...found.outer].sort(), inner: [...found.inner].sort() },
      ).toMatchObject(grid as object);
  });

  const word = fc.stringMatching(/^[a-z]{2,6}(?:-[a-z]{1,4})?$/);
  test("what was put together of two lists comes apart into pairs again, each name once", () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(word, { minLength: 2, maxLength: 5 }),
        fc.uniqueArray(word, { minLength: 2, maxLength: 5 }),
        (outer, inner) => {
          const names = outer.flatMap((a) => inner.map((b) => `${a}_${b}`));
          const grid = factorNames(names);
          expect(grid).toMatchObject({ between: "_", fill: 1 });
          expect(new Set(grid?.outer)).toEqual(new Set(outer));
          expect(new Set(grid?.inner)).toEqual(new Set(inner));
        },
      ),
    );
  });
});
