import { describe, expect, test } from "vitest";
import { findDrops } from "../../src/measure/sensor-drops.ts";
import { seededRandom } from "../support/seeded-random.ts";

// The thresholds are common practice without a source; what is held here is that they lie where they are said to, and
// that what belongs to an ordinary pass is no drop.

/** A sensor that holds each level for so many cells; 1 is what it usually reaches. */
const levels = (...parts: readonly (readonly [cells: number, level: number])[]): Float64Array =>
  Float64Array.from(parts.flatMap(([cells, level]) => new Array<number>(cells).fill(level)));

const placesOf = (grid: Float64Array, cellS = 0.25, leastDrop = 0.1): (readonly [number, number])[] =>
  (findDrops(grid, cellS, leastDrop)?.stretches ?? []).map(({ start, end }) => [start, end]);

describe("drops of a sensor", () => {
  test.for([
    { what: "one that lasts to the end", grid: levels([200, 1], [40, 0.8]), places: [[200, 240]] },
    { what: "one of two cells", grid: levels([100, 1], [2, 0.8], [138, 1]), places: [[100, 102]] },
    { what: "one in 20 cells", grid: levels([10, 1], [10, 0.8]), places: [[10, 20]] },
    { what: "none in 19, too few to tell", grid: levels([10, 1], [9, 0.8]), places: [] },
    { what: "a fall just deep enough", grid: levels([100, 1], [40, 0.899], [100, 1]), places: [[100, 140]] },
    { what: "none where it is not", grid: levels([100, 1], [40, 0.901], [100, 1]), places: [] },
    {
      what: "two, the second soon after the first",
      grid: levels([100, 1], [10, 0.8], [3, 1], [20, 0.8], [107, 1]),
      places: [
        [100, 110],
        [113, 133],
      ],
    },
    {
      what: "two of different depths before a third of the pass is over",
      grid: levels([20, 1], [20, 0.8], [20, 1], [20, 0.7], [160, 1]),
      places: [
        [20, 40],
        [60, 80],
      ],
    },
    {
      what: "all of a long one, where the level before it returns",
      grid: levels([60, 1], [150, 0.8], [30, 1]),
      places: [[60, 210]],
    },
    {
      what: "only the later one, where the pass starts low: what has no level before it fell from none",
      grid: levels([70, 0.5], [100, 1], [30, 0.8], [40, 1]),
      places: [[170, 200]],
    },
    { what: "none where the sensor fails", grid: levels([100, 1], [40, 0.8], [1, 0], [99, 1]), places: [] },
    { what: "none where it says less than nothing", grid: levels([100, 1], [40, -1], [100, 1]), places: [] },
  ])("$what", ({ grid, places }) => {
    expect(placesOf(grid)).toEqual(places);
  });

  test("how far below is the mean of all of them, each cell weighing alike", () => {
    // Geometric mean of 20 cells at 0.8 and 10 at 0.7.
    const below = 1 - (0.8 ** 20 * 0.7 ** 10) ** (1 / 30);
    const found = findDrops(levels([60, 1], [20, 0.8], [60, 1], [10, 0.7], [90, 1]), 0.25, 0.1);
    expect(found?.usual).toBeCloseTo(1, 12);
    expect(found?.belowPct).toBeCloseTo(100 * below, 10);
  });
});

describe("the usual level of a sensor", () => {
  test.for([
    { what: "a quarter of the pass reaches it", grid: levels([90, 1], [60, 1.2], [90, 1]), usual: 1.2 },
    {
      what: "and a little less does not",
      grid: levels([90, 1], [59, 1.2], [31, 1], [30, 0.8], [30, 1]),
      usual: 1,
    },
    {
      what: "a boost for a third of the pass is none",
      grid: levels([80, 1.2], [100, 1], [30, 0.8], [30, 1]),
      usual: 1,
    },
    { what: "a longer one is, and its end a fall", grid: levels([81, 1.2], [159, 1]), usual: 1.2 },
    {
      what: "a boost that ends in two steps is none",
      grid: levels([20, 1.4], [60, 1.2], [100, 1], [30, 0.8], [30, 1]),
      usual: 1,
    },
  ])("$what", ({ grid, usual }) => {
    expect(findDrops(grid, 0.25, 0.1)?.usual).toBeCloseTo(usual, 12);
  });

  test("the end of a boost is no drop, in one step or in two", () => {
    expect(placesOf(levels([80, 1.2], [160, 1]))).toEqual([]);
    expect(placesOf(levels([20, 1.4], [60, 1.2], [160, 1]))).toEqual([]);
  });
});

describe("a fall against a slow decline", () => {
  /** Falls by a fifth over some seconds from 25 s on, and returns at 45 s. */
  const falling = (overS: number, cellS: number): Float64Array =>
    Float64Array.from({ length: 60 / cellS }, (_, i) => {
      const s = (i + 0.5) * cellS;
      return s < 25 || s >= 45 ? 1 : 1 - 0.2 * Math.min(1, (s - 25) / overS);
    });

  test.for([
    { overS: 1, cellS: 0.25, isFound: true },
    { overS: 3, cellS: 0.25, isFound: true },
    { overS: 12, cellS: 0.25, isFound: false },
    { overS: 1, cellS: 1, isFound: true },
    { overS: 3, cellS: 1, isFound: true },
    { overS: 12, cellS: 1, isFound: false },
  ])("over $overS s in cells of $cellS s", ({ overS, cellS, isFound }) => {
    expect(placesOf(falling(overS, cellS), cellS)).toHaveLength(isFound ? 1 : 0);
  });

  test("in cells longer than a fall, a cell that holds the fall itself is not the level before it", () => {
    expect(placesOf(levels([40, 1], [1, 0.93], [30, 0.849], [29, 1]), 4, 0.15)).toEqual([[41, 71]]);
  });
});

describe("drops in noise", () => {
  const noisy = (seed: number, level: (cell: number) => number, noise: number): Float64Array => {
    const random = seededRandom(seed);
    return Float64Array.from({ length: 240 }, (_, i) => level(i) * (1 + noise * random.normal()));
  };

  test.for([1, 2, 3, 4, 5])("noise as large as the least drop is none (seed %i)", (seed) => {
    expect(
      placesOf(
        noisy(seed, () => 1, 0.05),
        0.25,
        0.05,
      ),
    ).toEqual([]);
  });

  // Its two ends cost 2 * 3 ln 240 = 33; it is worth 20 (7/3)^2 = 109, and would be worth 27 at twice the noise.
  test.for([1, 2, 3, 4, 5])("a drop of twice the noise is one where it lasts (seed %i)", (seed) => {
    const found = findDrops(
      noisy(seed, (cell) => (cell >= 100 && cell < 120 ? 0.93 : 1), 0.03),
      0.25,
      0.05,
    );
    expect(found?.stretches).toHaveLength(1);
    expect(Math.abs((found?.stretches[0]?.start ?? 0) - 100)).toBeLessThanOrEqual(3);
    expect(Math.abs((found?.stretches[0]?.end ?? 0) - 120)).toBeLessThanOrEqual(3);
  });

  test("a drop of two cells by ten times the noise is one", () => {
    // Worth 2 * 10^2 = 200; taken for twice the noise it would be 50, and for a tenth of it everything would fall.
    expect(placesOf(noisy(3, (cell) => (cell === 100 || cell === 101 ? 0.7 : 1), 0.03))).toEqual([
      [100, 102],
    ]);
  });
});
