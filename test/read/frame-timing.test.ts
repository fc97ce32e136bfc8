import { describe, expect, test } from "vitest";
import type { Log, LogSettings } from "../../src/read/log.ts";
import { readText, rowsOf } from "../support/read-text.ts";

/** Whole milliseconds that vary, 14 to 20, and when each frame ended. */
const times = Array.from({ length: 400 }, (_, i) => 14 + ((i * 5) % 7));
const endOf = (i: number): number => times.slice(0, i + 1).reduce((sum, ms) => sum + ms, 0);
const totalMs = endOf(399);

async function read(text: string, settings: LogSettings = {}): Promise<Log> {
  const { log, problems } = await readText(text, settings);
  if (log === null) throw new RangeError(`not read: ${problems.map(({ code }) => code).join()}`);
  return log;
}
const flagsOf = (log: Log) => log.flags.filter(({ code }) => code === "time-missing");
const isoOf = (ms: number): string => new Date(Date.UTC(2026, 2, 14, 20, 15) + ms).toISOString();
const seconds = (ms: number): string => (ms / 1000).toFixed(3);

describe("time that no frame accounts for is told by the clock", () => {
  /** A log whose clock runs on by so many milliseconds in the middle. */
  const withGap = (gapMs: number, side: "end" | "start" = "end", digits = 3): string =>
    `elapsed_s,frame_time_ms\n${rowsOf(400, (i) => {
      const clockMs = (side === "end" ? endOf(i) : endOf(i) - (times[i] ?? 0)) + (i >= 200 ? gapMs : 0);
      return `${(clockMs / 1000).toFixed(digits)},${times[i]}.0`;
    })}`;

  // The frames last 6.8 s: 0.5% are 34 ms, and the clock's own digits leave 2 ms.
  test.for([
    { gapMs: 0, isMissing: false },
    { gapMs: 20, isMissing: false },
    { gapMs: 33, isMissing: false },
    { gapMs: 40, isMissing: true },
    { gapMs: 1000, isMissing: true },
  ])("a gap of $gapMs ms in 6.8 s is missing: $isMissing", async ({ gapMs, isMissing }) => {
    for (const side of ["end", "start"] as const) {
      const log = await read(withGap(gapMs, side));
      expect(flagsOf(log).length, side).toBe(isMissing ? 1 : 0);
      expect(log.frameEndsS === null, side).toBe(!isMissing);
    }
  });

  test("both sums are over the whole frames", async () => {
    for (const side of ["end", "start"] as const) {
      const [flag] = flagsOf(await read(withGap(1000, side)));
      expect(flag).toEqual({
        code: "time-missing",
        frameSumS: expect.closeTo(totalMs / 1000, 9),
        clockSpanS: expect.closeTo(totalMs / 1000 + 1, 9),
      });
    }
  });

  test("frames end when the clock says so", async () => {
    for (const side of ["end", "start"] as const) {
      const { frameEndsS } = await read(withGap(1000, side));
      const found = [0, 1, 199, 200, 399].map((i) => frameEndsS?.[i] ?? Number.NaN);
      const expected = [0, 1, 199, 200, 399].map((i) => (endOf(i) + (i >= 200 ? 1000 : 0)) / 1000);
      for (const [k, s] of expected.entries()) expect(found[k], `${side} ${k}`).toBeCloseTo(s, 9);
    }
  });

  test("a clock that falls short is missing time as well", async () => {
    const text = `elapsed_s,frame_time_ms\n${rowsOf(400, (i) => `${seconds(endOf(i) - (i >= 200 ? 45 : 0))},${times[i]}.0`)}`;
    const log = await read(text);
    expect(flagsOf(log)).toHaveLength(1);
    // The clock went back by 45 ms less a frame: no frame ends before the one before it.
    expect(log.frameEndsS?.every((end, i, all) => i === 0 || end >= (all[i - 1] ?? 0))).toBe(true);
  });

  test("the clock's own digits are not held against it", async () => {
    // 43 ms in 6.8 s are beyond 0.5%, but not beyond two hundredths of a second on top of that.
    expect(flagsOf(await read(withGap(43, "end", 2)))).toEqual([]);
    expect(flagsOf(await read(withGap(43, "end", 3)))).toHaveLength(1);
    expect(flagsOf(await read(withGap(100, "end", 2)))).toHaveLength(1);
  });

  test("a time of day that passes midnight, goes back over it by a little and passes it again misses no day", async () => {
    const timeOf = (ms: number) => isoOf(ms + 13_500_000 - endOf(199)).slice(11, 23);
    const text = (hiccupMs: number) =>
      `time,frame_time_ms\n${rowsOf(400, (i) => `${timeOf(endOf(i) - (i === 201 ? hiccupMs : 0))},${times[i]}.0`)}`;
    expect(
      text(0)
        .split("\n")
        .slice(199, 203)
        .map((row) => row.slice(0, 6)),
    ).toEqual(["23:59:", "00:00:", "00:00:", "00:00:"]);
    expect(
      text(45)
        .split("\n")
        .slice(199, 203)
        .map((row) => row.slice(0, 6)),
    ).toEqual(["23:59:", "00:00:", "00:00:", "23:59:"]);
    for (const hiccupMs of [0, 45]) {
      const log = await read(text(hiccupMs));
      expect([log.rows.frames, log.flags]).toEqual([400, []]);
    }
  });

  test("a clock alone that prints the same twice gives no frame, one that falls a little gives none either", async () => {
    const odd: Readonly<Record<number, number>> = { 100: endOf(99), 200: endOf(199) - 10 };
    const { rows } = await read(
      `elapsed_s,scene\n${rowsOf(400, (i) => `${seconds(odd[i] ?? endOf(i))},quay`)}`,
    );
    expect(rows.notUsed).toEqual({
      "first reading of the clock": 1,
      "frame time zero or negative": 1,
      "clock went back": 1,
    });
  });

  test("steps of a clock miss nothing", async () => {
    const log = await read(
      `elapsed_s,scene\n${rowsOf(400, (i) => `${seconds(endOf(i) + (i >= 200 ? 1000 : 0))},quay`)}`,
    );
    expect(flagsOf(log)).toEqual([]);
    expect(log.frameEndsS).toBeNull();
  });

  test("without a clock there is nothing to compare", async () => {
    const log = await read(`frame_time_ms,scene\n${rowsOf(400, (i) => `${times[i]}.0,quay`)}`);
    expect([flagsOf(log), log.frameEndsS, log.startedAt]).toEqual([[], null, null]);
  });

  test("readings lost at the start and the end are bridged by the frames", async () => {
    for (const side of ["end", "start"] as const) {
      const rows = withGap(1000, side).split("\n");
      const holed = rows.map((row, i) =>
        i > 0 && (i <= 3 || i > 390) && row !== "" ? row.replace(/^[^,]*/, "") : row,
      );
      const log = await read(holed.join("\n"));
      expect(flagsOf(log)[0]).toMatchObject({ clockSpanS: expect.closeTo(totalMs / 1000 + 1, 9) });
      for (const i of [0, 2, 5, 300, 399])
        expect(log.frameEndsS?.[i], `${side} ${i}`).toBeCloseTo((endOf(i) + (i >= 200 ? 1000 : 0)) / 1000, 9);
    }
  });

  test("where frames were lost, the clock says when the others ended", async () => {
    const text = `elapsed_s,frame_time_ms\n${rowsOf(400, (i) => `${seconds(endOf(i))},${i === 200 ? "NaN" : `${times[i]}.0`}`)}`;
    const log = await read(text);
    expect(log.rows.frames).toBe(399);
    expect(flagsOf(log)).toEqual([]);
    expect(log.frameEndsS?.[199]).toBeCloseTo(endOf(199) / 1000, 9);
    expect(log.frameEndsS?.[200]).toBeCloseTo(endOf(201) / 1000, 9);
  });
});

describe("the start of a capture is that of its first frame", () => {
  const dated = (print: (i: number) => string, name = "at"): string =>
    `${name},frame_time_ms\n${rowsOf(400, (i) => `${print(i)},${times[i]}.0`)}`;

  test("by the date at each frame's end, less the first frame", async () => {
    const log = await read(dated((i) => isoOf(endOf(i))));
    expect(log.startedAt).toBe(isoOf(0));
  });

  test("by the date at each frame's start", async () => {
    const log = await read(dated((i) => isoOf(endOf(i) - (times[i] ?? 0))));
    expect(log.startedAt).toBe(isoOf(0));
  });

  test("by seconds or milliseconds since 1970", async () => {
    const epochMs = Date.UTC(2026, 2, 14, 20, 15);
    expect((await read(dated((i) => String(epochMs + endOf(i))))).startedAt).toBe(isoOf(0));
    expect((await read(dated((i) => ((epochMs + endOf(i)) / 1000).toFixed(3)))).startedAt).toBe(isoOf(0));
  });

  test("by seconds since 1970 with a decimal comma", async () => {
    const epochMs = Date.UTC(2026, 2, 14, 20, 15);
    const comma = (ms: number): string => (ms / 1000).toFixed(3).replace(".", ",");
    const text = `at;frame_time_ms\n${rowsOf(400, (i) => `${comma(epochMs + endOf(i))};${comma(1000 * (times[i] ?? 0))}`)}`;
    expect((await read(text)).startedAt).toBe(isoOf(0));
  });

  test("by the date alone, whose first reading begins the first frame", async () => {
    const log = await read(`at,scene\n${rowsOf(400, (i) => `${isoOf(endOf(i))},quay`)}`);
    expect(log.rows.frames).toBe(399);
    expect(log.startedAt).toBe(isoOf(endOf(0)));
  });

  test("not that of a row before it, whose frame was lost", async () => {
    const log = await read(dated((i) => isoOf(endOf(i))).replace(`,${times[0]}.0\n`, ",0.0\n"));
    expect(log.rows.frames).toBe(399);
    expect(log.startedAt).toBe(isoOf(endOf(0)));
  });

  test("by a date beside the clock", async () => {
    const text = `day,elapsed_s,frame_time_ms\n${rowsOf(400, (i) => `${isoOf(endOf(i))},${seconds(endOf(i))},${times[i]}.0`)}`;
    expect((await read(text)).startedAt).toBe(isoOf(0));
  });

  test("not by a date whose middle number is no month", async () => {
    const log = await read(dated((i) => isoOf(endOf(i)).replace("2026-03-14T", "2026-14-03 ").slice(0, 23)));
    expect(log.rows.frames).toBe(400);
    expect(log.startedAt).toBeNull();
  });

  test("not by a time of day", async () => {
    const log = await read(dated((i) => isoOf(endOf(i)).slice(11, 23)));
    expect(log.startedAt).toBeNull();
  });

  test("not by a number of seconds that no calendar has", async () => {
    const { startedAt } = await read(dated((i) => (i === 0 ? "1e300" : isoOf(endOf(i)))));
    expect(startedAt).toBeNull();
  });
});
