import { describe, expect, test } from "vitest";
import { markBlanks, markSilence } from "../../src/read/mark-silence.ts";

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

describe("a sensor in the frames' own log says nothing in its silences, and behind them what it said before", () => {
  const readings = { atS: Float64Array.of(0, 4, 20), values: Float64Array.of(40, 41, 42) };
  const open = Number.POSITIVE_INFINITY;
  test.for<{ what: string; silences: readonly [number, number][]; expected: readonly [number, number][] }>([
    {
      what: "none",
      silences: [],
      expected: [
        [0, 40],
        [4, 41],
        [20, 42],
      ],
    },
    {
      what: "one that the same reading ends",
      silences: [[9, 12]],
      expected: [
        [0, 40],
        [4, 41],
        [9, none],
        [12, 41],
        [20, 42],
      ],
    },
    {
      what: "one that another reading ends",
      silences: [[9, 20]],
      expected: [
        [0, 40],
        [4, 41],
        [9, none],
        [20, 42],
      ],
    },
    {
      what: "one from a reading on",
      silences: [[4, 12]],
      expected: [
        [0, 40],
        [4, 41],
        [4, none],
        [12, 41],
        [20, 42],
      ],
    },
    {
      what: "several",
      silences: [
        [1, 4],
        [9, 12],
        [15, 18],
      ],
      expected: [
        [0, 40],
        [1, none],
        [4, 41],
        [9, none],
        [12, 41],
        [15, none],
        [18, 41],
        [20, 42],
      ],
    },
    {
      what: "one that nothing ends",
      silences: [[25, open]],
      expected: [
        [0, 40],
        [4, 41],
        [20, 42],
        [25, none],
      ],
    },
  ])("$what", ({ silences, expected }) => {
    const marked = markBlanks(
      readings,
      silences.map(([fromS, toS]) => ({ fromS, toS })),
    );
    expect([...marked.atS].map((at, i) => [at, marked.values[i]])).toEqual(expected);
  });

  test("one before its first reading, which ends it", () => {
    const late = { atS: Float64Array.of(5, 8), values: Float64Array.of(40, 41) };
    const marked = markBlanks(late, [{ fromS: 0, toS: 5 }]);
    expect([...marked.atS].map((at, i) => [at, marked.values[i]])).toEqual([
      [0, none],
      [5, 40],
      [8, 41],
    ]);
  });
});
