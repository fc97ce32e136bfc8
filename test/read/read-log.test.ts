import { existsSync, readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { timeWeightedMean } from "../../src/measure/time-weighted-mean.ts";
import type { ByteSource, FrameTimeUnit, LogSettings } from "../../src/read/log.ts";
import { readLog } from "../../src/read/read-log.ts";

interface ExpectedCandidate {
  readonly column: string;
  readonly unit: string;
  readonly averageFps: number;
}

/** Written by test/reference/log-fixtures.py (CPython, decimal.Decimal) from the generator's own frame times. */
interface Expected {
  readonly about: string;
  readonly log: string;
  readonly settings: LogSettings;
  readonly frames?: number;
  readonly seconds?: number;
  readonly averageFps?: number;
  readonly read?: number;
  readonly notUsed?: Record<string, number>;
  readonly flags?: readonly string[];
  readonly startedAt?: string;
  readonly sensors?: Record<string, number>;
  readonly fewerFramesThan?: number;
  readonly problem?: string;
  readonly line?: number;
  readonly column?: number;
  readonly candidates?: readonly ExpectedCandidate[];
  readonly streams?: readonly {
    readonly name: string;
    readonly frames: number;
    readonly averageFps: number;
  }[];
}

const root = "fixtures/logs";
const fixtures = readdirSync(root)
  .sort()
  .map((name) => {
    const expected = JSON.parse(readFileSync(`${root}/${name}/expected.json`, "utf8")) as Expected;
    return { name, expected, about: expected.about };
  });

function sourceOf(file: string): ByteSource {
  return {
    file,
    async *open() {
      yield readFileSync(file);
    },
  };
}

async function readFixture(name: string, expected: Expected) {
  const sensors = `${root}/${name}/pass-1.sensors.csv`;
  const sensorSource = existsSync(sensors) ? sourceOf(sensors) : null;
  return readLog(sourceOf(`${root}/${name}/${expected.log}`), expected.settings, sensorSource);
}

/** Sums in another order and steps of printed clocks round differently in the last digits. */
const closeTo = (value: number): number => 1e-9 * Math.abs(value);

const readable = fixtures.filter(({ expected }) => expected.frames !== undefined);
const refused = fixtures.filter(({ expected }) => expected.problem !== undefined);

describe("a log is read by evidence alone", () => {
  test.for(readable)("$name: $about", async ({ name, expected }) => {
    const { log, problems } = await readFixture(name, expected);
    expect(problems.filter(({ severity }) => severity === "error")).toEqual([]);
    expect(log).not.toBeNull();
    if (log === null) return;
    const seconds = log.frameTimesMs.reduce((sum, ms) => sum + ms, 0) / 1000;
    expect(log.rows).toEqual({
      read: expected.read,
      frames: expected.frames,
      notUsed: expected.notUsed,
    });
    expect(log.frameTimesMs.length).toBe(expected.frames);
    expect(Math.abs(seconds - (expected.seconds ?? 0))).toBeLessThan(closeTo(seconds));
    expect(Math.abs(log.frameTimesMs.length / seconds - (expected.averageFps ?? 0))).toBeLessThan(
      closeTo(60),
    );
    expect(log.flags.map(({ code }) => code).sort()).toEqual(expected.flags);
    if (expected.startedAt !== undefined) expect(log.startedAt).toBe(expected.startedAt);
    for (const [role, mean] of Object.entries(expected.sensors ?? {})) {
      const series = log.sensors.find((candidate) => candidate.role === role);
      const found = series === undefined ? null : timeWeightedMean(series, 0, seconds);
      expect(found, role).not.toBeNull();
      expect(Math.abs((found ?? 0) - mean), role).toBeLessThan(closeTo(mean));
    }
  });

  test("a compressed log that stops early gives the frames it holds", async () => {
    const { name, expected } = fixtures.find(
      (fixture) => fixture.name === "gzip-cut",
    ) as (typeof fixtures)[0];
    const { log } = await readFixture(name, expected);
    expect(log?.frameTimesMs.length).toBeGreaterThan(1000);
    expect(log?.frameTimesMs.length).toBeLessThan(expected.fewerFramesThan ?? 0);
    expect(log?.flags.map(({ code }) => code)).toEqual(expected.flags);
  });
});

describe("a log that could be read in two ways, or not at all, stops with its reasons", () => {
  test.for(refused)("$name: $about", async ({ name, expected }) => {
    const { log, problems } = await readFixture(name, expected);
    expect(log).toBeNull();
    const problem = problems.find(({ severity }) => severity === "error");
    expect(problem?.code).toBe(expected.problem);
    if (expected.line !== undefined) expect(problem?.at.line).toBe(expected.line);
    if (expected.column !== undefined) expect(problem?.at.column).toBe(expected.column);
    if (problem?.code === "log-frame-time-unclear") {
      expect(problem.candidates.map(({ column, unit }) => `${column} ${unit}`).sort()).toEqual(
        expected.candidates?.map(({ column, unit }) => `${column} ${unit}`).sort(),
      );
      for (const { column, unit, averageFps } of expected.candidates ?? []) {
        const found = problem.candidates.find((c) => c.column === column && c.unit === unit);
        expect(Math.abs((found?.avgFps ?? 0) - averageFps)).toBeLessThan(closeTo(averageFps));
        // The answer that the message offers must be one.
        const settings: LogSettings = { frameTime: { column, unit: unit as FrameTimeUnit } };
        const answered = await readFixture(name, { ...expected, settings });
        expect(answered.log?.frameTimesMs.length).toBeGreaterThan(100);
      }
    }
    if (problem?.code === "log-streams") {
      expect(problem.streams.length).toBe(expected.streams?.length);
      for (const { name: stream, frames, averageFps } of expected.streams ?? []) {
        const found = problem.streams.find((part) => part.name === stream);
        expect(found?.frames).toBe(frames);
        const settings: LogSettings = { stream: { column: problem.column, equals: stream } };
        const answered = await readFixture(name, { ...expected, settings });
        expect(answered.log?.frameTimesMs.length).toBe(frames);
        expect(Math.abs((found?.avgFps ?? 0) - averageFps)).toBeLessThan(closeTo(averageFps));
      }
    }
  });
});
