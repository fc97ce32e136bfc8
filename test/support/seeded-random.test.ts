import { describe, expect, test } from "vitest";
import { randomFromState, seededRandom } from "./seeded-random.ts";

describe("the generator behind the simulations", () => {
  test("gives the published sequence of xoshiro128** 1.1", () => {
    // From state 1, 2, 3, 4 by the authors' algorithm written in C with 32-bit unsigned arithmetic, compiled by gcc.
    const random = randomFromState([1, 2, 3, 4]);
    const first = Array.from({ length: 10 }, () => random.nextUint32());
    expect(first).toEqual([
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ]);
  });

  test("repeats itself for one seed and differs for another", () => {
    const take = (seed: number) => {
      const random = seededRandom(seed);
      return Array.from({ length: 5 }, () => random.uniform());
    };
    expect(take(7)).toEqual(take(7));
    expect(take(7)).not.toEqual(take(8));
  });

  test("makes normal deviates with the moments of a normal", () => {
    const random = seededRandom(2024);
    const n = 200_000;
    const sums = [0, 0, 0, 0];
    for (let i = 0; i < n; i++) {
      const z = random.normal();
      for (let k = 0; k < 4; k++) sums[k]! += z ** (k + 1);
    }
    const [m1, m2, m3, m4] = sums.map((sum) => sum / n) as [number, number, number, number];
    // Five standard errors each: sqrt(1/n), sqrt(2/n), sqrt(15/n), sqrt(96/n).
    expect(Math.abs(m1)).toBeLessThan(5 * Math.sqrt(1 / n));
    expect(Math.abs(m2 - 1)).toBeLessThan(5 * Math.sqrt(2 / n));
    expect(Math.abs(m3)).toBeLessThan(5 * Math.sqrt(15 / n));
    expect(Math.abs(m4 - 3)).toBeLessThan(5 * Math.sqrt(96 / n));
  });
});
