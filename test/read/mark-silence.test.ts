import { describe, expect, test } from "vitest";
import { markSilence } from "../../src/read/mark-silence.ts";

const none = Number.NaN;

describe("a reading holds for 5 s, or for five readings as they usually come", () => {
  test.for([
    { what: "nothing", atS: [], values: [], expected: [] },
    {
      what: "one reading",
      atS: [20],
      values: [40],
      expected: [
        [10, none],
        [15, 40],
        [20, 40],
        [25, none],
      ],
    },
    {
      what: "a steady sensor, twice a second",
      atS: [0, 0.5, 1],
      values: [40, 41, 42],
      expected: [
        [-10, none],
        [-5, 40],
        [0, 40],
        [0.5, 41],
        [1, 42],
        [6, none],
      ],
    },
    {
      what: "a pause of just 5 s",
      atS: [0, 1, 6, 7],
      values: [40, 41, 42, 43],
      expected: [
        [-10, none],
        [-5, 40],
        [0, 40],
        [1, 41],
        [6, 42],
        [7, 43],
        [12, none],
      ],
    },
    {
      what: "a pause of more",
      atS: [0, 1, 7, 8],
      values: [40, 41, 42, 43],
      expected: [
        [-10, none],
        [-5, 40],
        [0, 40],
        [1, 41],
        [6, none],
        [7, 42],
        [8, 43],
        [13, none],
      ],
    },
    {
      what: "a slow sensor, every 4 s",
      atS: [0, 4, 8, 24, 45],
      values: [40, 41, 42, 43, 44],
      // The steps are 4, 4, 16 and 21 s: the upper median is 16 s, so that nothing is a pause.
      expected: [
        [-160, none],
        [-80, 40],
        [0, 40],
        [4, 41],
        [8, 42],
        [24, 43],
        [45, 44],
        [125, none],
      ],
    },
  ])("$what", ({ atS, values, expected }) => {
    const marked = markSilence(atS, values);
    expect([...marked.atS].map((at, i) => [at, marked.values[i]])).toEqual(expected);
  });
});
