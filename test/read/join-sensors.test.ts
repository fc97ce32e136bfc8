import { describe, expect, test } from "vitest";
import { timeWeightedMean } from "../../src/measure/time-weighted-mean.ts";
import type { ByteSource, LogReading, LogSettings, SensorRole } from "../../src/read/log.ts";
import { readLog } from "../../src/read/read-log.ts";

function sourceOf(file: string, text: string): ByteSource {
  return {
    file,
    async *open() {
      yield new TextEncoder().encode(text);
    },
  };
}

function read(log: string, sensors: string | null, settings: LogSettings = {}): Promise<LogReading> {
  const beside = sensors === null ? null : sourceOf("pass-1.sensors.csv", sensors);
  return readLog(sourceOf("pass-1.csv", log), settings, beside);
}

/** 100 frames of 20 ms, so 2 s; the clock is each frame's end, 0 for the first. */
const frames = Array.from({ length: 100 }, (_, i) => i);
const seconds = (i: number): string => (i * 0.02).toFixed(3);
const elapsed = `elapsed_s,frame_time_ms\n${frames.map((i) => `${seconds(i)},20.00\n`).join("")}`;
const onDate = (s: number): string => new Date(Date.UTC(2026, 2, 14, 20, 15, 0) + s * 1000).toISOString();
const dated = `time,frame_time_ms\n${frames.map((i) => `${onDate(i * 0.02)},20.00\n`).join("")}`;

function meanOf({ log }: LogReading, role: SensorRole, fromS = 0, toS = 2): number | null {
  const series = log?.sensors.find((candidate) => candidate.role === role);
  return series === undefined ? null : timeWeightedMean(series, fromS, toS);
}

describe("a sensor log is put on the frames' own time", () => {
  // Worked by hand: the frames last from 0.02 s before the clock's zero. 30 W hold until the clock's 0.98 s, which is
  // 1 s after the first frame began, then 50 W: half the time each.
  test("by the elapsed time that both count", async () => {
    const reading = await read(elapsed, "elapsed_s,cpu_power_w\n-0.02,30\n0.98,50\n1.98,70\n");
    expect(meanOf(reading, "cpu-power")).toBeCloseTo(40, 9);
    expect(reading.problems).toEqual([]);
  });

  test("and is told how: its columns, its rows with a time, what joins them and which time it covers", async () => {
    const sensors = "elapsed_s;cpu_power_w;fan\n-0,02;30;1200\n0,98;50;1210\n\n1,98;70;1190\n";
    const { sensorLog } = await read(elapsed, sensors, { sensorOffsetS: 0.5 });
    expect(sensorLog).toMatchObject({
      file: "pass-1.sensors.csv",
      text: { delimiter: ";", decimalSign: ",", headerLine: 1 },
      rows: 3,
      joinedBy: "elapsed-time",
      offsetS: 0.5,
      columns: [
        { position: 1, name: "elapsed_s", role: "clock", unit: "s" },
        { position: 2, name: "cpu_power_w", role: "sensor", sensor: "cpu-power", unit: "W" },
        { position: 3, name: "fan", role: "not-used", evidence: [] },
      ],
    });
    // The first frame began 0.02 s before the clock's zero.
    expect(sensorLog?.fromS).toBeCloseTo(0.5, 9);
    expect(sensorLog?.toS).toBeCloseTo(2.5, 9);
    expect((await read(elapsed, "elapsed_s,cpu_power_w\n500,30\n501,50\n")).sensorLog?.joinedBy).toBe(
      "start",
    );
    expect((await read(elapsed, "sample,cpu_power_w\n1,30\n1,50\n")).sensorLog).toBeUndefined();
    expect((await read(elapsed, null)).sensorLog).toBeUndefined();
  });

  test("but for a sensor that the frames' own log has: that one is read with the frames", async () => {
    const log = elapsed.replace("frame_time_ms", "frame_time_ms,cpu_power_w").replaceAll("20.00", "20.00,60");
    const reading = await read(
      log,
      "elapsed_s,cpu_power_w,gpu_power_w\n-0.02,30,40\n0.98,50,40\n1.98,70,40\n",
    );
    expect(reading.log?.sensors.map(({ role }) => role)).toEqual(["cpu-power", "gpu-power"]);
    expect(meanOf(reading, "cpu-power")).toBe(60);
    expect(meanOf(reading, "gpu-power")).toBe(40);
  });

  test("by the date where both carry it", async () => {
    const sensors = `at,GPU power [W]\n${onDate(-0.02)},30\n${onDate(0.98)},50\n${onDate(1.98)},70\n`;
    const reading = await read(dated, sensors);
    // Seconds since 1970 leave a double a quarter of a microsecond.
    expect(meanOf(reading, "gpu-power")).toBeCloseTo(40, 5);
    expect(reading.log?.startedAt).toBe("2026-03-14T20:14:59.980Z");
  });

  test("in the unit that makes both logs as long, where none is stated", async () => {
    const reading = await read(elapsed, "t,CPU load (%)\n-20,30\n980,50\n1980,70\n");
    expect(meanOf(reading, "cpu-load")).toBeCloseTo(40, 9);
  });

  test("from a common start, with a note, where the clocks have nothing in common", async () => {
    const sensors = `at,CPU clock GHz\n${onDate(0)},3\n${onDate(1)},5\n${onDate(2)},7\n`;
    const reading = await read(elapsed, sensors);
    expect(meanOf(reading, "cpu-clock")).toBeCloseTo(4000, 6);
    expect(reading.problems.map(({ code, severity }) => [code, severity])).toEqual([
      ["sensor-clock-aligned", "note"],
    ]);
  });

  test("shifted by what the session says", async () => {
    const sensors = "elapsed_s,cpu_power_w\n-0.52,30\n0.48,50\n1.48,70\n";
    const reading = await read(elapsed, sensors, { sensorOffsetS: 0.5 });
    expect(meanOf(reading, "cpu-power")).toBeCloseTo(40, 9);
  });

  test("a log of another time is said to be one", async () => {
    const sensors = `at,cpu_power_w\n${onDate(500)},30\n${onDate(501)},50\n`;
    const reading = await read(dated, sensors);
    expect(meanOf(reading, "cpu-power")).toBeNull();
    expect(reading.problems.map(({ code }) => code)).toEqual(["sensor-log-elsewhere"]);
  });

  test.for([
    { what: "no table", sensors: "nothing here\n" },
    { what: "no clock", sensors: "cpu_power_w\n30\n31\n30\n" },
    { what: "no sensor", sensors: "elapsed_s,altitude\n0,4\n1,5\n" },
    { what: "nothing", sensors: "" },
  ])("a sensor log with $what costs the sensors, not the frames", async ({ sensors }) => {
    const { log, problems } = await read(elapsed, sensors);
    expect(log?.frameTimesMs.length).toBe(100);
    expect(problems.map(({ code, severity }) => [code, severity])).toEqual([
      ["sensor-log-unusable", "warning"],
    ]);
  });
});

describe("sensor columns are known by the part, the quantity and the unit in their names", () => {
  const columnsAre = (names: readonly string[], values: readonly (readonly string[])[]): string =>
    `frame_time_ms,${names.join(",")}\n${frames.map((i) => `20.00,${values.map((v) => v[i % v.length]).join(",")}\n`).join("")}`;

  test.for([
    { name: "package power [W]", values: ["45"], role: "cpu-power", mean: 45 },
    { name: "CPU Package Power (mW)", values: ["45000"], role: "cpu-power", mean: 45 },
    { name: "GPU board power W", values: ["120"], role: "gpu-power", mean: 120 },
    { name: "board power W", values: ["120"], role: null, mean: null },
    { name: "graphics_power_w", values: ["120", "130"], role: "gpu-power", mean: 125 },
    { name: "CPU freq GHz", values: ["4.1"], role: "cpu-clock", mean: 4100 },
    { name: "cpu_clock_mhz", values: ["4100"], role: "cpu-clock", mean: 4100 },
    { name: "cpu utilisation", values: ["0.25", "0.75"], role: "cpu-load", mean: 50 },
    { name: "GPU usage %", values: ["98"], role: "gpu-load", mean: 98 },
    { name: "CPU temperature [°F]", values: ["212"], role: "cpu-temperature", mean: 100 },
    { name: "GPU memory usage %", values: ["40"], role: null, mean: null },
    { name: "CPU power limit W", values: ["65"], role: null, mean: null },
    { name: "fan rpm", values: ["1200"], role: null, mean: null },
  ] as const)("$name", async ({ name, values, role, mean }) => {
    const reading = await read(columnsAre([name], [values]), null);
    expect(reading.log?.sensors.map((series) => series.role)).toEqual(role === null ? [] : [role]);
    if (role !== null) expect(meanOf(reading, role)).toBeCloseTo(mean, 9);
  });

  test("cores stand for the whole only where nothing else does", async () => {
    const cores = ["core0_mhz", "core1_mhz"];
    const values = [["4000"], ["4400"]];
    expect(meanOf(await read(columnsAre(cores, values), null), "cpu-clock")).toBeCloseTo(4200, 9);
    const both = await read(columnsAre([...cores, "cpu_clock_mhz"], [...values, ["4100"]]), null);
    expect(meanOf(both, "cpu-clock")).toBeCloseTo(4100, 9);
  });

  test("two that could be the same sensor are left out with a note, unless the session picks one", async () => {
    const log = columnsAre(["cpu power w", "processor power w"], [["40"], ["44"]]);
    const { log: left, problems } = await read(log, null);
    expect(left?.sensors).toEqual([]);
    expect(problems.map(({ code, severity }) => [code, severity])).toEqual([["sensor-unclear", "note"]]);
    const picked = await read(log, null, { sensors: { "cpu-power": { column: "processor power w" } } });
    expect(meanOf(picked, "cpu-power")).toBeCloseTo(44, 9);
    expect(picked.problems).toEqual([]);
  });

  test("a sensor that the session names and no log has is a warning", async () => {
    const { problems } = await read(elapsed, null, { sensors: { "cpu-power": { column: "watts" } } });
    expect(problems.map(({ code, severity }) => [code, severity])).toEqual([["sensor-missing", "warning"]]);
  });

  test("a value holds until it changes, to the last frame", async () => {
    const log = columnsAre(["cpu_power_w"], [frames.map((i) => (i < 50 ? "30" : "50"))]);
    const reading = await read(log, null);
    expect(meanOf(reading, "cpu-power")).toBeCloseTo(40, 9);
    expect(meanOf(reading, "cpu-power", 1.5, 2)).toBeCloseTo(50, 9);
  });
});
