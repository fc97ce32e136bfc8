import { describe, expect, test } from "vitest";
import { createRandom, createSplitMix64, createXoshiro128, hashName } from "./random-source.js";

const seeded = createRandom(1, "test");
const normals = Array.from({ length: 200_000 }, () => seeded.normal());
const uniforms = Array.from({ length: 200_000 }, () => seeded.uniform());
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

describe("the random source of the demo data", () => {
  test("xoshiro128** gives the outputs of its authors' C code", () => {
    // Source: the reference algorithm in C, written down from memory and compiled with gcc; state 1, 2, 3, 4.
    const next = createXoshiro128([1, 2, 3, 4]);
    expect(Array.from({ length: 10 }, next)).toEqual([
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ]);
  });

  test("SplitMix64 gives its published outputs for the seed 1234567", () => {
    // Source: the values by which implementations of SplitMix64 are commonly checked, from memory.
    const next = createSplitMix64(1_234_567n);
    expect(Array.from({ length: 5 }, next)).toEqual([
      6457827717110365317n,
      3203168211198807973n,
      9817491932198370423n,
      4593380528125082431n,
      16408922859458223821n,
    ]);
  });

  test.for([
    { text: "", expected: 0xcbf29ce484222325n },
    { text: "a", expected: 0xaf63dc4c8601ec8cn },
    { text: "foobar", expected: 0x85944171f73967e8n },
  ])("the 64-bit FNV-1a hash of '$text' is the one of the published test vectors", ({ text, expected }) => {
    // Source: test vectors of draft-eastlake-fnv, from memory.
    expect(hashName(text)).toBe(expected);
  });

  test("the same seed and name give the same numbers, another name gives others", () => {
    const draw = (name: string) => {
      const random = createRandom(7, name);
      return Array.from({ length: 5 }, () => random.uniform());
    };
    expect(draw("a")).toEqual(draw("a"));
    expect(draw("a")).not.toEqual(draw("b"));
  });

  test("normal draws have mean 0, variance 1 and the kurtosis of twelve summed uniforms", () => {
    // Source: arithmetic. A uniform has kurtosis 9/5; the excess of a sum of 12 is (9/5 - 3)/12 = -0.1.
    // The limits are five standard errors: 1/sqrt(n), sqrt(1.9/n) and sqrt(24/n).
    const n = normals.length;
    const variance = mean(normals.map((value) => value * value));
    expect(Math.abs(mean(normals))).toBeLessThan(5 / Math.sqrt(n));
    expect(Math.abs(variance - 1)).toBeLessThan(5 * Math.sqrt(1.9 / n));
    const excess = mean(normals.map((value) => value ** 4)) / variance ** 2 - 3;
    expect(Math.abs(excess + 0.1)).toBeLessThan(5 * Math.sqrt(24 / n));
  });

  test("uniform draws stay inside 0 and 1 and fill ten equal bins evenly", () => {
    const bins = new Array<number>(10).fill(0);
    for (const value of uniforms) bins[Math.floor(value * 10)]! += 1;
    const wanted = uniforms.length / 10;
    const chiSquared = bins.reduce((sum, count) => sum + (count - wanted) ** 2 / wanted, 0);
    expect(uniforms.every((value) => value > 0 && value < 1)).toBe(true);
    // Source: R 4.x qchisq(0.999, 9) = 27.87716.
    expect(chiSquared).toBeLessThan(27.87716);
  });
});
