import { describe, expect, test } from "vitest";
import { isInverseOf, isSumOf, sameSeries } from "../../src/read/compare-series.ts";
import { compareWithClock } from "../../src/read/compare-with-clock.ts";
import { bestFit, describeFit, round3 } from "../../src/read/fit-clock.ts";
import type { HeadColumn } from "../../src/read/head-columns.ts";
import type { TimeUnit } from "../../src/read/units.ts";
import { headOf, repeat } from "../support/head-of.ts";

const count = 101;
/** Frame times in milliseconds, 14.00 to 19.99. */
const times = Array.from({ length: count }, (_, i) => (1400 + ((i * 7919) % 600)) / 100);
/** When each frame ended, from the end of the first: a hundred steps. */
const endsOf = (list: readonly number[]): number[] =>
  list.map((_, i) => list.slice(1, i + 1).reduce((sum, ms) => sum + ms, 0));
const ends = endsOf(times);
const compare = (
  durations: readonly number[],
  clock: readonly number[],
  precision = 1e-6,
  clockPrecision = 1e-6,
) => compareWithClock(Float64Array.from(durations), precision, Float64Array.from(clock), clockPrecision);
/** Some of every hundred rows changed. */
const changed = (list: readonly number[], rows: number, change: (value: number) => number): number[] =>
  list.map((value, i) => (i > 0 && (i - 1) % 100 < rows ? change(value) : value));

describe("durations agree with a clock within what is printed and three in a thousand", () => {
  test.for([
    { what: "exactly", durations: times, share: 1 },
    { what: "0.2% off in every row", durations: changed(times, 100, (ms) => ms * 1.002), share: 1 },
    { what: "0.5% off in every row", durations: changed(times, 100, (ms) => ms * 1.005), share: 0 },
    { what: "0.5% short in every row", durations: changed(times, 100, (ms) => ms * 0.995), share: 0 },
    { what: "off in twenty of a hundred rows", durations: changed(times, 20, (ms) => ms * 1.2), share: 0.8 },
    { what: "lost in twenty of a hundred rows", durations: changed(times, 20, () => Number.NaN), share: 1 },
    { what: "zero in twenty of a hundred rows", durations: changed(times, 20, () => 0), share: 1 },
  ])("$what", ({ durations, share }) => {
    expect(compare(durations, ends)).toMatchObject({ rowShare: share, ratio: 1, ratioIsUnit: true, lag: 0 });
  });

  test("a printed digit of the clock is not held against them, nor half a digit of their own", () => {
    const whole = ends.map((end) => Math.floor(end));
    expect(compare(times, whole, 0.01, 1)?.rowShare).toBe(1);
    expect(compare(times, whole, 0.01, 0.01)?.rowShare).toBeLessThan(0.2);
    const rounded = times.map((ms) => Math.round(ms));
    expect(compare(rounded, ends, 1, 0.01)?.rowShare).toBe(1);
    expect(compare(rounded, ends, 0.01, 0.01)?.rowShare).toBeLessThan(0.3);
  });

  test("rows where the clock goes back, or has no reading, are passed over", () => {
    expect(compare(times, ends)?.compared).toBe(100);
    const back = ends.map((end, i) => (i < 50 ? end : end - 5000));
    expect(compare(times, back)).toMatchObject({ compared: 99, rowShare: 1 });
    const gap = ends.map((end, i) => (i === 50 ? Number.NaN : end));
    expect(compare(times, gap)).toMatchObject({ compared: 98, rowShare: 1 });
    expect(compare(times.slice(0, 60), ends)).toMatchObject({ compared: 59, rowShare: 1 });
  });

  test("a clock that stands still, or durations of nothing, compare with nothing", () => {
    expect(
      compare(
        times,
        times.map(() => 5),
      ),
    ).toBeNull();
    expect(
      compare(
        times.map(() => 0),
        ends,
      ),
    ).toBeNull();
    expect(compare(times, [5])).toBeNull();
    expect(compare(times, [])).toBeNull();
  });

  test.for([
    { factor: 1, ratio: 1, isUnit: true },
    { factor: 1.015, ratio: 1, isUnit: true },
    { factor: 0.985, ratio: 1, isUnit: true },
    { factor: 1.03, ratio: 1.03, isUnit: false },
    { factor: 0.97, ratio: 0.97, isUnit: false },
    { factor: 1e3, ratio: 1e3, isUnit: true },
    { factor: 1e6, ratio: 1e6, isUnit: true },
    { factor: 1e-3, ratio: 1e-3, isUnit: true },
    { factor: 10, ratio: 10, isUnit: false },
    { factor: 30, ratio: 30, isUnit: false },
    { factor: 60, ratio: 60, isUnit: false },
  ])("a clock $factor times as fast counts $ratio to one", ({ factor, ratio, isUnit }) => {
    const found = compare(
      times,
      ends.map((end) => end * factor),
      1e-6,
      1e-9,
    );
    expect(found?.ratioIsUnit).toBe(isUnit);
    expect((found?.ratio ?? 0) / ratio).toBeCloseTo(1, 3);
    expect(found?.sumRatio).toBeCloseTo((found?.ratio ?? 0) / factor, 6);
  });

  test("lost rows do not spoil the ratio, and a coarse clock does not spoil it for single rows", () => {
    // A third of the time is missing from the durations' rows.
    const gaps = endsOf(times.map((ms, i) => (i % 10 === 5 ? ms * 6 : ms)));
    expect(compare(times, gaps)).toMatchObject({ ratio: 1, ratioIsUnit: true, rowShare: 0.9 });
    const coarse = ends.map((end) => Math.floor(end / 100) * 100);
    expect(compare(times, coarse, 0.01, 100)).toMatchObject({ ratio: 1, ratioIsUnit: true, rowShare: 1 });
  });

  test("the sum is told as a share of the clock's span", () => {
    const longer = changed(times, 40, (ms) => ms * 1.2);
    const sum = (list: readonly number[]): number => list.slice(1).reduce((total, ms) => total + ms, 0);
    expect(compare(longer, ends)?.sumRatio).toBeCloseTo(sum(longer) / sum(times), 12);
    expect(compare(times, ends)?.sumRatio).toBeCloseTo(1, 12);
  });

  test.for([
    { clockPrecision: 1, together: 1 },
    { clockPrecision: 4, together: 1 },
    { clockPrecision: 5, together: 2 },
    { clockPrecision: 17, together: 4 },
    { clockPrecision: 100, together: 24 },
  ])(
    "a clock of $clockPrecision ms is compared over $together rows of 17 ms",
    ({ clockPrecision, together }) => {
      const found = compare(times, ends, 0.01, clockPrecision);
      expect(found?.rowsTogether).toBe(together);
      expect(found?.compared).toBe(Math.floor(100 / together));
    },
  );

  test("a clock of the frames' starts agrees one row later", () => {
    const starts = times.map((_, i) => times.slice(0, i).reduce((sum, ms) => sum + ms, 0));
    expect(compare(times, starts)).toMatchObject({ lag: 1, rowShare: 1 });
    expect(compare(times, ends)).toMatchObject({ lag: 0, rowShare: 1 });
  });

  test.for([
    { durations: [Number.NaN, 20], lag: 0 },
    { durations: [20, Number.NaN], lag: 1 },
  ])("where one side alone can be compared, it is taken: $durations", ({ durations, lag }) => {
    expect(compare(durations, [0, 20])).toMatchObject({ lag, ratio: 1, rowShare: 1 });
  });

  test("a ratio of units says nothing where no row agrees", () => {
    expect(compare([17, 25], [0, 20, 40], 0.1, 0.1)).toMatchObject({ lag: 0, ratio: 0.8, rowShare: 1 });
  });

  test("a row of no length, in which the clock stands still, is passed over", () => {
    expect(compare([0, 20], [0, 0, 20])).toMatchObject({ lag: 1, rowShare: 1, compared: 1 });
  });

  test("of two frames, the side whose ratio is one of units is right", () => {
    expect(compare([27.2, 28.3], [0, 0.0272], 0.1, 1e-4)).toMatchObject({
      lag: 1,
      ratio: 1e-3,
      ratioIsUnit: true,
    });
    expect(compare([27.2, 31.3], [0, 0.0313], 0.1, 1e-4)).toMatchObject({
      lag: 0,
      ratio: 1e-3,
      ratioIsUnit: true,
    });
  });
});

/** Columns of a head: named, each with its cells. */
function columnsOf(cells: Readonly<Record<string, readonly (number | string)[]>>): HeadColumn[] {
  const names = Object.keys(cells);
  const lists = Object.values(cells);
  return [
    ...headOf(
      names.join(";"),
      repeat(lists[0]?.length ?? 0, (i) => lists.map((list) => list[i]).join(";")),
    ),
  ];
}

describe("a fit is graded by the rows that agree, then by the sum", () => {
  const printed = ends.map((end) => end.toFixed(2));
  const fitOf = (
    durations: readonly (number | string)[],
    clock: readonly string[] = printed,
    unit: TimeUnit | null = "ms",
  ) => {
    const [own, ...clocks] = columnsOf({ value: durations, elapsed: clock });
    return bestFit(own as HeadColumn, clocks, () => unit);
  };
  const third = (rows: number): string[] =>
    changed(times, rows, (ms) => ms * 1.33).map((ms) => ms.toFixed(2));

  test.for([
    { off: 0, grade: "rows" },
    { off: 9, grade: "rows" },
    { off: 10, grade: "rows" },
    { off: 11, grade: "most" },
    { off: 25, grade: "most" },
    { off: 40, grade: "most" },
    { off: 41, grade: "none" },
    { off: 60, grade: "none" },
  ])("$off of a hundred rows off: $grade", ({ off, grade }) => {
    expect(fitOf(third(off))?.grade).toBe(grade);
  });

  // 101 frames: a hundred comparisons leave 1.5 frames' room at either end.
  test.for([
    { sum: 1, grade: "sum" },
    { sum: 1.012, grade: "sum" },
    { sum: 0.988, grade: "sum" },
    { sum: 1.018, grade: "none" },
    { sum: 0.982, grade: "none" },
    { sum: 1.1, grade: "none" },
  ])("single rows differ, the sum is $sum of the span: $grade", ({ sum, grade }) => {
    const own = times.map((ms, i) => (sum * (ms + (i === 0 ? 0 : i % 2 === 0 ? 3 : -3))).toFixed(2));
    expect(fitOf(own)?.grade).toBe(grade);
  });

  const ticks = (factor: number): string[] => ends.map((end) => (end * factor).toFixed(4));
  const still = repeat(count, () => "16.67");
  const stillTicks = repeat(count, (i) => (i * 16.67 * 10.24).toFixed(4));
  test.for([
    { what: "ticks of any length", durations: third(0), clock: ticks(10.24), unit: null, grade: "rows" },
    {
      what: "a clock with a unit in no ratio of units",
      durations: third(0),
      clock: ticks(10.24),
      unit: "s" as const,
      grade: "none",
    },
    {
      what: "ticks beside frames that are all alike",
      durations: still,
      clock: stillTicks,
      unit: null,
      grade: "none",
    },
    {
      what: "ticks in 96 of a hundred rows",
      durations: third(4),
      clock: ticks(10.24),
      unit: null,
      grade: "rows",
    },
    {
      what: "ticks in 92 of a hundred rows",
      durations: third(8),
      clock: ticks(10.24),
      unit: null,
      grade: "none",
    },
    {
      what: "ticks in twenty rows",
      durations: third(0).slice(0, 21),
      clock: ticks(10.24).slice(0, 21),
      unit: null,
      grade: "rows",
    },
    {
      what: "ticks in nineteen rows",
      durations: third(0).slice(0, 20),
      clock: ticks(10.24).slice(0, 20),
      unit: null,
      grade: "none",
    },
  ])("$what: $grade", ({ durations, clock, unit, grade }) => {
    expect(fitOf(durations, clock, unit)?.grade).toBe(grade);
  });

  test("of several clocks the one that fits best counts", () => {
    const [own, ...clocks] = columnsOf({
      value: times.map((ms) => ms.toFixed(2)),
      "sum only": endsOf(times.map((ms, i) => ms + (i % 2 === 0 ? 3 : -3))).map((end) => end.toFixed(2)),
      coarse: ends.map((end) => (end / 1000).toFixed(1)),
      "one in eleven off": endsOf(times.map((ms, i) => (i % 11 === 4 ? ms * 1.4 : ms))).map((end) =>
        end.toFixed(2),
      ),
      exact: ends.map((end) => end.toFixed(2)),
      again: ends.map((end) => (end + 5).toFixed(2)),
    });
    const named = (list: readonly HeadColumn[]): string =>
      bestFit(own as HeadColumn, list, () => "ms")?.clock.name ?? "none";
    expect(named(clocks)).toBe("exact");
    expect(named([...clocks].reverse())).toBe("again");
    const [sumOnly, coarse, off, exact] = clocks as [HeadColumn, HeadColumn, HeadColumn, HeadColumn];
    const bestOf = (a: HeadColumn, b: HeadColumn): readonly string[] => [named([a, b]), named([b, a])];
    expect(bestOf(coarse, exact)).toEqual(["exact", "exact"]);
    expect(bestOf(coarse, off)).toEqual(["one in eleven off", "one in eleven off"]);
    expect(bestOf(off, exact)).toEqual(["exact", "exact"]);
    expect(bestOf(sumOnly, coarse)).toEqual(["coarse", "coarse"]);
    expect(named([sumOnly])).toBe("sum only");
    expect(named([])).toBe("none");
  });

  test("a clock without a single comparison is none", () => {
    const [own, clock] = columnsOf({ value: ["16.7", "17.1"], elapsed: ["5", "5"] });
    expect(bestFit(own as HeadColumn, [clock as HeadColumn], () => "ms")).toBeNull();
    // Two rows are too few for a clock of whole seconds: not one group of them is whole.
    const coarse = columnsOf({ value: ["0.5", "0.9", "0.7"], elapsed: ["0", "0", "1"] });
    expect(bestFit(coarse[0] as HeadColumn, [coarse[1] as HeadColumn], () => "s")).toBeNull();
  });

  test("it is put in words", () => {
    const words = (off: number, clock?: readonly string[]): string => {
      const fit = fitOf(third(off), clock);
      return fit === null ? "" : describeFit(fit);
    };
    expect(words(0)).toBe("equals the steps of elapsed in 100% of 100 rows");
    expect(words(25)).toBe("equals the steps of elapsed in 75% of 100 rows");
    expect(words(45)).toBe(
      "differs from the steps of elapsed: equal in 55% of 100 rows, 1.15 times its span",
    );
  });

  test.for([
    [0.123456, 0.123],
    [16.6667, 16.7],
    [123_456, 123_000],
    [2, 2],
  ] as const)("%f is about %f", ([value, about]) => {
    expect(round3(value)).toBe(about);
  });
});

describe("two columns are the same series where nearly every row says the same", () => {
  const pair = (a: readonly string[], b: readonly string[]) =>
    columnsOf({ a, b }) as [HeadColumn, HeadColumn];
  const printed = (digits: number, factor = 1): string[] => times.map((ms) => (ms * factor).toFixed(digits));
  const withOff = (rows: number): string[] => changed(times, rows, (ms) => ms + 1).map((ms) => ms.toFixed(2));

  test.for([
    { what: "in every row", a: printed(2), b: printed(2), unitB: 1, is: true },
    { what: "with fewer digits", a: printed(2), b: printed(0), unitB: 1, is: true },
    { what: "in another unit", a: printed(2), b: printed(5, 1e-3), unitB: 1000, is: true },
    { what: "in the wrong unit", a: printed(2), b: printed(5, 1e-3), unitB: 1, is: false },
    { what: "but for a thousandth", a: printed(4), b: printed(4, 1.0008), unitB: 1, is: true },
    { what: "but for three thousandths", a: printed(4), b: printed(4, 1.003), unitB: 1, is: false },
    { what: "but for one row of 101", a: printed(2), b: withOff(1), unitB: 1, is: true },
    { what: "but for three rows of 101", a: printed(2), b: withOff(3), unitB: 1, is: false },
    {
      what: "where both have a number",
      a: printed(2).map((cell, i) => (i % 2 === 0 ? cell : "")),
      b: printed(2).map((cell, i) => (i % 3 === 0 ? cell : "")),
      unitB: 1,
      is: true,
    },
    {
      what: "not where none has both",
      a: printed(2).map((cell, i) => (i % 2 === 0 ? cell : "")),
      b: printed(2).map((cell, i) => (i % 2 === 1 ? cell : "")),
      unitB: 1,
      is: false,
    },
  ])("$what: $is", ({ a, b, unitB, is }) => {
    const [first, second] = pair(a, b);
    expect(sameSeries(first, 1, second, unitB)).toBe(is);
    expect(sameSeries(second, unitB, first, 1)).toBe(is);
  });

  const parts = times.map((ms, i) => [ms * 0.3 + (i % 3), ms * 0.7 - (i % 3)] as const);
  const sumIn = (rows: number, off: number, factor = 1): boolean => {
    const [whole, ...rest] = columnsOf({
      whole: times.slice(0, rows).map((ms, i) => (ms * factor + (i < off ? 1 : 0)).toFixed(2)),
      one: parts.slice(0, rows).map(([one]) => one.toFixed(2)),
      two: parts.slice(0, rows).map(([, two]) => two.toFixed(2)),
    });
    return isSumOf(whole as HeadColumn, rest);
  };
  test.for([
    { rows: 101, off: 0, factor: 1, is: true },
    { rows: 101, off: 4, factor: 1, is: true },
    { rows: 101, off: 8, factor: 1, is: false },
    { rows: 101, off: 0, factor: 1.01, is: false },
    { rows: 101, off: 0, factor: 0.99, is: false },
    { rows: 20, off: 0, factor: 1, is: true },
    { rows: 19, off: 0, factor: 1, is: false },
  ])(
    "a whole of $rows rows, $off of them off, times $factor is the sum of its parts: $is",
    ({ rows, off, factor, is }) => {
      expect(sumIn(rows, off, factor)).toBe(is);
    },
  );

  const rate = (digits: number): string[] => times.map((ms) => (1000 / ms).toFixed(digits));
  test.for([
    { what: "milliseconds", a: printed(2), b: rate(2), is: true },
    { what: "seconds", a: printed(5, 1e-3), b: rate(2), is: true },
    { what: "microseconds", a: printed(0, 1e3), b: rate(2), is: true },
    { what: "nanoseconds", a: printed(0, 1e6), b: rate(4), is: true },
    { what: "whole frames per second", a: printed(2), b: rate(0), is: true },
    { what: "minutes", a: printed(8, 1e-3 / 60), b: rate(2), is: false },
    { what: "another series", a: [...printed(2)].reverse(), b: rate(2), is: false },
    { what: "eight of a hundred rows off", a: withOff(8), b: rate(2), is: true },
    { what: "fifteen of a hundred rows off", a: withOff(15), b: rate(2), is: false },
    { what: "no rate at all", a: printed(2), b: repeat(count, () => "0"), is: false },
    {
      what: "half the rates lost",
      a: printed(2),
      b: rate(2).map((cell, i) => (i % 2 === 0 ? cell : "")),
      is: true,
    },
  ])("frame times as $what are the inverse of a rate: $is", ({ a, b, is }) => {
    const [first, second] = pair(a, b);
    expect(isInverseOf(first, second)).toBe(is);
  });
});
