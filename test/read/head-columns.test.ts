import { describe, expect, test } from "vitest";
import { isTruncatedCell, takeMedian } from "../../src/read/head-columns.ts";
import { headOf, repeat } from "../support/head-of.ts";

/** The second of two columns; the first is a running number, so that any cell may stand in the second. */
const column = (cells: readonly string[], name = "value") => {
  const found = headOf(
    `no;${name}`,
    repeat(cells.length, (i) => `${i};${cells[i]}`),
  )[1];
  if (found === undefined) throw new RangeError("no second column");
  return found;
};

describe("a column holds what most of its cells hold", () => {
  test.for([
    { cells: ["", "", ""], kind: "empty" },
    { cells: ["NaN", "-", "n/a"], kind: "empty" },
    { cells: ["1", "2", "quay"], kind: "number" },
    { cells: ["1", "2", "quay", "dusk"], kind: "text" },
    { cells: ["1", "", "NaN"], kind: "number" },
    { cells: ["1", "quay", "dusk"], kind: "text" },
    { cells: ["1:00", "2:00", "quay"], kind: "moment" },
    { cells: ["1:00", "2:00", "3", "4"], kind: "text" },
    { cells: ["1:00", "2", "3"], kind: "number" },
  ])("$cells: $kind", ({ cells, kind }) => {
    expect(column(cells).kind).toBe(kind);
  });

  test("a cell without a number has no value", () => {
    expect([...column(["1.5", "quay", "", "2.5", "NaN", "3", "3"]).values]).toEqual([
      1.5,
      Number.NaN,
      Number.NaN,
      2.5,
      Number.NaN,
      3,
      3,
    ]);
  });

  test("texts are counted, also those that come again", () => {
    expect([...column(["quay", "quay", "dusk", "", "quay", "NaN", "NaN"]).texts]).toEqual([
      ["quay", 3],
      ["dusk", 1],
      ["NaN", 2],
    ]);
  });

  test("up to forty different ones", () => {
    const texts = (count: number): number =>
      column(repeat(count, (i) => `scene ${String.fromCharCode(65 + i)}`)).texts.size;
    expect([texts(39), texts(40), texts(41), texts(60)]).toEqual([39, 40, 40, 40]);
  });
});

describe("the unit is that of the cells, else of the name", () => {
  test.for([
    { name: "time", cells: ["16 ms", "17 ms", "18 ms"], timeUnit: "ms", otherUnit: null },
    { name: "time (s)", cells: ["16 ms", "17 ms", "18"], timeUnit: "ms", otherUnit: null },
    { name: "time (s)", cells: ["16 ms", "17", "18"], timeUnit: "s", otherUnit: null },
    { name: "time (s)", cells: ["16 ms", "17 ms", "18", "19"], timeUnit: "s", otherUnit: null },
    { name: "time (s)", cells: ["16", "17", "18"], timeUnit: "s", otherUnit: null },
    { name: "power", cells: ["16 W", "17 W", "18 W"], timeUnit: null, otherUnit: "W" },
    { name: "power (mW)", cells: ["16", "17", "18"], timeUnit: null, otherUnit: "mW" },
    { name: "minutes", cells: ["1:00", "2:00", "3:00"], timeUnit: "s", otherUnit: null },
    { name: "", cells: ["16", "17", "18"], timeUnit: null, otherUnit: null },
  ])("$name over $cells", ({ name, cells, timeUnit, otherUnit }) => {
    expect(column(cells, name)).toMatchObject({ timeUnit, otherUnit });
  });

  test("a line of units counts as part of the names", () => {
    const [, time, power] = headOf(
      "no,time,power",
      ",[ms],[W]",
      repeat(5, (i) => `${i},16.${i},40`),
    );
    expect([time?.name, time?.timeUnit, time?.words]).toEqual(["time", "ms", ["time", "ms"]]);
    expect([power?.name, power?.otherUnit]).toEqual(["power", "W"]);
  });
});

describe("counts are worth what the name or the line of units says", () => {
  test("in the unit that it names", () => {
    const counts = column(["170000", "160001", "180000"], "frame time (100 ns)");
    expect(counts).toMatchObject({ timeUnit: "ns", multiple: 100, precision: 100, clockBase: 0 });
    expect([...counts.values]).toEqual([17_000_000, 16_000_100, 18_000_000]);
    expect(counts.shape).toMatchObject({ median: 17_000_000, min: 16_000_100, max: 18_000_000 });
    const [, beside] = headOf(
      "no,time",
      ",[100 ns]",
      repeat(5, (i) => `${i},${160_000 + i}`),
    );
    expect([beside?.multiple, beside?.values[1]]).toEqual([100, 16_000_100]);
  });

  test("also on a clock of more digits than a double holds", () => {
    const { clock, clockBase } = column(["17735193000000001", "17735193000000008"], "time (100 ns)");
    expect([...clock]).toEqual([0, 700]);
    expect(clockBase).toBeCloseTo(17_735_193e11, -3);
  });

  test("but only where it is a number of a time", () => {
    expect(column(["16", "17"], "power 100 (W)").multiple).toBe(1);
    expect(column(["1:00", "2:00"], "time (100 ns)")).toMatchObject({ multiple: 1, timeUnit: "s" });
    expect(column(["16", "17"], "frame time (ms)")).toMatchObject({ multiple: 1, precision: 1 });
  });
});

describe("hours, minutes and seconds are a clock, or lengths of time", () => {
  const cell = (ms: number): string => `00:00:${(ms / 1000).toFixed(3).padStart(6, "0")}`;
  const spans = (values: readonly number[], name = "value") => {
    const { isSpans, kind, values: read } = column(values.map(cell), name);
    expect(kind).toBe(isSpans ? "number" : "moment");
    if (isSpans) expect([...read].map((s) => Math.round(1000 * s))).toEqual(values);
    return isSpans;
  };
  const many = (value: (i: number) => number): number[] => Array.from({ length: 41 }, (_, i) => value(i));

  test.for<{ what: string; values: number[]; name?: string; is: boolean }>([
    { what: "that fall as often as they rise", values: many((i) => 16 + (i % 2)), is: true },
    { what: "that go on", values: many((i) => 16 * (i + 1)), is: false },
    { what: "that never change", values: many(() => 16), is: true },
    { what: "that fall once in ten", values: many((i) => 16 + (i % 10)), is: false },
    { what: "that fall once in eight", values: many((i) => 16 + (i % 8)), is: true },
    {
      what: "that rise by little, of a frame's time",
      values: many((i) => 50 + i),
      name: "frame time",
      is: true,
    },
    { what: "that rise by little, of nothing said", values: many((i) => 50 + i), is: false },
    { what: "that rise by little, of a clock", values: many((i) => 50 + i), name: "elapsed time", is: false },
    { what: "that rise to twice as much", values: many((i) => 40 + i), name: "frame time", is: false },
    { what: "of up to ten seconds", values: many((i) => 10_000 - (i % 2)), is: true },
    { what: "of more than ten seconds", values: many((i) => 10_001 - (i % 2)), is: false },
    { what: "that begin with nothing", values: many((i) => i % 2), is: false },
  ])("$what: lengths $is", ({ values, name, is }) => {
    expect(spans(values, name)).toBe(is);
  });
});

describe("the precision is the last digit that any cell prints", () => {
  test.for([
    { cells: ["16", "17"], precision: 1 },
    { cells: ["16.7", "17.25", "18"], precision: 0.01 },
    { cells: ["1.5e-3", "1.6e-3"], precision: 1e-4 },
    { cells: ["1.25e1", "1.5e1"], precision: 0.1 },
    { cells: ["2e3", "3e3"], precision: 1 },
    { cells: ["20:15:01.250", "20:15:01"], precision: 1e-3 },
    { cells: ["quay.late", "16.7", "17.1"], precision: 0.1 },
    { cells: ["16,75", "17,2"], precision: 0.01 },
  ])("$cells: $precision", ({ cells, precision }) => {
    expect(column(cells).precision).toBeCloseTo(precision, 12);
  });

  // A cell with fewer digits than its column's others is cut off, where the others are alike.
  test.for([
    { what: "all alike", cells: repeat(4, (i) => `16.7${i}`), fewest: 2 },
    { what: "too few to tell", cells: repeat(3, (i) => `16.7${i}`), fewest: null },
    { what: "all but one alike", cells: ["16.7", ...repeat(4, (i) => `16.7${i}`)], fewest: 2 },
    { what: "all but two alike", cells: ["16.7", "16.8", ...repeat(4, (i) => `16.7${i}`)], fewest: null },
    { what: "whole numbers", cells: repeat(10, (i) => `${i}`), fewest: null },
    { what: "mostly whole numbers", cells: [...repeat(10, (i) => `${i}`), "1.5"], fewest: null },
    {
      what: "many, hardly any of which print one digit",
      cells: repeat(300, (i) =>
        i === 7 ? "16.7" : i % 10 === 0 ? `16.7${1 + (i % 9)}` : `16.77${1 + (i % 9)}`,
      ),
      fewest: 2,
    },
    {
      what: "many, of which two in a hundred print one digit",
      cells: repeat(300, (i) => (i % 50 === 7 ? "16.7" : i % 10 === 0 ? "16.75" : "16.775")),
      fewest: 1,
    },
    {
      what: "many, of which two in a hundred print none",
      cells: repeat(300, (i) => (i % 50 === 7 ? "16" : i % 10 === 0 ? "16.75" : "16.775")),
      fewest: null,
    },
    {
      what: "too few of which some print one digit",
      cells: repeat(150, (i) => (i % 50 === 7 ? "16.7" : i % 10 === 0 ? "16.75" : "16.775")),
      fewest: null,
    },
  ])("fewest digits of a whole cell: $what", ({ cells, fewest }) => {
    expect(column(cells).fewestDecimals).toBe(fewest);
  });

  test.for([
    { cell: "16.7", fewest: 2, isCut: true },
    { cell: "16.75", fewest: 2, isCut: false },
    { cell: "16.751", fewest: 2, isCut: false },
    { cell: "16", fewest: null, isCut: false },
  ])("$cell where whole cells print $fewest is cut: $isCut", ({ cell, fewest, isCut }) => {
    expect(isTruncatedCell(cell, fewest, ".")).toBe(isCut);
  });
});

describe("how the numbers go on from row to row", () => {
  test.for([
    {
      cells: ["1", "2", "3", "5"],
      shape: {
        count: 4,
        median: 2.5,
        min: 1,
        max: 5,
        whole: true,
        risingShare: 1,
        fallingShare: 0,
        medianStep: 1,
      },
    },
    {
      cells: ["4", "1", "NaN", "1", "2.5", "8.5"],
      shape: {
        count: 5,
        median: 2.5,
        min: 1,
        max: 8.5,
        whole: false,
        risingShare: 0.5,
        fallingShare: 0.25,
        medianStep: 3.75,
      },
    },
    {
      cells: ["7", "", ""],
      shape: { count: 1, median: 7, min: 7, max: 7, risingShare: 0, fallingShare: 0, stepOneShare: 0 },
    },
    { cells: ["-2", "-1", "1", "2"], shape: { min: -2, max: 2, median: 0, stepOneShare: 2 / 3 } },
  ])("$cells", ({ cells, shape }) => {
    expect(column(cells).shape).toMatchObject(shape);
  });

  test("no numbers have no size", () => {
    const { shape } = column(["quay", "dusk", "quay"]);
    expect([shape.count, shape.median, shape.min, shape.max, shape.medianStep]).toEqual([
      0,
      Number.NaN,
      Number.NaN,
      Number.NaN,
      Number.NaN,
    ]);
  });

  test("of dates, the moments count", () => {
    const { shape, clock, clockBase, dated, values } = column([
      "2026-03-14 20:15:00",
      "2026-03-14 20:15:02.5",
    ]);
    expect(shape).toMatchObject({ count: 2, risingShare: 1, medianStep: 2.5 });
    expect([...clock]).toEqual([0, 2.5]);
    expect([clockBase, dated]).toEqual([1_773_519_300, true]);
    expect([...values]).toEqual([Number.NaN, Number.NaN]);
    expect(column(["20:15:00", "20:15:01"]).dated).toBe(false);
  });

  test("numbers too long for a double keep their last digits as a clock", () => {
    const { clock, clockBase } = column(["1773519300000000001", "", "1773519300000000008"]);
    expect([...clock]).toEqual([0, Number.NaN, 7]);
    expect(clockBase).toBe(Number(1_773_519_300_000_000_001n));
    expect([...column(["quay", "dusk"]).clock]).toEqual([Number.NaN, Number.NaN]);
    expect(column(["1", "2"]).clockBase).toBe(0);
    expect(column(["1", "2"]).dated).toBe(false);
  });

  test.for([
    { values: [], median: Number.NaN },
    { values: [3], median: 3 },
    { values: [4, 1], median: 2.5 },
    { values: [9, 1, 5], median: 5 },
    { values: [9, 1, 5, 7, 5, 2], median: 5 },
    { values: [-9, -1, -5, -7], median: -6 },
  ])("the median of $values is $median", ({ values, median }) => {
    expect(takeMedian(Float64Array.from(values))).toBe(median);
  });
});
