import { describe, expect, test } from "vitest";
import { readLog } from "../../src/read/read-log.ts";

const lines = (...rows: readonly (string | readonly string[])[]): string => `${rows.flat().join("\n")}\n`;
const repeat = (count: number, row: (i: number) => string): string[] =>
  Array.from({ length: count }, (_, i) => row(i));
const read = (text: string) =>
  readLog(
    {
      file: "log.csv",
      async *open() {
        yield new TextEncoder().encode(text);
      },
    },
    {},
  );

// Frames and sums are worked by hand from the rows as written. Where all are whole milliseconds, that is coarse.
const cases: readonly {
  readonly situation: string;
  readonly text: string;
  readonly frames: number;
  readonly sumMs: number;
  readonly flags?: readonly string[];
}[] = [
  {
    situation: "frame times that a cap holds still, rising once more often than falling, are no clock",
    text: lines(
      "frame time (ms)",
      repeat(999, (i) => ((998 - i) % 50 === 0 ? "16.8" : "16.7")),
    ),
    frames: 999,
    sumMs: 979 * 16.7 + 20 * 16.8,
  },
  {
    situation: "a clock of whole seconds is one, although it stands still in 98 of 100 rows",
    text: lines(
      "elapsed_s,frame_ms",
      repeat(1800, (i) => `${Math.floor(((i % 900) * 20) / 1000)},20`),
    ),
    frames: 1800,
    sumMs: 36_000,
    flags: ["restarted"],
  },
  {
    situation: "three frame times that rise are no clock",
    text: lines("frame_ms", "10", "20", "30"),
    frames: 3,
    sumMs: 60,
  },
  {
    situation: "durations that rise beside a clock are its steps",
    text: lines("elapsed_s,ms", "0.0223,22.3", "0.0538,31.5"),
    frames: 2,
    sumMs: 53.8,
  },
  {
    situation: "a clock that reads the start of each of two frames fits them",
    text: lines("elapsed_s,frame_time_ms", "0.0000,27.2", "0.0272,28.3"),
    frames: 2,
    sumMs: 55.5,
  },
  {
    situation: "a table of another width above the log is passed over",
    text: lines(
      "fps avg,fps min,fps max",
      "60,40,70",
      "",
      "frame,frame_ms",
      repeat(50, (i) => `${i},20`),
    ),
    frames: 50,
    sumMs: 1000,
  },
  {
    situation: "rows that end with a delimiter need no name behind it",
    text: lines(
      "t_ms,frame_ms",
      repeat(50, (i) => `${(i + 1) * 20},20,`),
    ),
    frames: 50,
    sumMs: 1000,
  },
];

describe("what looks like a clock and is none, and the other way round", () => {
  test.for(cases)("$situation", async ({ text, frames, sumMs, flags = [] }) => {
    const { log } = await read(text);
    expect(log?.rows.frames).toBe(frames);
    expect(log?.frameTimesMs.reduce((sum, ms) => sum + ms, 0)).toBeCloseTo(sumMs, 6);
    expect(log?.flags.map(({ code }) => code)).toEqual(flags);
  });

  test("ticks of unknown length are a question, not microseconds", async () => {
    const ticks = repeat(60, (i) => String(8_812_345_678_901 + i * 166_667 + (i % 7) * 900));
    const { log, problems } = await read(lines("ticks", ticks));
    expect(log).toBeNull();
    expect(problems).toMatchObject([
      { code: "log-frame-time-unclear", why: "unit-unknown", severity: "error" },
    ]);
  });

  test("a power that goes up by one is no running number", async () => {
    const { log } = await read(lines("frame_ms,CPU package power (W)", "10,40", "20,41", "30,42"));
    expect(log?.sensors.map(({ role, values }) => ({ role, values: [...new Set(values)] }))).toEqual([
      { role: "cpu-power", values: [40, 41, 42] },
    ]);
  });
});
