import { describe, expect, test } from "vitest";
import { hearSensors } from "../../src/measure/hear-sensors.ts";
import { summarisePass } from "../../src/measure/summarise-pass.ts";
import type { ByteSource } from "../../src/read/log.ts";
import { readLog } from "../../src/read/read-log.ts";
import { sensor } from "../support/log-of.ts";

const none = Number.NaN;

describe("a sensor speaks for a pass of 100 s", () => {
  test.for([
    { what: "read throughout", atS: [0, 50], values: [40, 42], heardPct: 100 },
    {
      what: "first read late, since the first reading also holds before",
      atS: [30],
      values: [40],
      heardPct: 100,
    },
    {
      what: "read for just enough of it to say nothing more",
      atS: [0, 95],
      values: [40, none],
      heardPct: 100,
    },
    { what: "read for most of it", atS: [0, 94], values: [40, none], heardPct: 94, isCounted: true },
    {
      what: "read for just enough of it to count",
      atS: [0, 80],
      values: [40, none],
      heardPct: 80,
      isCounted: true,
    },
    { what: "read for less", atS: [0, 79], values: [40, none], heardPct: 79, isCounted: false },
    {
      what: "with a pause",
      atS: [0, 20, 60, 90],
      values: [40, none, 41, 42],
      heardPct: 60,
      isCounted: false,
    },
    {
      what: "read before and behind it only",
      atS: [-9, -5, 120],
      values: [40, none, 41],
      heardPct: 0,
      isCounted: false,
    },
    {
      what: "with readings outside, which weigh nothing",
      atS: [-50, -9, 130],
      values: [none, 40, 41],
      heardPct: 100,
    },
    { what: "first read behind it", atS: [120], values: [40], heardPct: 0, isCounted: false },
    { what: "never read", atS: [], values: [], heardPct: 0, isCounted: false },
  ])("$what", ({ atS, values, heardPct, isCounted }) => {
    const series = sensor("cpu-power", atS, values);
    const { heard, flags } = hearSensors([series], 0, 100);
    expect(heard.map((each) => each.series)).toEqual(isCounted === false ? [] : [series]);
    expect(flags).toEqual(
      isCounted === undefined ? [] : [{ code: "sensor-gap", roles: ["cpu-power"], heardPct, isCounted }],
    );
  });

  test("sensors are told together by whether they count, with the lowest share", () => {
    const until = (role: "cpu-power" | "gpu-power" | "cpu-load" | "gpu-load", endS: number) =>
      sensor(role, [0, endS], [40, none]);
    const all = [
      until("cpu-power", 10),
      until("gpu-power", 90),
      until("cpu-load", 20),
      until("gpu-load", 99),
    ];
    const { heard, flags } = hearSensors(all, 0, 100);
    expect(heard.map(({ series }) => series)).toEqual([all[1], all[3]]);
    expect(flags).toEqual([
      { code: "sensor-gap", roles: ["cpu-power", "cpu-load"], heardPct: 10, isCounted: false },
      { code: "sensor-gap", roles: ["gpu-power"], heardPct: 90, isCounted: true },
    ]);
  });

  test("a window without time asks nothing of them", () => {
    const series = sensor("cpu-power", [5], [40]);
    expect(hearSensors([series], 3, 3)).toEqual({ heard: [{ series, mean: null }], flags: [] });
  });
});

describe("a sensor log that stops early", () => {
  const sourceOf = (file: string, text: string): ByteSource => ({
    file,
    async *open() {
      yield new TextEncoder().encode(text);
    },
  });
  /** 2,000 frames of 20 ms: 40 s. */
  const frames = Array.from({ length: 2000 }, (_, i) => `${((i + 1) * 0.02).toFixed(2)},20.00\n`).join("");
  const sensors = (endS: number): string =>
    `elapsed_s,cpu power [W]\n${Array.from({ length: endS }, (_, s) => `${s},${s < 10 ? 80 : 50}\n`).join("")}`;
  const summary = async (endS: number) => {
    const log = sourceOf("pass-1.csv", `elapsed_s,frame_time_ms\n${frames}`);
    const { log: read } = await readLog(log, {}, sourceOf("pass-1.sensors.csv", sensors(endS)));
    if (read === null) throw new Error("the log was not read");
    const key = { game: "saltworks", config: "quiet-35w", pass: "pass-1", boot: null };
    return summarisePass(read, key, { lows: "percentile", trim: null });
  };

  // Worked by hand: 80 W for 10 s, then 50 W as long as it is known, 5 s behind the last reading.
  test.for([
    { endS: 40, meanW: (80 * 10 + 50 * 30) / 40, gap: null },
    { endS: 31, meanW: (80 * 10 + 50 * 25) / 35, gap: { heardPct: 87.5, isCounted: true } },
    { endS: 20, meanW: null, gap: { heardPct: 60, isCounted: false } },
  ])("after $endS of 40 s", async ({ endS, meanW, gap }) => {
    const { cpuPowerW, fpsPerWatt, flags } = await summary(endS);
    if (meanW === null) expect([cpuPowerW, fpsPerWatt]).toEqual([null, null]);
    else expect(cpuPowerW).toBeCloseTo(meanW, 9);
    const found = flags.find(({ code }) => code === "sensor-gap");
    if (gap === null) expect(found).toBeUndefined();
    else {
      expect(found).toMatchObject({ roles: ["cpu-power"], isCounted: gap.isCounted });
      expect(found?.code === "sensor-gap" && found.heardPct).toBeCloseTo(gap.heardPct, 9);
    }
  });
});
