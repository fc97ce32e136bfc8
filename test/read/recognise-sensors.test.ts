import { describe, expect, test } from "vitest";
import type { LogSettings } from "../../src/read/log.ts";
import { recogniseSensors } from "../../src/read/recognise-sensors.ts";
import { headOf, repeat } from "../support/head-of.ts";

type Column = readonly [name: string, cells: readonly (number | string)[]];

/** Beside a running number; cells start over where they end. */
const columnsOf = (columns: readonly Column[]) =>
  headOf(
    ["no", ...columns.map(([name]) => name)].join(";"),
    repeat(12, (i) => [i, ...columns.map(([, cells]) => cells[i % cells.length])].join(";")),
  );
const find = (columns: readonly Column[], settings?: LogSettings["sensors"], taken: readonly number[] = []) =>
  recogniseSensors(columnsOf(columns), new Set(taken), settings);
/** What a lone column is read as: its role, and what its first cell says in the role's unit. */
const readAs = (name: string, cells: readonly (number | string)[]): string => {
  const column = columnsOf([[name, cells]])[1];
  const [sensor] = recogniseSensors([column as NonNullable<typeof column>], new Set(), undefined).sensors;
  if (sensor === undefined) return "nothing";
  const first = (column?.values[0] ?? Number.NaN) * sensor.scale + sensor.offset;
  return `${sensor.role} ${Number(first.toFixed(6))} ${sensor.unit}`;
};

describe("a sensor is a part, a quantity and a unit that make sense together", () => {
  test.for<readonly [name: string, cells: readonly (number | string)[], is: string]>([
    ["CPU (W)", [45, 46], "cpu-power 45 W"],
    ["CPU power", [45, 46], "cpu-power 45 W"],
    ["CPU power (mW)", [45_000, 46_000], "cpu-power 45 W"],
    ["CPU power", [0, 0], "cpu-power 0 W"],
    ["CPU power", [2900], "cpu-power 2900 W"],
    ["CPU power", [3000], "cpu-power 3000 W"],
    ["CPU power", [45_000], "nothing"],
    ["CPU power", [-5], "nothing"],
    ["CPU power (%)", [45, 46], "nothing"],
    ["CPU", ["45 W", "46 W"], "cpu-power 45 W"],
    ["graphics watts", [120, 130], "gpu-power 120 W"],
    ["card (W)", [120, 130], "gpu-power 120 W"],
    ["gfx (W)", [120, 130], "gpu-power 120 W"],
    ["processor (W)", [45], "cpu-power 45 W"],
    ["pkg (W)", [45], "cpu-power 45 W"],
    ["package (W)", [45], "cpu-power 45 W"],
    ["GPU package (W)", [120], "gpu-power 120 W"],
    ["wall power (W)", [145], "nothing"],
    ["CPU (MHz)", [4100, 4200], "cpu-clock 4100 MHz"],
    ["CPU clock (GHz)", [4.1, 4.2], "cpu-clock 4100 MHz"],
    ["CPU clock (kHz)", [4_100_000], "cpu-clock 4100 MHz"],
    ["CPU clock (Hz)", [4_100_000_000], "cpu-clock 4100 MHz"],
    ["CPU clock", [4100], "cpu-clock 4100 MHz"],
    ["CPU frequency", [4.1], "cpu-clock 4100 MHz"],
    ["CPU freq", [4_100_000], "cpu-clock 4100 MHz"],
    ["CPU speed", [4_100_000_000], "cpu-clock 4100 MHz"],
    ["CPU clock", [0.2], "cpu-clock 200 MHz"],
    ["CPU clock", [9.5], "cpu-clock 9500 MHz"],
    ["CPU clock", [11], "cpu-clock 11 MHz"],
    ["CPU clock", [19_000], "cpu-clock 19000 MHz"],
    ["CPU clock", [0.05], "nothing"],
    ["CPU clock", [50_000], "nothing"],
    ["CPU clock", [120_000], "cpu-clock 120 MHz"],
    ["CPU clock", [50_000_000], "nothing"],
    ["CPU clock", [2e8], "cpu-clock 200 MHz"],
    ["CPU clock", [2e10], "nothing"],
    ["CPU clock (MHz)", [5], "nothing"],
    ["CPU clock (MHz)", [120_000], "nothing"],
    ["CPU clock (MHz)", [2e8], "nothing"],
    ["CPU clock (rpm)", [4100], "nothing"],
    ["CPU clock (%)", [50], "nothing"],
    ["CPU load", [45, 46], "cpu-load 45 %"],
    ["CPU load (%)", [45, 46], "cpu-load 45 %"],
    ["CPU usage", [0.45, 0.5], "cpu-load 45 %"],
    ["CPU usage (%)", [0.45, 0.5], "cpu-load 0.45 %"],
    ["GPU busy", [1, 0], "gpu-load 1 %"],
    ["GPU used", [0.5, 1.5], "gpu-load 0.5 %"],
    ["GPU util", [104, 90], "gpu-load 104 %"],
    ["GPU util", [110, 90], "nothing"],
    ["GPU util", [-1, 90], "nothing"],
    ["GPU (%)", [45, 46], "gpu-load 45 %"],
    ["GPU (%)", [45, 45], "nothing"],
    ["GPU load (W)", [45, 46], "gpu-power 45 W"],
    ["GPU load (rpm)", [45, 46], "nothing"],
    ["CPU (°C)", [61], "cpu-temperature 61 °C"],
    ["CPU temp", [61], "cpu-temperature 61 °C"],
    ["CPU temperature (°F)", [212], "cpu-temperature 100 °C"],
    ["CPU temperature (°F)", [32], "cpu-temperature 0 °C"],
    ["CPU temp (%)", [61, 62], "nothing"],
    ["GPU temp", [-20], "gpu-temperature -20 °C"],
    ["GPU temp", [-40], "nothing"],
    ["GPU temp", [140], "gpu-temperature 140 °C"],
    ["GPU temp", [160], "nothing"],
    ["GPU busy (ms)", [4, 5], "nothing"],
    ["CPU state", [4, 5], "nothing"],
    ["CPU power (W)", ["low", "high"], "nothing"],
    ["CPU fan power (W)", [4], "nothing"],
    ["GPU memory clock (MHz)", [9000], "nothing"],
    ["CPU max clock (MHz)", [9000], "nothing"],
  ])("%s of %j: %s", ([name, cells, is]) => {
    expect(readAs(name, cells)).toBe(is);
  });

  test("a column that is taken is no sensor", () => {
    const columns: Column[] = [["CPU power (W)", [45, 46]]];
    expect(find(columns).sensors).toHaveLength(1);
    expect(find(columns, undefined, [1])).toEqual({ sensors: [], unclear: [] });
  });
});

describe("of several columns for one sensor, that of the whole counts", () => {
  const chosen = (names: readonly string[]): string => {
    const { sensors, unclear } = find(names.map((name, i) => [name, [40 + i, 41 + 2 * i]]));
    const named = (indices: readonly number[]): string =>
      indices.map((index) => names[index - 1]).join(" + ");
    return [
      ...sensors.map(({ indices }) => named(indices)),
      ...unclear.map(({ indices }) => `? ${named(indices)}`),
    ].join(", ");
  };

  test.for<readonly [names: readonly string[], is: string]>([
    [["CPU core power (W)", "CPU package power (W)"], "CPU package power (W)"],
    [["CPU power (W)", "CPU total power (W)"], "CPU total power (W)"],
    [["CPU cores power (W)", "CPU power (W)"], "CPU power (W)"],
    [["CPU core total power (W)", "CPU soc power (W)"], "CPU core total power (W)"],
    [["CPU load (%)", "CPU total load (%)"], "CPU total load (%)"],
    [["CPU hot spot temp", "CPU temp"], "CPU temp"],
    [["CPU die temp", "CPU package temp"], "CPU package temp"],
    [["CPU core clock", "CPU effective clock"], "CPU core clock"],
    [["CPU effective clock (MHz)", "CPU clock (MHz)"], "CPU clock (MHz)"],
    [["CPU power (W)", "processor power (W)"], "? CPU power (W) + processor power (W)"],
    [["core 0 clock (MHz)", "core 1 clock (MHz)"], "core 0 clock (MHz) + core 1 clock (MHz)"],
    [["core 0 clock (MHz)", "CPU clock (MHz)", "core 1 clock (MHz)"], "CPU clock (MHz)"],
    [["CPU 0 load", "thread 1 load", "core 2 load"], "CPU 0 load + thread 1 load + core 2 load"],
    [["core 0 power (W)", "core 1 power (W)"], "? core 0 power (W) + core 1 power (W)"],
    [["GPU core 0 load (%)", "GPU load (%)"], "? GPU core 0 load (%) + GPU load (%)"],
    [["CPU power (W)", "GPU power (W)"], "CPU power (W), GPU power (W)"],
  ])("%j: %s", ([names, is]) => {
    expect(chosen(names)).toBe(is);
  });

  test("two columns that say the same are one sensor", () => {
    const twice = (second: readonly (number | string)[], name = "processor power (W)") =>
      find([
        ["CPU power (W)", [40, "", 42.5]],
        [name, second],
      ]).sensors.map(({ indices }) => indices);
    expect(twice([40, "", 42.5])).toEqual([[1]]);
    expect(twice([40_000, "", 42_500], "processor power (mW)")).toEqual([[1]]);
    expect(twice([40, "", 42.6])).toEqual([]);
    expect(twice([40, 41, 42.5])).toEqual([]);
    expect(twice(["", "", 42.5])).toEqual([]);
  });

  test.for([
    { name: "CPU power", values: [54, 55], ground: "W is usual" },
    { name: "CPU temperature", values: [54, 55], ground: "°C is usual" },
    { name: "CPU load", values: [54, 55], ground: "% is usual" },
    { name: "CPU load", values: [0.54, 0.55], ground: "no value is above 1, so 1 is taken for 100%" },
    { name: "CPU clock", values: [4500, 4600], ground: "values of such a size are MHz" },
    { name: "CPU clock", values: [4.5, 4.6], ground: "values of such a size are GHz" },
    { name: "CPU clock", values: [4_500_000, 4_600_000], ground: "values of such a size are kHz" },
    { name: "CPU clock", values: [4.5e9, 4.6e9], ground: "values of such a size are Hz" },
  ])("a $name of $values without a unit says why it has one: $ground", ({ name, values, ground }) => {
    expect(find([[name, values]]).sensors.map(({ evidence }) => evidence)).toEqual([
      `its name states the part and the quantity, and no unit: ${ground}`,
    ]);
  });

  test("what it was made from is said", () => {
    expect(find([["CPU power (mW)", [45_000, 46_000]]]).sensors).toEqual([
      {
        role: "cpu-power",
        unit: "W",
        indices: [1],
        scale: 1e-3,
        offset: 0,
        evidence: "its name states the part, the quantity and the unit",
      },
    ]);
    expect(
      find([
        ["core 0 clock (GHz)", [4.1, 4.2]],
        ["core 1 clock (GHz)", [4.3, 4.4]],
      ]).sensors,
    ).toEqual([
      {
        role: "cpu-clock",
        unit: "MHz",
        indices: [1, 2],
        scale: 1e3,
        offset: 0,
        evidence: "no column for the whole: the mean of 2 cores",
      },
    ]);
  });
});

describe("the session says which column a sensor is", () => {
  const columns: Column[] = [
    ["CPU power (W)", [45, 46]],
    ["Depth", [3, 4]],
    ["scene", ["quay", "dusk"]],
    ["limit (mW)", [45_000, 46_000]],
  ];
  const by = (column: string) => find(columns, { "cpu-power": { column } }).sensors;

  test("by its name, however it is written", () => {
    const plain = { role: "cpu-power", unit: "W", scale: 1, offset: 0, evidence: "the session says so" };
    expect(by("Depth")).toEqual([{ ...plain, indices: [2] }]);
    expect(by(" depth ")).toEqual([{ ...plain, indices: [2] }]);
    expect(by("limit (mW)")).toEqual([{ ...plain, indices: [4], scale: 1e-3 }]);
    expect(find(columns, { "cpu-temperature": { column: "limit (mW)" } }).sensors.at(-1)).toMatchObject({
      role: "cpu-temperature",
      unit: "°C",
      scale: 1,
    });
  });

  test("and no other where that one is not there, or holds words", () => {
    expect(by("height")).toEqual([]);
    expect(by("scene")).toEqual([]);
  });

  test("the other sensors are found as ever", () => {
    expect(
      find(columns, { "gpu-power": { column: "Depth" } }).sensors.map(({ role, indices }) => [role, indices]),
    ).toEqual([
      ["cpu-power", [1]],
      ["gpu-power", [2]],
    ]);
  });
});
