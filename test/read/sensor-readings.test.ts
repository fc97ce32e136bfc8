import { describe, expect, test } from "vitest";
import type { LogReading, LogSettings, SensorRole } from "../../src/read/log.ts";
import { readLog } from "../../src/read/read-log.ts";
import { fileOf, readText, rowsOf } from "../support/read-text.ts";

/** 100 frames of 20 ms, 2 s in all, which begin at the clock's zero. */
const frames = (columns: string, cells: (i: number) => string) =>
  `elapsed_s,frame_time_ms,${columns}\n${rowsOf(100, (i) => `${((i + 1) * 0.02).toFixed(2)},20.00,${cells(i)}`)}`;
const plain = `elapsed_s,frame_time_ms\n${rowsOf(100, (i) => `${((i + 1) * 0.02).toFixed(2)},20.00`)}`;

/** A sensor's readings: the second of each, rounded to microseconds, and its value. */
function readingsOf({ log }: LogReading, role: SensorRole): [number, number][] | null {
  const series = log?.sensors.find((candidate) => candidate.role === role);
  if (series === undefined) return null;
  return [...series.atS].map((at, i) => [Math.round(at * 1e6) / 1e6, series.values[i] as number]);
}

/** The same of a sensor log, without the marks around it that say from when to when its readings hold. */
function loggedOf(reading: LogReading, role: SensorRole): [number, number][] {
  const [silence, held, ...readings] = readingsOf(reading, role) ?? [];
  const end = readings.pop();
  expect([silence?.[1], end?.[1]]).toEqual([Number.NaN, Number.NaN]);
  expect(held?.[1]).toBe(readings[0]?.[1]);
  return readings;
}

describe("sensors in the log itself hold from the start of their frame to the next change", () => {
  test.for<{ it: string; cells: (i: number) => string; readings: [number, number][] }>([
    {
      it: "a steady one, to the last frame",
      cells: () => "40.0",
      readings: [
        [0, 40],
        [1.98, 40],
      ],
    },
    {
      it: "one that changes",
      cells: (i) => (i < 30 ? "40.0" : "50.0"),
      readings: [
        [0, 40],
        [0.6, 50],
        [1.98, 50],
      ],
    },
    {
      it: "one that is not printed in every row",
      cells: (i) => (i === 10 ? "40.0" : i === 60 ? "50.0" : i === 80 ? "50.0" : ""),
      readings: [
        [0.2, 40],
        [1.2, 50],
        [1.98, 50],
      ],
    },
    {
      it: "one that changes in the last frame",
      cells: (i) => (i < 99 ? "40.0" : "50.0"),
      readings: [
        [0, 40],
        [1.98, 50],
        [1.98, 50],
      ],
    },
    {
      it: "one that prints words between its numbers",
      cells: (i) => (i === 20 || i === 30 ? "n/a" : i < 50 ? "40.0" : "45.0"),
      readings: [
        [0, 40],
        [1, 45],
        [1.98, 45],
      ],
    },
  ])("$it", async ({ cells, readings }) => {
    const reading = await readText(frames("cpu power [W]", cells));
    expect(readingsOf(reading, "cpu-power")).toEqual(readings);
    expect(reading.log?.sensors).toMatchObject([{ unit: "W", column: "cpu power [W]" }]);
  });

  // 5 s, or five readings as they usually come: as in a sensor log of its own.
  test.for<{ it: string; cells: (i: number) => string; readings: [number, number][] }>([
    {
      it: "one that stops",
      cells: (i) => (i < 200 ? "40.0" : ""),
      readings: [
        [0, 40],
        [14.95, Number.NaN],
      ],
    },
    {
      it: "one that pauses and says the same again",
      cells: (i) => (i <= 200 || i >= 400 ? "40.0" : ""),
      readings: [
        [0, 40],
        [15, Number.NaN],
        [20, 40],
        [29.95, 40],
      ],
    },
    {
      it: "one that pauses and says something else",
      cells: (i) => (i <= 200 ? "40.0" : i >= 400 ? "55.0" : "-"),
      readings: [
        [0, 40],
        [15, Number.NaN],
        [20, 55],
        [29.95, 55],
      ],
    },
    {
      it: "one that pauses for just 5 s",
      cells: (i) => (i <= 200 || i >= 300 ? "40.0" : ""),
      readings: [
        [0, 40],
        [29.95, 40],
      ],
    },
    {
      it: "one that is read every 4 s: each reading holds for 20 s",
      cells: (i) => (i % 80 === 0 && (i <= 160 || i >= 480) ? String(40 + i / 80) : ""),
      readings: [
        [0, 40],
        [4, 41],
        [8, 42],
        [24, 46],
        [28, 47],
        [29.95, 47],
      ],
    },
  ])("no longer than a reading holds over blank cells: $it", async ({ cells, readings }) => {
    const text = `elapsed_s,frame_time_ms,cpu power [W]\n${rowsOf(600, (i) => `${((i + 1) * 0.05).toFixed(2)},50.00,${cells(i)}`)}`;
    expect(readingsOf(await readText(text), "cpu-power")).toEqual(readings);
    const careful = await readLog(fileOf("pass-1.csv", text), {}, null, { isCareful: true });
    expect(readingsOf(careful, "cpu-power")).toEqual(readings);
  });

  test("one that prints no number at all is no sensor", async () => {
    expect((await readText(frames("cpu power [W]", () => ""))).log?.sensors).toEqual([]);
  });

  test("in the unit of their quantity", async () => {
    const reading = await readText(frames("cpu power [mW],GPU temp [°F]", (i) => `${40_000 + i},212`));
    expect(readingsOf(reading, "cpu-power")?.[2]).toEqual([0.04, 40.002]);
    expect(readingsOf(reading, "gpu-temperature")?.[0]?.[1]).toBeCloseTo(100, 9);
  });

  test.for([
    { unit: "MHz", scale: 1 },
    { unit: "GHz", scale: 1000 },
  ])("as the mean of the cores that print one, in $unit", async ({ unit, scale }) => {
    const print = (mhz: number) => (mhz / scale).toFixed(3);
    const text = frames(`core 0 clock [${unit}],core 1 clock [${unit}]`, (i) => {
      if (i < 20) return `${print(4000)},${print(4400)}`;
      if (i < 40) return `,${print(4400)}`;
      return i < 60 ? "," : `${print(4100)},${print(4500)}`;
    });
    for (const lines of [text, text.replaceAll(",", ";").replaceAll(".", ",")]) {
      const reading = await readText(lines);
      const readings = readingsOf(reading, "cpu-clock")?.map(([at, mhz]) => [
        at,
        Math.round(mhz * 1e6) / 1e6,
      ]);
      expect(readings).toEqual([
        [0, 4200],
        [0.4, 4400],
        [1.2, 4300],
        [1.98, 4300],
      ]);
      expect(reading.log?.sensors[0]?.column).toBe(`core 0 clock [${unit}], core 1 clock [${unit}]`);
    }
  });

  test("as the mean of the cores that print one, in degrees Fahrenheit", async () => {
    const reading = await readText(frames("core 0 temp [°F],core 1 temp [°F]", () => "212,32"));
    // NIST SP 811, section B.8: 122 degrees Fahrenheit are 50 degrees Celsius.
    expect(readingsOf(reading, "cpu-temperature")?.[0]?.[1]).toBeCloseTo(50, 9);
  });

  test.for<{ it: string; second: (i: number) => string; readings: [number, number][] }>([
    {
      it: "with the value from before it where it still holds",
      second: (i) => (i < 25 ? "" : "60.0"),
      readings: [
        [0, 45],
        [0.5, 60],
        [0.98, 60],
      ],
    },
    {
      it: "with the value of its own first frame",
      second: () => "60.0",
      readings: [
        [0, 60],
        [0.98, 60],
      ],
    },
  ])("within the stretch that counts, $it", async ({ second, readings }) => {
    const part = (power: (i: number) => string) =>
      rowsOf(50, (i) => `${((i + 1) * 0.02).toFixed(2)},20.00,${power(i)}`);
    const text = `elapsed_s,frame_time_ms,cpu power [W]\n${part((i) => (i < 20 ? "40.0" : "45.0"))}${part(second)}`;
    expect(readingsOf(await readText(text, { segment: 1 }), "cpu-power")).toEqual([
      [0, 40],
      [0.4, 45],
      [0.98, 45],
    ]);
    expect(readingsOf(await readText(text, { segment: 2 }), "cpu-power")).toEqual(readings);
  });

  test("as long as every row prints the same", async () => {
    const row = (i: number) => `${((i + 1) * 0.1).toFixed(1)},100.0,${i < 400 ? "40.0" : "50.0"}`;
    const text = `elapsed_s,frame_time_ms,cpu power [W]\n${rowsOf(600, row)}`;
    expect(readingsOf(await readText(text), "cpu-power")).toEqual([
      [0, 40],
      [40, 50],
      [59.9, 50],
    ]);
  });

  test("none where the stretch that counts has no reading yet", async () => {
    const columns = "elapsed_s,frame_time_ms,cpu power [W]\n";
    const row = (i: number) => `${((i + 1) * 0.02).toFixed(2)},20.00,${i < 15 ? "" : "60.0"}`;
    const text = columns + rowsOf(10, row) + columns + rowsOf(50, (i) => row(i + 10));
    expect((await readText(text, { segment: 1 })).log?.sensors).toEqual([]);
    expect(readingsOf(await readText(text, { segment: 2 }), "cpu-power")).toEqual([
      [0.1, 60],
      [0.98, 60],
    ]);
  });

  test("on the clock where frames were lost", async () => {
    const text = frames("cpu power [W]", (i) => (i < 50 ? "40.0" : "50.0")).replace("0.40,20.00", "0.40,");
    // Frame 20 is lost: what follows it stays where the clock says.
    expect(readingsOf(await readText(text), "cpu-power")).toEqual([
      [0, 40],
      [1, 50],
      [1.98, 50],
    ]);
  });

  test("their columns say so", async () => {
    const { columns } = await readText(frames("cpu power [W],gpu power,scene", () => "40.0,90.0,a"));
    expect(columns.map(({ name, role, sensor, unit }) => [name, role, sensor, unit])).toEqual([
      ["elapsed_s", "clock", null, "s"],
      ["frame_time_ms", "frame-time", null, "ms"],
      ["cpu power [W]", "sensor", "cpu-power", "W"],
      ["gpu power", "sensor", "gpu-power", "W"],
      ["scene", "not-used", null, null],
    ]);
    expect(columns[2]?.evidence.at(-1)).toEqual({
      favours: true,
      text: "its name states the part, the quantity and the unit",
    });
  });

  test("a column that is something else already stays that", async () => {
    const settings: LogSettings = { sensors: { "cpu-power": { column: "elapsed_s" } } };
    expect((await readText(plain, settings)).columns.map(({ role }) => role)).toEqual([
      "clock",
      "frame-time",
    ]);
  });

  test("two that could be one are named", async () => {
    const { problems } = await readText(frames("cpu power [W],processor power [W]", () => "40.0,44.0"));
    expect(problems).toEqual([
      {
        code: "sensor-unclear",
        severity: "note",
        at: { file: "pass-1.csv" },
        role: "cpu-power",
        columns: ["cpu power [W]", "processor power [W]"],
      },
    ]);
  });
});

describe("a sensor log beside it", () => {
  const join = (sensors: string | Uint8Array, settings: LogSettings = {}, log = plain) =>
    readText(log, settings, sensors);

  test.for<{ it: string; sensors: string; readings: [number, number][] }>([
    {
      it: "on the same clock",
      sensors: "elapsed_s,cpu power [W]\n0.0,40\n0.5,50\n1.5,60\n",
      readings: [
        [0, 40],
        [0.5, 50],
        [1.5, 60],
      ],
    },
    {
      it: "from before the first frame on",
      sensors: "elapsed_s,cpu power [W]\n-0.5,40\n0.5,50\n2.5,60\n",
      readings: [
        [-0.5, 40],
        [0.5, 50],
        [2.5, 60],
      ],
    },
    {
      it: "in milliseconds, as stated",
      sensors: "elapsed [ms],cpu power [W]\n0,40\n500,50\n1500,60\n",
      readings: [
        [0, 40],
        [0.5, 50],
        [1.5, 60],
      ],
    },
    {
      it: "in milliseconds, as stated, however short",
      sensors: "elapsed [ms],cpu power [W]\n0,40\n20,50\n50,60\n",
      readings: [
        [0, 40],
        [0.02, 50],
        [0.05, 60],
      ],
    },
    {
      it: "in milliseconds, as its whole length says",
      sensors: "elapsed,cpu power [W]\n0,40\n2,45\n500,50\n1900,60\n",
      readings: [
        [0, 40],
        [0.002, 45],
        [0.5, 50],
        [1.9, 60],
      ],
    },
    {
      it: "in milliseconds, as its length says",
      sensors: "elapsed,cpu power [W]\n0,40\n500,50\n1500,60\n2000,60\n",
      readings: [
        [0, 40],
        [0.5, 50],
        [1.5, 60],
        [2, 60],
      ],
    },
    {
      it: "in microseconds, as its length says",
      sensors: "elapsed,cpu power [W]\n0,40\n500000,50\n1500000,60\n",
      readings: [
        [0, 40],
        [0.5, 50],
        [1.5, 60],
      ],
    },
    {
      it: "in nanoseconds, as its length says",
      sensors: "elapsed,cpu power [W]\n0,40\n500000000,50\n1500000000,60\n",
      readings: [
        [0, 40],
        [0.5, 50],
        [1.5, 60],
      ],
    },
    {
      it: "in seconds, as its length says",
      sensors: "elapsed,cpu power [W]\n0.0,40\n0.7,50\n1.9,60\n",
      readings: [
        [0, 40],
        [0.7, 50],
        [1.9, 60],
      ],
    },
    {
      it: "with rows that have no reading, or no time",
      sensors: "elapsed_s,cpu power [W]\n0.0,40\n0.5,n/a\n,70\n1.0,50\n1.5,\n1.8,60\n",
      readings: [
        [0, 40],
        [1, 50],
        [1.8, 60],
      ],
    },
    {
      it: "whose clock goes back for a while",
      sensors: "elapsed_s,cpu power [W]\n0.0,40\n1.0,50\n0.5,70\n1.0,55\n1.5,60\n1.2,70\n1.8,65\n",
      readings: [
        [0, 40],
        [1, 50],
        [1, 55],
        [1.5, 60],
        [1.8, 65],
      ],
    },
    {
      it: "with another delimiter and decimal sign",
      sensors: "elapsed_s;cpu power [W]\n0,0;40,5\n0,5;50,5\n1,5;60,5\n",
      readings: [
        [0, 40.5],
        [0.5, 50.5],
        [1.5, 60.5],
      ],
    },
    {
      it: "with lines before its table",
      sensors: "Sensors of the evening\n\nelapsed_s,cpu power [W]\n0.0,40\n0.5,50\n1.5,60\n",
      readings: [
        [0, 40],
        [0.5, 50],
        [1.5, 60],
      ],
    },
    {
      it: "with a quoted cell left open",
      sensors: 'elapsed_s,cpu power [W],note\n0.0,40,a\n0.5,50,"b\n1.5,60,c\n',
      readings: [
        [0, 40],
        [1.5, 60],
      ],
    },
    {
      it: "without its last line end",
      sensors: "elapsed_s,cpu power [W]\n0.0,40\n0.5,50\n1.5,60",
      readings: [
        [0, 40],
        [0.5, 50],
        [1.5, 60],
      ],
    },
  ])("is read $it", async ({ sensors, readings }) => {
    const reading = await join(sensors);
    expect(reading.problems).toEqual([]);
    expect(loggedOf(reading, "cpu-power")).toEqual(readings);
  });

  test("is read to its end, however long", async () => {
    const sensors = `elapsed_s,cpu power [W]\n${rowsOf(2000, (i) => `${(i / 1000).toFixed(3)},${40 + (i % 3)}`)}`;
    const readings = loggedOf(await join(sensors), "cpu-power");
    expect(readings).toHaveLength(2000);
    expect(readings?.at(-1)).toEqual([1.999, 41]);
  });

  test("beside a long log, is as long as that", async () => {
    const log = `elapsed_s,frame_time_ms\n${rowsOf(100, (i) => `${((i + 1) * 0.5).toFixed(1)},500.0`)}`;
    const reading = await join("elapsed,cpu power [W]\n0,40\n20000,50\n49000,60\n", {}, log);
    expect(loggedOf(reading, "cpu-power")).toEqual([
      [0, 40],
      [20, 50],
      [49, 60],
    ]);
  });

  test("gives no sensor that is printed only where the clock is not", async () => {
    const { log, problems } = await join("elapsed_s,cpu power [W]\n0.0,\n,40\n0.5,\n,50\n1.0,\n");
    expect([log?.sensors, problems]).toEqual([[], []]);
  });

  test("is closed when no more of it is wanted", async () => {
    let closed = 0;
    const { log } = await readLog(
      fileOf("pass-1.csv", plain),
      {},
      {
        file: "pass-1.sensors.csv",
        async *open() {
          try {
            for (let i = 0; i < 100; i++) yield Buffer.from("not a table\n".repeat(100));
          } finally {
            closed++;
          }
        },
      },
    );
    expect(log?.sensors).toEqual([]);
    expect(closed).toBe(1);
  });

  test("gives several sensors, each with its column", async () => {
    const reading = await join(
      "elapsed_s,cpu power [W],GPU clock [MHz],cpu temp [°C],gpu load [%]\n0.0,40,9,60,98\n1.0,50,9,61,99\n",
    );
    expect(reading.log?.sensors.map(({ role, unit, column }) => [role, unit, column])).toEqual([
      ["cpu-power", "W", "cpu power [W]"],
      ["gpu-load", "%", "gpu load [%]"],
      ["cpu-temperature", "°C", "cpu temp [°C]"],
    ]);
  });

  test("gives way to what the log itself says of a sensor", async () => {
    const log = frames("cpu power [W]", () => "40.0");
    const reading = await join("elapsed_s,cpu power [W],gpu power [W]\n0.0,90,100\n1.0,90,110\n", {}, log);
    expect(readingsOf(reading, "cpu-power")).toEqual([
      [0, 40],
      [1.98, 40],
    ]);
    expect(loggedOf(reading, "gpu-power")).toEqual([
      [0, 100],
      [1, 110],
    ]);
  });

  test("is shifted by what the session says", async () => {
    const sensors = "elapsed_s,cpu power [W]\n0.0,40\n0.5,50\n";
    expect(loggedOf(await join(sensors, { sensorOffsetS: 0.25 }), "cpu-power")).toEqual([
      [0.25, 40],
      [0.75, 50],
    ]);
    expect(loggedOf(await join(sensors, { sensorOffsetS: -0.25 }), "cpu-power")).toEqual([
      [-0.25, 40],
      [0.25, 50],
    ]);
  });

  test("of another encoding is read all the same", async () => {
    const sensors = Buffer.from("elapsed_s,cpu temp [\xb0C]\n0.0,60\n1.0,70\n", "latin1");
    expect(loggedOf(await join(sensors), "cpu-temperature")).toEqual([
      [0, 60],
      [1, 70],
    ]);
  });

  test("names what the session asked for and nobody has", async () => {
    const asked: LogSettings = {
      sensors: { "cpu-power": { column: "watts" }, "gpu-load": { column: "gpu busy" } },
    };
    const reading = await join("elapsed_s,gpu busy\n0.0,90\n1.0,95\n", asked);
    expect(loggedOf(reading, "gpu-load")).toEqual([
      [0, 90],
      [1, 95],
    ]);
    expect(reading.problems).toEqual([
      {
        code: "sensor-missing",
        severity: "warning",
        at: { file: "pass-1.csv" },
        role: "cpu-power",
        wanted: "watts",
        columns: ["elapsed_s", "frame_time_ms"],
      },
    ]);
  });

  test.for([
    { it: "no table", sensors: "nothing here\n", why: "it holds no table of numbers" },
    { it: "no clock", sensors: "cpu power [W]\n30\n31\n30\n", why: "it has no column with a clock" },
    { it: "no sensor", sensors: "elapsed_s,altitude\n0,4\n1,5\n", why: "no column names a sensor" },
    {
      it: "a line without end",
      sensors: `elapsed_s,cpu power [W]\n0,4\n${"1".repeat(1_000_001)}\n`,
      why: "line 3 is too long for a row of a table",
    },
  ])("of $it is not used, and says why", async ({ sensors, why }) => {
    const { log, problems } = await join(sensors);
    expect(log?.rows.frames).toBe(100);
    expect(log?.sensors).toEqual([]);
    expect(problems).toEqual([
      { code: "sensor-log-unusable", severity: "warning", at: { file: "pass-1.sensors.csv" }, why },
    ]);
  });

  test("whose sensors are unclear names them beside that", async () => {
    const { problems } = await join("elapsed_s,cpu power [W],processor power [W]\n0,40,44\n1,41,45\n");
    expect(problems).toMatchObject([
      {
        code: "sensor-unclear",
        at: { file: "pass-1.sensors.csv" },
        columns: ["cpu power [W]", "processor power [W]"],
      },
      { code: "sensor-log-unusable", why: "no column names a sensor" },
    ]);
    const partly = await join(
      "elapsed_s,cpu power [W],processor power [W],gpu power [W]\n0,40,44,90\n1,41,45,95\n",
    );
    expect(partly.problems).toMatchObject([{ code: "sensor-unclear", severity: "note" }]);
    expect(loggedOf(partly, "gpu-power")).toEqual([
      [0, 90],
      [1, 95],
    ]);
  });
});

describe("a sensor log's own clock", () => {
  const at = (s: number) => new Date(Date.UTC(2026, 2, 14, 20, 15, 0) + s * 1000).toISOString();
  const epoch = (s: number) => (Date.UTC(2026, 2, 14, 20, 15, 0) / 1000 + s).toFixed(3);
  const dated = `time,elapsed_s,frame_time_ms\n${rowsOf(100, (i) => `${at((i + 1) * 0.02)},${((i + 1) * 0.02).toFixed(2)},20.00`)}`;
  const aligned = [{ code: "sensor-clock-aligned", severity: "note", at: { file: "pass-1.sensors.csv" } }];
  const elsewhere = [
    { code: "sensor-log-elsewhere", severity: "warning", at: { file: "pass-1.sensors.csv" } },
  ];

  test.for<{
    it: string;
    log: string;
    sensors: string;
    readings: [number, number][];
    problems: readonly object[];
  }>([
    {
      it: "is the date where both carry it",
      log: dated,
      sensors: `at,cpu power [W]\n${at(0)},40\n${at(1)},50\n`,
      readings: [
        [0, 40],
        [1, 50],
      ],
      problems: [],
    },
    {
      it: "is the date in seconds since 1970, too",
      log: dated,
      sensors: `time [s],cpu power [W]\n${epoch(0.5)},40\n${epoch(1.5)},50\n`,
      readings: [
        [0.5, 40],
        [1.5, 50],
      ],
      problems: [],
    },
    {
      it: "is the date before the time elapsed, where both logs carry both",
      log: dated,
      sensors: `elapsed_s,at,cpu power [W]\n0.0,${at(0.5)},40\n1.0,${at(1.5)},50\n`,
      readings: [
        [0.5, 40],
        [1.5, 50],
      ],
      problems: [],
    },
    {
      it: "is the date in milliseconds since 1970, beside frames that carry the date and the time elapsed",
      log: `elapsed_s,time,frame_time_ms\n${rowsOf(100, (i) => `${((i + 1) * 0.02).toFixed(2)},${at((i + 1) * 0.02)},20.00`)}`,
      sensors: `elapsed_s,time [ms],cpu power [W]\n0.0,${epoch(0.5).replace(".", "")},40\n1.0,${epoch(1.5).replace(".", "")},50\n`,
      readings: [
        [0.5, 40],
        [1.5, 50],
      ],
      problems: [],
    },
    {
      it: "begins with the frames where it ends, in milliseconds, as they begin",
      log: plain,
      sensors: "elapsed [ms],cpu power [W]\n-1000,40\n0,50\n",
      readings: [
        [0, 40],
        [1, 50],
      ],
      problems: aligned,
    },
    {
      it: "is the time elapsed where the frames carry no date",
      log: plain,
      sensors: `at,elapsed_s,cpu power [W]\n${at(500)},0.5,40\n${at(501)},1.5,50\n`,
      readings: [
        [0.5, 40],
        [1.5, 50],
      ],
      problems: [],
    },
    {
      it: "begins with the frames where they carry no date",
      log: plain,
      sensors: `at,cpu power [W]\n${at(70)},40\n${at(71)},50\n`,
      readings: [
        [0, 40],
        [1, 50],
      ],
      problems: aligned,
    },
    {
      it: "tells minutes beside a date whose order is not known",
      log: plain,
      sensors: "at,cpu power [W]\n14.03.2026 20:15,40\n14.03.2026 20:16,50\n",
      readings: [
        [0, 40],
        [60, 50],
      ],
      problems: aligned,
    },
    {
      it: "tells minutes beside a half of the day",
      log: plain,
      sensors: "at,cpu power [W]\n12:59 PM,40\n1:00 PM,50\n",
      readings: [
        [0, 40],
        [60, 50],
      ],
      problems: aligned,
    },
    {
      it: "begins with the frames where it lies beyond them",
      log: plain,
      sensors: "elapsed_s,cpu power [W]\n70.0,40\n71.0,50\n",
      readings: [
        [0, 40],
        [1, 50],
      ],
      problems: aligned,
    },
    {
      it: "begins with the frames where it ends as they begin",
      log: plain,
      sensors: "elapsed_s,cpu power [W]\n-1.0,40\n0.0,50\n",
      readings: [
        [0, 40],
        [1, 50],
      ],
      problems: aligned,
    },
    {
      it: "begins with the frames where it begins as they end",
      log: plain,
      sensors: "elapsed_s,cpu power [W]\n2.0,40\n3.0,50\n",
      readings: [
        [0, 40],
        [1, 50],
      ],
      problems: aligned,
    },
    {
      it: "is kept where it ends just after they begin",
      log: plain,
      sensors: "elapsed_s,cpu power [W]\n-0.9,40\n0.1,50\n",
      readings: [
        [-0.9, 40],
        [0.1, 50],
      ],
      problems: [],
    },
    {
      it: "is kept where it begins just before they end",
      log: plain,
      sensors: "elapsed_s,cpu power [W]\n1.9,40\n2.9,50\n",
      readings: [
        [1.9, 40],
        [2.9, 50],
      ],
      problems: [],
    },
    {
      it: "of another date is said to be of another time",
      log: dated,
      sensors: `at,cpu power [W]\n${at(500)},40\n${at(501)},50\n`,
      readings: [
        [500, 40],
        [501, 50],
      ],
      problems: elsewhere,
    },
    {
      it: "is common where the frames have none",
      log: `frame_time_ms\n${rowsOf(100, (i) => (i % 2 === 0 ? "19.00" : "21.00"))}`,
      sensors: "elapsed_s,cpu power [W]\n0.0,40\n1.0,50\n",
      readings: [
        [0, 40],
        [1, 50],
      ],
      problems: [],
    },
  ])("$it", async ({ log, sensors, readings, problems }) => {
    const reading = await readText(log, {}, sensors);
    expect(reading.problems).toEqual(problems);
    expect(loggedOf(reading, "cpu-power")).toEqual(readings);
  });

  test("shifted beyond the frames is said to be of another time", async () => {
    const sensors = "elapsed_s,cpu power [W]\n0.0,40\n1.0,50\n";
    const { problems } = await readText(plain, { sensorOffsetS: 60 }, sensors);
    expect(problems).toEqual(elsewhere);
  });
});
