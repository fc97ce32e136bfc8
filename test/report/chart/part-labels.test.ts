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

test.for([
  {
    it: "those that would leave the picture move up from its bottom",
    middles: [10, 14, 32],
    bottom: 45,
    placed: [5, 25, 45],
  },
  { it: "those that fit below each other do not", middles: [10, 14, 20], bottom: 50, placed: [10, 30, 50] },
  { it: "one that lies below it moves to it", middles: [10, 70], placed: [10, 55] },
])("with a bottom, $it", ({ middles, bottom = 55, placed }) => {
  const labels = middles.map((middle) => ({ left: 0, right: 50, middle }));
  expect(partLabels(labels, 20, bottom)).toEqual(placed);
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
    fc.property(
      fc.array(label, { maxLength: 12 }),
      fc.option(fc.integer({ min: 0, max: 200 })),
      (labels, most) => {
        const bottom = most ?? Number.POSITIVE_INFINITY;
        const middles = partLabels(labels, 20, bottom);
        expect(Math.max(...middles, Number.NEGATIVE_INFINITY)).toBeLessThanOrEqual(bottom);
        for (const [i, one] of labels.entries()) {
          for (const [j, other] of labels.entries()) {
            if (j <= i || one.right <= other.left || one.left >= other.right) continue;
            expect(Math.abs(middles[i]! - middles[j]!)).toBeGreaterThanOrEqual(20);
          }
        }
      },
    ),
  );
});
