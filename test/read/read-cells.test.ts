import { describe, expect, test } from "vitest";
import { compareWithClock } from "../../src/read/compare-with-clock.ts";
import { nameWords } from "../../src/read/name-words.ts";
import { ClockReader } from "../../src/read/read-clock.ts";
import { minuteForm, readMoment } from "../../src/read/read-moment.ts";
import { decimalsOf, readNumber } from "../../src/read/read-number.ts";

describe("a number is read as printed", () => {
  test.for([
    { cell: "16.7", sign: ".", value: 16.7 },
    { cell: "16,7", sign: ",", value: 16.7 },
    { cell: "16.7", sign: ",", value: 16.7 },
    { cell: "1,234.5", sign: ".", value: 1234.5 },
    { cell: "1.234,5", sign: ",", value: 1234.5 },
    { cell: "12,345,678", sign: ".", value: 12_345_678 },
    { cell: "1 234,5", sign: ",", value: 1234.5 },
    { cell: "1.67e+1", sign: ".", value: 16.7 },
    { cell: "-.5", sign: ".", value: -0.5 },
    { cell: "+5.", sign: ".", value: 5 },
    { cell: "16.7 ms", sign: ".", value: 16.7 },
    { cell: "16.7 milliseconds", sign: ".", value: 16.7 },
    { cell: "14448473 nanoseconds", sign: ".", value: 14_448_473 },
    { cell: "16,7 msecs", sign: ",", value: 16.7 },
    { cell: "16700 µs", sign: ".", value: 16_700 },
    { cell: "45%", sign: ".", value: 45 },
  ] as const)("$cell with the decimal sign $sign is $value", ({ cell, sign, value }) => {
    expect(readNumber(cell, sign)).toBe(value);
  });

  test.for(["", "NaN", "inf", "0x10", "1,23,4", "1.2.3", "--1", "fast", "1e", "16,7.8,9", "1_000", " "])(
    "%j is no number",
    (cell) => {
      expect(readNumber(cell, ".")).toBeNaN();
    },
  );

  test("decimals are counted behind the log's own sign", () => {
    expect([
      decimalsOf("16.70", "."),
      decimalsOf("16,700", ","),
      decimalsOf("16", "."),
      decimalsOf("1.5e3", "."),
    ]).toEqual([2, 3, 0, 1]);
  });
});

describe("a moment is read as ISO 8601 prints it", () => {
  // RFC 3339, section 5.8, whose text says that the second is 1996-12-20T00:39:57Z; seconds by `date -u -d ... +%s`.
  test.for([
    { cell: "1985-04-12T23:20:50.52Z", seconds: 482_196_050.52 },
    { cell: "1996-12-19T16:39:57-08:00", seconds: 851_042_397 },
    { cell: "1996-12-20T00:39:57Z", seconds: 851_042_397 },
    { cell: "1990-12-31T23:59:60Z", seconds: 662_688_000 },
    { cell: "1937-01-01T12:00:27.87+00:20", seconds: -1_041_337_172.13 },
  ])("$cell", ({ cell, seconds }) => {
    const moment = readMoment(cell);
    expect(moment?.dated).toBe(true);
    expect((moment?.wholeS ?? 0) + (moment?.fractionS ?? 0)).toBeCloseTo(seconds, 6);
  });

  test.for([
    { cell: "20:15:01.250", seconds: 72_901.25 },
    { cell: "01:23.456", seconds: 83.456 },
    { cell: "12:00:01 AM", seconds: 1 },
    { cell: "14.03.2026 20:15:01", seconds: 72_901 },
  ])("$cell tells the time and not the day", ({ cell, seconds }) => {
    const moment = readMoment(cell);
    expect(moment?.dated).toBe(false);
    expect((moment?.wholeS ?? 0) + (moment?.fractionS ?? 0)).toBeCloseTo(seconds, 9);
  });

  test.for(["16.7", "2026-03-14", "a:b:c", "2026-13-45T99:99:99Z", ":"])("%j is no moment", (cell) => {
    expect(readMoment(cell)).toBeNull();
  });
});

describe("the minute of a moment", () => {
  test.for([
    { cell: "2026-03-14T20:15:01.123456Z", prefix: "2026-03-14T20:15:", suffix: "Z", seconds: 1 },
    { cell: "2026/3/14 20:15:01,5 +01:00", prefix: "2026/3/14 20:15:", suffix: " +01:00", seconds: 1 },
    { cell: "14.03.2026 20:15:59", prefix: "14.03.2026 20:15:", suffix: "", seconds: 59 },
    { cell: "8:15:22 pm", prefix: "8:15:", suffix: " pm", seconds: 22 },
    { cell: "01:23.456", prefix: "01:", suffix: "", seconds: 23 },
  ])("of $cell", ({ cell, ...form }) => {
    expect(minuteForm(cell)).toEqual(form);
    // Every other second of that minute lies as many seconds from it.
    const at = readMoment(cell)?.wholeS ?? Number.NaN;
    for (const other of [0, 9, 30, 59]) {
      const like = `${form.prefix}${String(other).padStart(2, "0")}.25${form.suffix}`;
      expect(readMoment(like)).toMatchObject({ wholeS: at + other - form.seconds, fractionS: 0.25 });
    }
  });

  test.for([
    "2026-03-14T20:15Z",
    "14.03.2026 20:15",
    "8:15 pm",
    "1990-12-31T23:59:60Z",
    "12.5",
    "20:15:01\u00a0PM",
    `20:15:01${" ".repeat(41)}`,
    "",
  ])("%j has none that is sure", (cell) => {
    expect(minuteForm(cell)).toBeNull();
  });
});

describe("a clock keeps digits that a double cannot hold", () => {
  test("nanoseconds since 1970 differ by single nanoseconds", () => {
    const clock = new ClockReader(false, ".");
    const readings = ["1773519300000000000", "1773519300000000001", "1773519300016700003"].map((cell) =>
      clock.read(cell),
    );
    expect(readings).toEqual([0, 1, 16_700_003]);
  });

  test("seconds since 1970 with nine decimals", () => {
    const clock = new ClockReader(false, ".");
    const readings = ["1773519300.000000001", "1773519301.000000003"].map((cell) => clock.read(cell));
    expect(readings[0]).toBeCloseTo(1e-9, 15);
    expect(readings[1]).toBeCloseTo(1.000000003, 12);
  });

  test("a time of day goes on past midnight", () => {
    const clock = new ClockReader(true, ".");
    const readings = ["23:59:59.500", "00:00:00.250"].map((cell) => clock.read(cell));
    expect((readings[1] ?? 0) - (readings[0] ?? 0)).toBeCloseTo(0.75, 9);
  });
});

describe("a name is taken apart into words", () => {
  test.for([
    { name: "FrameTime(ms)", words: ["frame", "time", "ms"] },
    { name: "frame_time_ms", words: ["frame", "time", "ms"] },
    { name: "frametime", words: ["frame", "time"] },
    { name: "dt [s]", words: ["dt", "s"] },
    { name: "Duration µs", words: ["duration", "us"] },
    { name: "GPU0 Clock (MHz)", words: ["gpu", "0", "clock", "mhz"] },
    { name: "CPU load %", words: ["cpu", "load", "pct"] },
    { name: "cpuTemp[°C]", words: ["cpu", "temp", "deg", "c"] },
    { name: "\u001b[31mframe time", words: ["frame", "time"] },
    { name: "status", words: ["status"] },
    { name: "", words: [] },
  ])("$name", ({ name, words }) => {
    expect(nameWords(name)).toEqual(words);
  });
});

describe("durations are compared with a clock's steps", () => {
  const lengths = Float64Array.from({ length: 40 }, (_, i) => 16 + ((i * 7) % 5));
  const ends = lengths.map((_, i) => lengths.slice(1, i + 1).reduce((sum, x) => sum + x, 0) / 1000);
  const starts = lengths.map((_, i) => lengths.slice(0, i).reduce((sum, x) => sum + x, 0) / 1000);

  test("a clock at the frames' ends agrees without lag, in its own unit", () => {
    const agreement = compareWithClock(lengths, 1, ends, 1e-6);
    expect(agreement).toMatchObject({ ratio: 0.001, ratioIsUnit: true, lag: 0, rowShare: 1 });
  });

  test("a clock at the frames' starts agrees one row later", () => {
    expect(compareWithClock(lengths, 0.001, starts, 1e-6)).toMatchObject({
      ratio: 0.001,
      lag: 1,
      rowShare: 1,
    });
  });

  test("a part of the frame does not agree", () => {
    const parts = lengths.map((length, i) => length * (0.4 + ((i * 13) % 7) / 20));
    expect(compareWithClock(parts, 0.001, ends, 1e-6)?.rowShare).toBeLessThan(0.3);
  });

  test("a coarse clock is compared over several rows", () => {
    const coarse = ends.map((end) => Math.floor(end * 20) / 20);
    const agreement = compareWithClock(lengths, 0.001, coarse, 0.05);
    expect(agreement?.rowsTogether).toBeGreaterThan(5);
    expect(agreement?.rowShare).toBe(1);
  });

  test("nothing to compare gives null", () => {
    expect(compareWithClock(new Float64Array(0), 1, new Float64Array(0), 1)).toBeNull();
    expect(compareWithClock(Float64Array.of(1, 2), 1, Float64Array.of(Number.NaN, 3), 1)).toBeNull();
  });
});
