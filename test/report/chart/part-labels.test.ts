import fc from "fast-check";
import { expect, test } from "vitest";
import { partLabels } from "../../../src/report/chart/part-labels.ts";

test.for([
  {
    it: "labels apart stay where they are",
    labels: [
      { left: 0, right: 50, middle: 10 },
      { left: 0, right: 50, middle: 40 },
      { left: 60, right: 90, middle: 12 },
    ],
    middles: [10, 40, 12],
  },
  {
    it: "of two that touch, the lower one moves down",
    labels: [
      { left: 0, right: 50, middle: 14 },
      { left: 20, right: 70, middle: 10 },
    ],
    middles: [30, 10],
  },
  {
    it: "and what it then touches moves as well",
    labels: [
      { left: 0, right: 50, middle: 10 },
      { left: 0, right: 50, middle: 14 },
      { left: 0, right: 50, middle: 32 },
    ],
    middles: [10, 30, 50],
  },
])("$it", ({ labels, middles }) => {
  expect(partLabels(labels, 20)).toEqual(middles);
});

test("no label covers another, whatever their places", () => {
  const label = fc
    .tuple(
      fc.integer({ min: 0, max: 300 }),
      fc.integer({ min: 1, max: 90 }),
      fc.integer({ min: 0, max: 200 }),
    )
    .map(([left, width, middle]) => ({ left, right: left + width, middle }));
  fc.assert(
    fc.property(fc.array(label, { maxLength: 12 }), (labels) => {
      const middles = partLabels(labels, 20);
      for (const [i, one] of labels.entries()) {
        for (const [j, other] of labels.entries()) {
          if (j <= i || one.right <= other.left || one.left >= other.right) continue;
          expect(Math.abs(middles[i]! - middles[j]!)).toBeGreaterThanOrEqual(20);
        }
      }
    }),
  );
});
