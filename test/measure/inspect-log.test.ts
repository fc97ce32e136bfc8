import { describe, expect, test } from "vitest";
import { compareLogs, type Inspection, inspectLog } from "../../src/measure/inspect-log.ts";
import type { ColumnReading } from "../../src/read/log.ts";
import { logOf } from "../support/log-of.ts";

const plain = { lows: "percentile", trim: null } as const;
const column = (position: number, role: ColumnReading["role"], name: string | null, unit: string | null) =>
  ({ position, role, name, unit, sensor: null, evidence: [] }) satisfies ColumnReading;

const usual = [column(1, "counter", "frame", null), column(2, "frame-time", "frame_time", "ms")];

/** How a log was read, as far as comparing it with others goes. */
function inspection(file: string, change: Partial<Inspection> = {}): Inspection {
  const { text, rows } = logOf([10]);
  return {
    format: "runjury.inspection/1",
    file,
    text,
    columns: usual,
    rows,
    sensorLog: null,
    lows: "percentile",
    figures: null,
    flags: [],
    ...change,
  };
}

describe("one log", () => {
  test("that could not be read has its text and columns, no rows and no figures", () => {
    const { text } = logOf([]);
    expect(inspectLog("a.csv", { log: null, text, columns: usual, problems: [] }, plain)).toEqual({
      format: "runjury.inspection/1",
      file: "a.csv",
      text,
      columns: usual,
      sensorLog: null,
      lows: "percentile",
      rows: null,
      figures: null,
      flags: [],
    });
  });

  test("has its frames, seconds and frame rates, inside the window that was asked for", () => {
    const log = logOf([...new Array(500).fill(10), ...new Array(500).fill(20)]);
    const reading = { log, text: log.text, columns: usual, problems: [] };
    const whole = inspectLog("a.csv", reading, plain);
    expect(whole).toMatchObject({ rows: log.rows, columns: usual, text: log.text });
    // 500 frames of 10 ms and 500 of 20 ms: 15 s.
    expect(whole.figures).toEqual({
      frames: 1000,
      seconds: 15,
      avgFps: 1000 / 15,
      low1Fps: 50,
      low01Fps: null,
      cpuPowerW: null,
      gpuPowerW: null,
      cpuClockMhz: null,
      cpuLoadPct: null,
      gpuLoadPct: null,
      cpuTempC: null,
      gpuTempC: null,
    });
    const window = inspectLog("a.csv", reading, { lows: "percentile", trim: { skipS: 1, keepS: 4 } });
    expect(window.figures).toMatchObject({ frames: 400, seconds: 4, avgFps: 100 });
  });
});

test("one log has the flags of its reading, of too few frames in the window, and of sensors that fell silent", () => {
  const missing = { code: "time-missing", frameSumS: 10, clockSpanS: 12 } as const;
  const atS = new Float64Array([0, 1]);
  const log = {
    ...logOf(new Array(1000).fill(10)),
    flags: [missing],
    // Known for the first second of ten.
    sensors: [{ role: "cpu-power", unit: "W", column: "p", atS, values: new Float64Array([50, Number.NaN]) }],
  } as const;
  const reading = { log, text: log.text, columns: usual, problems: [] };
  expect(inspectLog("a.csv", reading, plain).flags).toEqual([
    missing,
    expect.objectContaining({ code: "few-frames", metric: "low1Fps", frames: 1000 }),
    expect.objectContaining({ code: "few-frames", metric: "low01Fps", frames: 1000 }),
    { code: "sensor-gap", roles: ["cpu-power"], heardPct: 10, isCounted: false },
  ]);
});

test("one log has the time-weighted means of its sensors, over the window that was asked for", () => {
  const log = {
    ...logOf([...new Array(500).fill(10), ...new Array(500).fill(20)]),
    sensors: [
      {
        role: "gpu-temperature",
        unit: "°C",
        column: "gpu",
        atS: Float64Array.of(0, 5, 15),
        values: Float64Array.of(60, 66, 66),
      },
    ] as const,
  };
  const reading = { log, text: log.text, columns: usual, problems: [] };
  // 5 s at 60 and 10 s at 66; in the window of 4 s behind the first second, 60 throughout.
  expect(inspectLog("a.csv", reading, plain).figures?.gpuTempC).toBe(64);
  const trim = { skipS: 1, keepS: 4 };
  expect(inspectLog("a.csv", reading, { lows: "percentile", trim }).figures).toMatchObject({
    gpuTempC: 60,
    cpuPowerW: null,
  });
});

describe("the logs of a folder", () => {
  const semicolons = logOf([10]).text && { ...logOf([10]).text, delimiter: ";" as const };

  test("are grouped by how they were read, the largest group being the usual one", () => {
    const clocked = [column(1, "clock", null, null), column(3, "frame-rate", "fps", "FPS")];
    const found = compareLogs([
      inspection("a.csv", { text: semicolons }),
      inspection("b.csv"),
      inspection("c.csv", { columns: clocked }),
      inspection("d.csv"),
      inspection("e.csv", { text: null, columns: [], rows: null }),
      inspection("f.csv", { text: { ...semicolons, headerLine: null } }),
    ]);
    expect(found).toEqual({
      format: "runjury.log-comparison/1",
      logs: 6,
      usual: {
        traits: [
          'text: utf-8, delimiter ",", decimal sign "."',
          "header: yes",
          "frame-time: column 2 (frame_time), ms",
        ],
        files: ["b.csv", "d.csv"],
      },
      others: [
        {
          traits: [
            'text: utf-8, delimiter ";", decimal sign "."',
            "header: yes",
            "frame-time: column 2 (frame_time), ms",
          ],
          files: ["a.csv"],
        },
        {
          traits: [
            'text: utf-8, delimiter ",", decimal sign "."',
            "header: yes",
            "clock: column 1 (no name), no unit",
            "frame-rate: column 3 (fps), FPS",
          ],
          files: ["c.csv"],
        },
        {
          traits: [
            'text: utf-8, delimiter ";", decimal sign "."',
            "header: none",
            "frame-time: column 2 (frame_time), ms",
          ],
          files: ["f.csv"],
        },
      ],
      notRead: ["e.csv"],
    });
  });

  test("of which none could be read have no usual way", () => {
    const found = compareLogs([inspection("a.csv", { rows: null })]);
    expect(found).toMatchObject({ usual: { traits: [], files: [] }, others: [], notRead: ["a.csv"] });
    expect(compareLogs([])).toMatchObject({ logs: 0, usual: { traits: [], files: [] }, notRead: [] });
  });

  test("differ in a sensor that one of them lacks", () => {
    const power = { ...column(3, "sensor", "cpu_power_w", "W"), sensor: "cpu-power" as const };
    const withPower = inspection("a.csv", { columns: [...usual, power] });
    const found = compareLogs([withPower, { ...withPower, file: "b.csv" }, inspection("c.csv")]);
    expect(found.usual.traits.at(-1)).toBe("cpu-power: column 3 (cpu_power_w), W");
    expect(found.others.map(({ files }) => files)).toEqual([["c.csv"]]);
  });

  test("read without a table differ in nothing but their columns", () => {
    const found = compareLogs([inspection("a.csv", { text: null }), inspection("b.csv", { text: null })]);
    expect(found.usual).toEqual({
      traits: ["frame-time: column 2 (frame_time), ms"],
      files: ["a.csv", "b.csv"],
    });
  });
});
