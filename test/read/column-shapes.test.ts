import { describe, expect, test } from "vitest";
import {
  areDurationsByChance,
  couldBeDuration,
  epochUnit,
  findClocks,
  findWholeOf,
  isClock,
  isCounter,
  isRate,
  plausibleUnits,
} from "../../src/read/column-shapes.ts";
import { weighDurationName } from "../../src/read/weigh-words.ts";
import { headOf, repeat } from "../support/head-of.ts";

/** A column beside another that says nothing. */
const column = (name: string, values: readonly (number | string)[]) => {
  const found = headOf(
    `${name},scene`,
    values.map((value) => `${value},quay`),
  )[0];
  if (found === undefined) throw new RangeError("no column");
  return found;
};
/** The same without any names. */
const nameless = (values: readonly (number | string)[]) => {
  const found = headOf(values.map((value) => `${value},quay`))[0];
  if (found === undefined) throw new RangeError("no column");
  return found;
};

/** Numbers that go on by these steps, over and over. */
function going(count: number, steps: readonly number[], from = 0): number[] {
  const values = [from];
  for (let i = 1; i < count; i++) {
    const next = (values[i - 1] as number) + (steps[(i - 1) % steps.length] as number);
    values.push(Number(next.toFixed(6)));
  }
  return values;
}

describe("a running number goes up by one from row to row", () => {
  test.for([
    { name: "frame", values: going(30, [1]), is: true },
    { name: "altitude", values: going(30, [1]), is: true },
    { name: "altitude", values: [7, 8, 9], is: true },
    { name: "altitude", values: [7, 8], is: false },
    { name: "frame", values: [7, 8], is: true },
    { name: "frame", values: [7], is: false },
    { name: "altitude", values: going(30, [0.5]), is: false },
    { name: "altitude", values: going(30, [1], 0.5), is: false },
    {
      name: "frame",
      values: Array.from({ length: 30 }, (_, i) => `20:15:${String(i + 10)}`),
      is: false,
    },
    { name: "frame", values: ["20:15:01", "20:15:02", "20:15:03", "20:15:04"], is: false },
    { name: "altitude", values: going(30, [16.7]), is: false },
    { name: "altitude", values: going(30, [2]), is: false },
    // One step in twenty skips a number, one in five does.
    { name: "altitude", values: going(41, [...Array(19).fill(1), 2]), is: true },
    { name: "altitude", values: going(41, [1, 1, 1, 1, 2]), is: false },
    { name: "frame", values: going(41, [1, 1, 1, 1, 2]), is: true },
    { name: "frame", values: going(41, [1, 3, 3, 3]), is: false },
    { name: "frame", values: going(41, [1, 3]), is: true },
    // Streams that count side by side fall now and then.
    { name: "frame", values: going(41, [1, 1, 1, 1, 1, 1, 1, -2]), is: true },
    { name: "frame", values: going(41, [1, 1, -2]), is: false },
    { name: "frame", values: going(41, [1, 1, 1, 1, -1]), is: true },
    { name: "CPU power (W)", values: going(30, [1]), is: false },
    { name: "frame time", values: repeat(30, () => "quay"), is: false },
    // A column of milliseconds may happen to rise by one.
    { name: "frame ms", values: [16, 17, 18], is: false },
    { name: "elapsed ms", values: going(30, [1]), is: false },
    { name: "depth ms", values: going(30, [1]), is: false },
    { name: "depth ms", values: going(41, [...Array(19).fill(1), 2]), is: false },
    { name: "frame s", values: going(30, [1]), is: true },
  ])("$name: $values: $is", ({ name, values, is }) => {
    expect(isCounter(column(name, values))).toBe(is);
  });

  test("without names two rows are enough", () => {
    expect(isCounter(nameless([7, 8]))).toBe(true);
  });
});

describe("a clock never goes back", () => {
  const isOne = (name: string, values: readonly (number | string)[]): boolean => {
    const own = column(name, values);
    return isClock(own, [own]);
  };

  test.for([
    { what: "rises", name: "depth", values: going(30, [16.7]), is: true },
    { what: "is mostly words", name: "elapsed", values: ["1", "2", "quay", "dusk", "dawn"], is: false },
    { what: "numbers frames two by two", name: "frame", values: going(120, [0, 1]), is: false },
    { what: "rises two by two, by more", name: "frame", values: going(120, [0, 3]), is: true },
    { what: "rises two by two in milliseconds", name: "frame ms", values: going(120, [0, 1]), is: true },
    { what: "rises, says FPS", name: "fps", values: going(30, [0.5], 30), is: false },
    { what: "rises, in watts", name: "depth (W)", values: going(30, [0.5], 30), is: false },
    { what: "rises, is a load", name: "memory", values: going(30, [0.5], 30), is: false },
    { what: "rises, is a clock by another word", name: "clock", values: going(30, [0.5], 30), is: true },
    { what: "rises in milliseconds", name: "memory ms", values: going(30, [16.5]), is: true },
    { what: "stands still", name: "elapsed", values: going(30, [0], 5), is: false },
    {
      what: "stands still once in twelve rows",
      name: "depth",
      values: going(61, [...Array(11).fill(0.5), 0]),
      is: true,
    },
    {
      what: "stands still once in six rows",
      name: "depth",
      values: going(61, [...Array(5).fill(0.5), 0]),
      is: false,
    },
    {
      what: "stands still mostly, by name a clock",
      name: "elapsed s",
      values: going(61, [0, 0, 0, 0, 1]),
      is: true,
    },
    {
      what: "falls once in a hundred rows",
      name: "elapsed",
      values: going(101, [...Array(99).fill(0.5), -5]),
      is: true,
    },
    {
      what: "falls once in thirty rows",
      name: "elapsed",
      values: going(61, [...Array(29).fill(0.5), -5]),
      is: false,
    },
    {
      what: "stands still and falls too often for that",
      name: "elapsed",
      values: going(201, [...Array(49).fill(0), 0.5, ...Array(45).fill(0), 1, 1, 1, 1, -1]),
      is: false,
    },
    {
      what: "stands still mostly, speaks of a frame's time",
      name: "frame time",
      values: going(61, [0, 0, 0, 0, 0.1], 16),
      is: false,
    },
    {
      what: "stands still mostly, is the stamp of a frame",
      name: "frame timestamp",
      values: going(61, [0, 0, 0, 0, 1]),
      is: true,
    },
    { what: "stands still mostly, is a time", name: "time", values: going(61, [0, 0, 0, 0, 1]), is: true },
    { what: "is text", name: "elapsed", values: repeat(30, () => "dusk"), is: false },
  ])("in many rows: $what: $is", ({ name, values, is }) => {
    expect(isOne(name, values)).toBe(is);
  });

  test.for([
    { what: "one reading, by name a clock", name: "elapsed", values: [5], is: true },
    { what: "one reading, by name a frame's", name: "frame time", values: [5], is: false },
    { what: "one reading, by name nothing", name: "depth", values: [5], is: false },
    { what: "one time of day", name: "depth", values: ["20:15:00"], is: true },
    { what: "times of day", name: "depth", values: ["20:15:00", "20:15:01"], is: true },
    { what: "times of day that fall", name: "elapsed", values: ["20:15:02", "20:15:01"], is: false },
    { what: "rising as frames add up", name: "depth", values: [16, 33, 50], is: true },
    { what: "rising as frame times may", name: "depth", values: [16, 17, 18.5], is: false },
    { what: "rising by a third, as frame times do not", name: "depth", values: [10, 15, 20], is: true },
    { what: "rising little, to thrice the first", name: "depth", values: [10, 11, 12, 13, 40], is: true },
    {
      what: "rising little, in no unit of frame times",
      name: "depth",
      values: [160_000_000, 170_000_000, 180_000_001.5],
      is: false,
    },
    { what: "rising little, a clock by name", name: "t", values: [1000.5, 1016.9, 1033], is: true },
    { what: "rising little, a time by name", name: "time", values: [100.5, 116.9, 133], is: false },
    { what: "rising, by name a frame's time", name: "frame time", values: [10, 20.5, 30], is: false },
    { what: "rising, by name a frame's start", name: "frame start time", values: [10, 26.5, 43], is: true },
    { what: "rising, by name an interval", name: "interval", values: [10, 20.5, 30], is: false },
    { what: "rising, an interval in no unit", name: "interval", values: [2.5e9, 5e9, 7.6e9], is: true },
    { what: "falling once, by name a clock", name: "elapsed", values: [10, 26.5, 43, 42, 59], is: true },
    { what: "falling once, by name nothing", name: "depth", values: [10, 26.5, 43, 42, 59], is: false },
    { what: "falling in two of four steps", name: "elapsed", values: [10, 26.5, 5, 42, 2], is: false },
  ])("in a few rows: $what: $is", ({ name, values, is }) => {
    expect(isOne(name, values)).toBe(is);
  });

  // Frames that are shown two at a time share a reading.
  test.for([
    { what: "in every second row", values: going(121, [33, 0]), is: true },
    { what: "in two rows of five", values: going(121, [33, 0, 33, 0, 0]), is: true },
    { what: "in one row of four", values: going(121, [33, 0, 0, 0]), is: false },
    { what: "in every second row of eighty", values: going(80, [33, 0]), is: false },
    {
      what: "in every second row, falling once",
      values: [...going(100, [33, 0]), 0, ...going(20, [33, 0])],
      is: false,
    },
  ])("rising $what without a name of a clock: $is", ({ values, is }) => {
    expect(isOne("depth", values)).toBe(is);
  });

  test("twenty rows are many: then the name of a frame's time no longer counts against it", () => {
    expect(isOne("frame time", going(19, [16.5], 10))).toBe(false);
    expect(isOne("frame time", going(20, [16.5], 10))).toBe(true);
  });

  test("a few close readings of elapsed time are a clock only beside something else", () => {
    const alone = headOf("elapsed time", "100.5", "116.9", "133");
    expect(findClocks(alone)).toEqual([]);
    const [beside, ...others] = headOf("elapsed time,depth", "100.5,4.5", "116.9,4.25", "133,4.75");
    expect(findClocks(beside === undefined ? [] : [beside, ...others]).map(({ name }) => name)).toEqual([
      "elapsed time",
    ]);
  });

  test("running numbers are no clocks", () => {
    const columns = headOf(
      "frame,elapsed,depth",
      repeat(30, (i) => `${i},${(i * 0.0167).toFixed(4)},5`),
    );
    expect(findClocks(columns).map(({ name }) => name)).toEqual(["elapsed"]);
  });
});

describe("durations that happen to rise are the steps of a clock beside them", () => {
  const areChance = (names: string, rows: readonly string[]): boolean => {
    const [clock, durations] = headOf(names, rows);
    if (clock === undefined || durations === undefined) throw new RangeError("no columns");
    return areDurationsByChance(durations, [clock, durations]);
  };
  const rows = ["0.0223,22.3", "0.0538,31.5", "0.0952,41.4"];

  test.for([
    { what: "in every row", names: "elapsed_s,ms", rows, is: true },
    { what: "not where one row differs", names: "elapsed_s,ms", rows: [...rows, "0.2,50.1"], is: false },
    { what: "not where a name says clock", names: "elapsed_s,end ms", rows, is: false },
    {
      what: "not in no unit",
      names: "elapsed_s,depth",
      rows: rows.map((row) => `${row}`.replace(/,(\d+)\.(\d)/, ",$1$2000000000")),
      is: false,
    },
    {
      what: "not in a ratio of no unit",
      names: "elapsed_s,ms",
      rows: ["0.0446,22.3", "0.1076,31.5", "0.1904,41.4"],
      is: false,
    },
  ])("$what: $is", ({ names, rows, is }) => {
    expect(areChance(names, rows)).toBe(is);
  });

  test("in twenty rows it is no chance any more", () => {
    const rising = (count: number): string[] => {
      let endS = 0;
      return repeat(count, (i) => {
        endS += (15 + i / 2) / 1000;
        return `${endS.toFixed(4)},${15 + i / 2}`;
      });
    };
    expect(areChance("elapsed_s,depth", rising(19))).toBe(true);
    expect(areChance("elapsed_s,depth", rising(20))).toBe(false);
  });

  test("not beside itself alone", () => {
    const columns = headOf("ms", "22.3", "31.5");
    expect(areDurationsByChance(columns[0] as (typeof columns)[0], columns)).toBe(false);
  });
});

describe("a column that starts over holds what is left of another's seconds", () => {
  const table = (header: string, count: number, row: (i: number) => readonly (number | string)[]) => {
    const [whole, part] = headOf(
      header,
      repeat(count, (i) => row(i).join(",")),
    );
    if (whole === undefined || part === undefined) throw new RangeError("no columns");
    return { whole, part, all: [whole, part] };
  };
  /** What is left of a second in ms, 37 ms from row to row: it starts over each 27 rows. */
  const second = (i: number) => Math.floor((37 * i) / 1000);
  const rest = (i: number) => (37 * i) % 1000;

  test.for<{ what: string; count: number; header?: string; row: (i: number) => number[]; is: boolean }>([
    { what: "seconds and milliseconds", count: 100, row: (i) => [second(i), rest(i)], is: true },
    { what: "two starts are enough", count: 56, row: (i) => [second(i), rest(i)], is: true },
    { what: "one may be chance", count: 54, row: (i) => [second(i), rest(i)], is: false },
    { what: "fractions of a second", count: 100, row: (i) => [second(i), rest(i) / 1000], is: true },
    {
      what: "seconds of a minute",
      count: 100,
      row: (i) => [Math.floor((5 * i) / 60), (5 * i) % 60],
      is: true,
    },
    {
      what: "the other goes up elsewhere too",
      count: 100,
      row: (i) => [second(i) + (i > 60 ? 1 : 0), rest(i)],
      is: false,
    },
    {
      what: "the other stays where this one starts over",
      count: 100,
      row: (i) => [second(Math.min(i, 70)), rest(i)],
      is: false,
    },
    { what: "the other is no whole number", count: 100, row: (i) => [second(i) + 0.5, rest(i)], is: false },
    { what: "the other goes down", count: 100, row: (i) => [9 - second(i), rest(i)], is: false },
    { what: "it never starts over", count: 100, row: (i) => [second(i), 37 * i], is: false },
    { what: "it goes below 0", count: 100, row: (i) => [second(i), rest(i) - 1], is: false },
    {
      what: "it stands still in one row of five",
      count: 100,
      row: (i) => [second(i), rest(i - (i % 5 === 4 ? 1 : 0))],
      is: false,
    },
    // The number of a frame in its second ends anywhere: only seconds that say so are believed.
    { what: "frames of a run", count: 100, row: (i) => [Math.floor(i / 27), i % 27], is: false },
    {
      what: "frames of a second",
      header: "elapsed [s],part",
      count: 100,
      row: (i) => [Math.floor(i / 27), i % 27],
      is: true,
    },
    {
      what: "frames of a millisecond",
      header: "elapsed [ms],part",
      count: 100,
      row: (i) => [Math.floor(i / 27), i % 27],
      is: false,
    },
    {
      what: "up to 900 of 1000",
      count: 100,
      row: (i) => [Math.floor(i / 10), 100 * ((i % 10) + (i % 10 === 9 ? 0 : 0.5))],
      is: true,
    },
    { what: "up to 890 of 1000", count: 100, row: (i) => [Math.floor(i / 10), 98.9 * (i % 10)], is: false },
    { what: "up to 1000 itself", count: 110, row: (i) => [Math.floor(i / 11), 100 * (i % 11)], is: false },
  ])("$what: $is", ({ header = "run,part", count, row, is }) => {
    const { whole, part, all } = table(header, count, row);
    expect(findWholeOf(part, all)).toBe(is ? whole : null);
  });
});

describe("what else numbers can be", () => {
  test.for([
    { name: "fps", values: [59.9, 60.2, 58.1], is: true },
    { name: "frames per second", values: [59.9, 60.2, 58.1], is: true },
    { name: "fps (ms)", values: [59.9, 60.2, 58.1], is: false },
    { name: "depth", values: [59.9, 60.2, 58.1], is: false },
    { name: "depth", values: ["60 FPS", "61 FPS", "62.5 FPS"], is: true },
    { name: "fps", values: [0, 0, 0], is: false },
    { name: "fps", values: ["fast", "slow", "fast"], is: false },
  ])("$name of $values is a frame rate: $is", ({ name, values, is }) => {
    expect(isRate(column(name, values))).toBe(is);
  });

  test.for([
    { name: "depth", values: [16.7, 17.2, 15.9], is: true },
    { name: "depth", values: [0, 0, 0], is: false },
    { name: "memory", values: [16.7, 17.2, 15.9], is: false },
    { name: "depth (W)", values: [16.7, 17.2, 15.9], is: false },
    { name: "memory ms", values: [16.7, 17.2, 15.9], is: true },
    { name: "depth ms", values: [3, 4, 2], is: true },
    { name: "depth", values: [3, 4, 2], is: false },
    { name: "frame", values: [5, 9, 2], is: false },
    { name: "frame time", values: [5, 9, 2], is: true },
    { name: "row", values: [5, 9, 2], is: false },
    { name: "row", values: [5.5, 9.5, 2.5], is: true },
    { name: "depth", values: [5e12, 6e12, 7e12], is: false },
    { name: "frame time", values: [5e12, 6e12, 7e12], is: true },
  ])("$name of $values could be durations: $is", ({ name, values, is }) => {
    const found = column(name, values);
    expect(couldBeDuration(found, weighDurationName(found.words, found.timeUnit !== null))).toBe(is);
  });

  // Frame times from 5,000 FPS to 1 FPS are ordinary; where the unit is stated, from 20,000 FPS to 5 s.
  test.for([
    { median: 16.7, stated: null, units: ["ms"] },
    { median: 0.0167, stated: null, units: ["s"] },
    { median: 16_700, stated: null, units: ["us"] },
    { median: 16_700_000, stated: null, units: ["ns"] },
    { median: 0.5, stated: null, units: ["s", "ms"] },
    { median: 500, stated: null, units: ["ms", "us"] },
    { median: 0.00021, stated: null, units: ["s"] },
    { median: 0.00019, stated: null, units: [] },
    { median: 0.99, stated: null, units: ["s", "ms"] },
    { median: 1, stated: null, units: ["s", "ms"] },
    { median: 1.01, stated: null, units: ["ms"] },
    { median: 1e-5, stated: null, units: [] },
    { median: 2e9, stated: null, units: [] },
    { median: 0.06, stated: "ms", units: ["ms"] },
    { median: 0.04, stated: "ms", units: [] },
    { median: 4, stated: "s", units: ["s"] },
    { median: 5, stated: "s", units: ["s"] },
    { median: 6, stated: "s", units: [] },
    { median: 0.00005, stated: "s", units: ["s"] },
    { median: 0.00004, stated: "s", units: [] },
    { median: 16.7, stated: "us", units: [] },
  ] as const)("a usual $median stated in $stated makes sense in $units", ({ median, stated, units }) => {
    expect(plausibleUnits(median, stated)).toEqual(units);
  });

  // 2000-01-01 is 946,684,800 s after 1970-01-01, 2100-01-01 is 4,102,444,800 s (`date -u -d ... +%s`).
  test.for([
    { name: "time", first: "1773519300", unit: "s" },
    { name: "time", first: "1773519300000", unit: "ms" },
    { name: "time", first: "1773519300000000", unit: "us" },
    { name: "time", first: "1773519300000000000", unit: "ns" },
    { name: "time", first: "1000000001", unit: "s" },
    { name: "time", first: "4102444801", unit: null },
    { name: "time", first: "946684799000", unit: null },
    { name: "time", first: "946684801000", unit: "ms" },
    { name: "time", first: "123456789", unit: null },
    { name: "time ms", first: "1773519300000", unit: "ms" },
    { name: "time s", first: "1773519300000", unit: null },
    { name: "uptime", first: "1773519300000000", unit: null },
    { name: "boot ticks", first: "1773519300000000", unit: null },
    { name: "time", first: "2026-03-14T20:15:00Z", unit: null },
  ])("$name from $first counts from 1970 in $unit", ({ name, first, unit }) => {
    expect(epochUnit(column(name, [first, first]))).toBe(unit);
  });

  test.for([
    { step: 600_000, unit: "ms" },
    { step: 600_001, unit: null },
  ])("rows $step ms apart: $unit", ({ step, unit }) => {
    const cells = [0, 1, 2].map((i) => String(1_773_519_300_000 + i * step));
    expect(epochUnit(column("time", cells))).toBe(unit);
  });
});
