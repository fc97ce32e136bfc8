import { describe, expect, test } from "vitest";
import { ClockReader } from "../../src/read/read-clock.ts";
import { readMoment } from "../../src/read/read-moment.ts";
import {
  decimalsOf,
  isDigitAt,
  readCellUnit,
  readNumber,
  readPlainDigits,
} from "../../src/read/read-number.ts";

describe("digits with a point are read without a pattern, as exactly as JavaScript reads them", () => {
  test.for([
    "0",
    "16",
    "16.67",
    "16.",
    "007.5",
    "0.1",
    "123456789012345",
    "12345678901234.5",
    "0.00000000000001",
    "9.99999999999999",
  ])("%s", (cell) => {
    expect(readPlainDigits(cell)).toBe(Number(cell));
    expect(readNumber(cell, ".")).toBe(Number(cell));
  });

  test.for([
    "",
    ".5",
    "-1",
    "1.2.3",
    "1/2",
    "1:2",
    "1e3",
    "1 ",
    "1234567890123456",
    "1234567890123456.5",
    "123456789012.34567",
  ])("%j is left to others", (cell) => {
    expect(readPlainDigits(cell)).toBeNaN();
  });

  test("more digits than a double holds are read as the nearest one", () => {
    for (const cell of ["12345678901234567890.5", "0.1234567890123456789"])
      expect(readNumber(cell, ".")).toBe(Number(cell));
  });

  test("a digit is one of ten, and nothing lies beyond the end", () => {
    expect([..."0123456789"].every((digit) => isDigitAt(digit, 0))).toBe(true);
    expect(["/", ":", "a", " "].some((other) => isDigitAt(other, 0))).toBe(false);
    expect([isDigitAt("12", 1), isDigitAt("12", 2), isDigitAt("12", -1)]).toEqual([true, false, false]);
  });
});

describe("groups, decimal signs and units are read in the log's own way", () => {
  const groups = (count: number): string => `1${",000".repeat(count)}`;
  test.for<{ cell: string; sign: "." | ","; value: number }>([
    { cell: "1 234.5", sign: ".", value: 1234.5 },
    { cell: "1 234,5", sign: ".", value: 1234.5 },
    { cell: "1'234'567", sign: ".", value: 1_234_567 },
    { cell: "1\u202f234", sign: ".", value: 1234 },
    { cell: "-1,234", sign: ".", value: -1234 },
    { cell: "1,234e3", sign: ".", value: 1_234_000 },
    { cell: "1,234 W", sign: ".", value: 1234 },
    { cell: groups(15), sign: ".", value: 1e45 },
    { cell: `${groups(15)}.00`, sign: ".", value: 1e45 },
    { cell: "1.234.567", sign: ",", value: 1_234_567 },
    { cell: "1.234.567,25", sign: ",", value: 1_234_567.25 },
    { cell: "1 234 567,25", sign: ",", value: 1_234_567.25 },
    { cell: "1'234", sign: ",", value: 1234 },
    { cell: "1.234", sign: ",", value: 1.234 },
    { cell: "-1,5", sign: ",", value: -1.5 },
    { cell: "1,5e-3", sign: ",", value: 0.0015 },
    { cell: "16,7 ms", sign: ",", value: 16.7 },
    { cell: "16.7ms", sign: ".", value: 16.7 },
    { cell: "2e3 us", sign: ".", value: 2000 },
    { cell: "-5 s", sign: ".", value: -5 },
    { cell: "61 °C", sign: ".", value: 61 },
  ])("$cell with the sign $sign is $value", ({ cell, sign, value }) => {
    expect(readNumber(cell, sign)).toBe(value);
  });

  test.for<{ cell: string; sign: "." | "," }>([
    { cell: groups(16), sign: "." },
    { cell: "16.7 frames", sign: "." },
    { cell: "ms", sign: "." },
    { cell: "16,75", sign: "." },
    { cell: "1,234,567", sign: "," },
    { cell: "1,5,5", sign: "," },
    { cell: "1 5", sign: "," },
    { cell: "1 5", sign: "." },
    { cell: "", sign: "," },
    { cell: "1.23.456", sign: "," },
    { cell: "fast", sign: "," },
  ])("$cell with the sign $sign is no number", ({ cell, sign }) => {
    expect(readNumber(cell, sign)).toBeNaN();
  });

  test.for([
    { cell: "16.7 ms", unit: "ms" },
    { cell: "45%", unit: "%" },
    { cell: "60 FPS", unit: "FPS" },
    { cell: "16.7", unit: "" },
    { cell: "fast", unit: "" },
    { cell: "16.7 frames", unit: "" },
    { cell: "", unit: "" },
    { cell: `1${"0".repeat(60)} s`, unit: "s" },
    { cell: `1${"0".repeat(70)} s`, unit: "" },
  ])("the unit in $cell is $unit", ({ cell, unit }) => {
    expect(readCellUnit(cell)).toBe(unit);
  });

  test.for<{ cell: string; sign: "." | ","; decimals: number }>([
    { cell: "16.70", sign: ".", decimals: 2 },
    { cell: "16,70", sign: ",", decimals: 2 },
    { cell: "16.70", sign: ",", decimals: 2 },
    { cell: "1.234,5", sign: ",", decimals: 1 },
    { cell: "1,234", sign: ".", decimals: 0 },
    { cell: "1,234.5 W", sign: ".", decimals: 1 },
    { cell: "16,70 ms", sign: ",", decimals: 2 },
    { cell: "16.70 ms", sign: ",", decimals: 2 },
    { cell: "16.", sign: ".", decimals: 0 },
    { cell: "16", sign: ",", decimals: 0 },
    { cell: "16 ms", sign: ".", decimals: 0 },
    { cell: ".5", sign: ".", decimals: 1 },
    { cell: ",5", sign: ",", decimals: 1 },
    { cell: "ms", sign: ".", decimals: 0 },
    { cell: "", sign: ".", decimals: 0 },
  ])("$cell with the sign $sign prints $decimals decimals", ({ cell, sign, decimals }) => {
    expect(decimalsOf(cell, sign)).toBe(decimals);
  });
});

describe("a moment has a date or none, and as many digits as are printed", () => {
  // Seconds since 1970 by `date -u -d "<the same in ISO 8601>" +%s`.
  test.for([
    { cell: "2026-03-14T20:15:00Z", wholeS: 1_773_519_300 },
    { cell: "2026/3/14 20:15", wholeS: 1_773_519_300 },
    { cell: "2026-03-14 20:15:00 UTC", wholeS: 1_773_519_300 },
    { cell: "2026-03-14t20:15:00z", wholeS: 1_773_519_300 },
    { cell: "2026-03-14T21:45:00+01:30", wholeS: 1_773_519_300 },
    { cell: "2026-03-14T21:45:00+0130", wholeS: 1_773_519_300 },
    { cell: "2026-03-14T18:45:00 -01:30", wholeS: 1_773_519_300 },
    { cell: "2026-03-14T24:00:00Z", wholeS: 1_773_532_800 },
    { cell: "2026-03-14T20:59:59Z", wholeS: 1_773_521_999 },
  ])("$cell", ({ cell, wholeS }) => {
    expect(readMoment(cell)).toEqual({ wholeS, fractionS: 0, decimals: 0, dated: true });
  });

  test.for([
    { cell: "2026-03-14T20:15:00.125Z", wholeS: 1_773_519_300, fractionS: 0.125, decimals: 3, dated: true },
    { cell: "2026-03-14 20:15:00,50", wholeS: 1_773_519_300, fractionS: 0.5, decimals: 2, dated: true },
    { cell: "0:07", wholeS: 7, fractionS: 0, decimals: 0, dated: false },
    { cell: "1:02.5", wholeS: 62, fractionS: 0.5, decimals: 1, dated: false },
    { cell: "1:02:03", wholeS: 3723, fractionS: 0, decimals: 0, dated: false },
    { cell: "100:00:00,25", wholeS: 360_000, fractionS: 0.25, decimals: 2, dated: false },
    { cell: "01:02:03 PM", wholeS: 46_923, fractionS: 0, decimals: 0, dated: false },
    { cell: "12:00:01 pm", wholeS: 43_201, fractionS: 0, decimals: 0, dated: false },
    { cell: "12:00:01 am", wholeS: 1, fractionS: 0, decimals: 0, dated: false },
    { cell: "11:59:59.5 AM", wholeS: 43_199, fractionS: 0.5, decimals: 1, dated: false },
    { cell: "3/14/2026 1:02:03", wholeS: 3723, fractionS: 0, decimals: 0, dated: false },
    // Beside a date or a half of the day two parts are hours and minutes, as ISO 8601 has them beside a date.
    { cell: "14.03.2026 1:02", wholeS: 3720, fractionS: 0, decimals: 0, dated: false },
    { cell: "1:02 ", wholeS: 62, fractionS: 0, decimals: 0, dated: false },
    { cell: "1:02 PM", wholeS: 46_920, fractionS: 0, decimals: 0, dated: false },
    { cell: "2026-03-14T20:15Z", wholeS: 1_773_519_300, fractionS: 0, decimals: 0, dated: true },
    { cell: "2026-03-14 21:15 UTC", wholeS: 1_773_522_900, fractionS: 0, decimals: 0, dated: true },
    { cell: "2026-03-14T21:45:00+0130", wholeS: 1_773_519_300, fractionS: 0, decimals: 0, dated: true },
    { cell: "2026-03-13T24:00:00Z", wholeS: 1_773_446_400, fractionS: 0, decimals: 0, dated: true },
    // No month has the number 14 or 0: the parts of the date stand in another order.
    { cell: "2026-14-03 1:02:03", wholeS: 3723, fractionS: 0, decimals: 0, dated: false },
    { cell: "2026/00/14 1:02:03", wholeS: 3723, fractionS: 0, decimals: 0, dated: false },
    { cell: "2026-03-32 1:02:03", wholeS: 3723, fractionS: 0, decimals: 0, dated: false },
  ])("$cell", ({ cell, ...moment }) => {
    expect(readMoment(cell)).toEqual(moment);
  });

  test.for([
    "2026-03-14T25:00:00Z",
    "2026-03-14T20:60:00Z",
    ":07",
    "7:",
    "1:2:3",
    "1:02 noon",
    "x 1:02",
    `${"0".repeat(45)}1:02`,
    `2026-03-14T20:15:00.${"1".repeat(12)}${" ".repeat(20)}Z`,
  ])("%j is none", (cell) => {
    expect(readMoment(cell)).toBeNull();
  });
});

describe("a clock's readings are counted from its first", () => {
  const readAll = (clock: ClockReader, cells: readonly string[]): number[] =>
    cells.map((cell) => clock.read(cell));

  test.for<{
    what: string;
    sign: "." | ",";
    cells: readonly string[];
    base: number;
    readings: readonly number[];
  }>([
    {
      what: "small numbers as they stand",
      sign: ".",
      cells: ["0.5", "1.25"],
      base: 0,
      readings: [0.5, 1.25],
    },
    {
      what: "a date in seconds",
      sign: ".",
      cells: ["1773519300.5", "1773519301.25"],
      base: 1_773_519_300,
      readings: [0.5, 1.25],
    },
    {
      what: "just below a thousand million",
      sign: ".",
      cells: ["999999999.5"],
      base: 0,
      readings: [999_999_999.5],
    },
    {
      what: "a thousand million",
      sign: ".",
      cells: ["1000000000", "1000000002"],
      base: 1e9,
      readings: [0, 2],
    },
    { what: "far below zero", sign: ".", cells: ["-1000000000", "-999999998"], base: -1e9, readings: [0, 2] },
    {
      what: "long ones after a short one",
      sign: ".",
      cells: ["999999999999999", "1000000000000000001"],
      base: 999_999_999_999_999,
      readings: [0, 999e15],
    },
    {
      what: "long ones after a small one",
      sign: ".",
      cells: ["5", "1000000000000000"],
      base: 0,
      readings: [5, 1e15],
    },
    {
      what: "long ones with a decimal comma",
      sign: ",",
      cells: ["1773519300,000000001", "1773519300,500000001"],
      base: 1_773_519_300,
      readings: [1e-9, 0.500000001],
    },
    {
      what: "parted thousands in a long cell",
      sign: ".",
      cells: ["1,773,519,300,000"],
      base: 1_773_519_300_000,
      readings: [0],
    },
    {
      what: "what is no number",
      sign: ".",
      cells: ["", "late", "1e999", "1773519300.5"],
      base: 1_773_519_300,
      readings: [Number.NaN, Number.NaN, Number.NaN, 0.5],
    },
    {
      what: "words beside long numbers",
      sign: ".",
      cells: ["no 1773519300000", "1773519300000 late", "1773519300000late", "1773519300,000001", "7"],
      base: 0,
      readings: [Number.NaN, Number.NaN, Number.NaN, Number.NaN, 7],
    },
  ])("$what", ({ sign, cells, base, readings }) => {
    const clock = new ClockReader(false, sign);
    const found = readAll(clock, cells);
    expect(clock.base).toBe(base);
    for (const [i, reading] of readings.entries()) {
      if (Number.isNaN(reading)) expect(found[i]).toBeNaN();
      // A printed nanosecond of a second's fraction is 1e-9; a double near 1 holds 1e-16.
      else expect(Math.abs((found[i] as number) - reading)).toBeLessThan(1e-12 * Math.max(1, reading));
    }
  });

  test("a number that was read already is taken as it is", () => {
    const clock = new ClockReader(false, ".");
    expect(clock.read("not looked at", 12.5)).toBe(12.5);
    expect(clock.read("", Number.NaN)).toBeNaN();
  });

  test("a time of day goes on past every midnight, but not after a small step back", () => {
    const clock = new ClockReader(true, ".");
    expect(readAll(clock, ["23:00:00", "22:59:59", "01:00:00", "13:00:00", "00:30:00"])).toEqual([
      0,
      -1,
      2 * 3600,
      14 * 3600,
      25.5 * 3600,
    ]);
    expect(clock.dated).toBe(false);
  });

  test.for([
    {
      what: "a small step back over midnight",
      times: ["23:59:59", "00:00:01", "23:59:58"],
      readings: [0, 2, -1],
    },
    {
      what: "midnight again behind it",
      times: ["23:59:59", "00:00:01", "23:59:58.5", "00:00:02"],
      readings: [0, 2, -0.5, 3],
    },
    {
      what: "one reading of midnight where the time was not known",
      times: ["20:00:00", "00:00:00", "20:00:01"],
      readings: [0, 4 * 3600, 1],
    },
    {
      what: "twelve hours ahead, which may be a pause",
      times: ["23:59:59", "00:00:01", "12:00:01"],
      readings: [0, 2, 12 * 3600 + 2],
    },
    {
      what: "more than twelve hours ahead of the first day",
      times: ["01:00:00", "23:00:00"],
      readings: [0, 22 * 3600],
    },
  ])("a time of day is of the day that lies nearest: $what", ({ times, readings }) => {
    expect(readAll(new ClockReader(true, "."), times)).toEqual(readings);
  });

  test("twelve hours back is a log of another time, more is the next day", () => {
    expect(readAll(new ClockReader(true, "."), ["18:00:00", "06:00:00"])).toEqual([0, -12 * 3600]);
    expect(readAll(new ClockReader(true, "."), ["18:00:00.25", "06:00:00.5"])).toEqual([
      0.25,
      0.5 - 12 * 3600,
    ]);
    expect(readAll(new ClockReader(true, "."), ["18:00:00", "05:59:59"])).toEqual([0, 12 * 3600 - 1]);
  });

  test("a date that falls is no midnight", () => {
    const clock = new ClockReader(true, ".");
    expect(readAll(clock, ["2026-03-14T23:00:00Z", "2026-03-14T01:00:00Z", "?"])).toEqual([
      0,
      -22 * 3600,
      Number.NaN,
    ]);
    expect(clock.dated).toBe(true);
    expect(clock.base).toBe(1_773_529_200);
    clock.read("01:00:00");
    expect(clock.dated).toBe(false);
  });

  test.for([
    { what: "short cells and small numbers", moments: false, longest: 14, first: 999_999_999, needs: false },
    { what: "cells of more digits than a double holds", moments: false, longest: 15, first: 1, needs: true },
    {
      what: "numbers that leave no digits for the fraction",
      moments: false,
      longest: 10,
      first: 1e9,
      needs: true,
    },
    { what: "such numbers below zero", moments: false, longest: 11, first: -1e9, needs: true },
    { what: "dates", moments: true, longest: 8, first: Number.NaN, needs: true },
    { what: "no number at all", moments: false, longest: 3, first: Number.NaN, needs: false },
  ])("cells are read anew for $what: $needs", ({ moments, longest, first, needs }) => {
    const clock = new ClockReader(moments, ".");
    expect(clock.needsCells(longest, Float64Array.of(Number.NaN, first, 1))).toBe(needs);
  });

  test("how its cells are read is handed on where 64 bits hold the base, and for the minute of the last moment", () => {
    const formOf = (moments: boolean, cell: string) => {
      const clock = new ClockReader(moments, ".");
      clock.read(cell);
      return clock.form;
    };
    expect(new ClockReader(false, ".").form).toBeNull();
    expect(new ClockReader(true, ".").form).toBeNull();
    expect(formOf(false, "12.5")).toEqual({ base: 0n });
    expect(formOf(false, "1773519300.5")).toEqual({ base: 1_773_519_300n });
    expect(formOf(false, "1773519300000000001")).toEqual({ base: 1_773_519_300_000_000_001n });
    expect(formOf(false, "9223372036854775807")).toEqual({ base: 9_223_372_036_854_775_807n });
    expect(formOf(false, "9223372036854775808")).toBeNull();
    // Readings count from the whole seconds of the first one.
    expect(formOf(true, "20:15:07.5")).toEqual({ prefix: "20:15:", suffix: "", seconds: 7, minuteS: -7 });
    expect(formOf(true, "?")).toBeNull();
    expect(formOf(true, "14.03.2026 20:15")).toBeNull();
  });

  test("a reading that others have read tells whether the next one has passed midnight", () => {
    const clock = new ClockReader(true, ".");
    expect(clock.read("10:00:00")).toBe(0);
    clock.passOver(13.9 * 3600);
    expect(clock.read("00:00:01")).toBe(14 * 3600 + 1);
  });
});
