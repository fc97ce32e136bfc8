import { expect, test } from "vitest";
import { withoutGaps } from "../../src/shared/without-gaps.ts";

test("a key that holds undefined is left out; null, false, 0 and the empty text are values", () => {
  const given: { a: number | undefined; b: null; c: boolean; d?: number; e: string } = {
    ...{ a: undefined, b: null, c: false, d: 0, e: "" },
  };
  const left: { a?: number; b: null; c: boolean; d?: number; e: string } = withoutGaps(given);
  expect(Object.entries(left)).toEqual([
    ["b", null],
    ["c", false],
    ["d", 0],
    ["e", ""],
  ]);
});
