import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { flagFewFrames } from "../../src/measure/frames-needed.ts";
import type { Lows } from "../../src/measure/pass-summary.ts";
import { summarisePass } from "../../src/measure/summarise-pass.ts";
import { lowsDefinitions } from "../../src/shared/lows-definition.ts";
import { expectClose } from "../support/expect-close.ts";
import { logOf, sensor } from "../support/log-of.ts";
import { readReference } from "../support/read-reference.ts";

type ByDefinition = Readonly<Record<(typeof lowsDefinitions)[number], number>>;
interface Expected {
  readonly frames: number;
  readonly seconds: number;
  readonly avgFps: number;
  readonly low1: ByDefinition;
  readonly low01: ByDefinition;
  readonly watts: number;
}
// Source: base R 4.2, test/reference/summarise-pass.R.
const reference = readReference<{
  frameTimesMs: number[];
  sensor: { atS: number[]; values: number[] };
  whole: Expected & { meanOfReadings: number };
  window: Expected & { skipS: number; keepS: number };
}>("test/reference/summarise-pass.json");

const key = { game: "saltworks", config: "quiet-35w", pass: "pass-1", boot: "boot-2" };
const plain = { lows: "percentile", trim: null } as const;

const steady = (frames: number, ms = 10): Float64Array => new Float64Array(frames).fill(ms);

describe("the figures of a pass", () => {
  const power = sensor("cpu-power", reference.sensor.atS, reference.sensor.values);
  const log = logOf(reference.frameTimesMs, { sensors: [power] });
  const { skipS, keepS } = reference.window;

  test.for([
    { what: "the whole log", trim: null, expected: reference.whole as Expected },
    { what: "a window", trim: { skipS, keepS }, expected: reference.window },
  ])("$what: frames, seconds, average FPS, sensor mean and lows are R's", ({ trim, expected }) => {
    const pass = summarisePass(log, key, { lows: "percentile", trim });
    expect(pass.frames).toBe(expected.frames);
    expectClose(pass.seconds, expected.seconds, 1e-12, "seconds");
    expectClose(pass.avgFps, expected.avgFps, 1e-12, "average FPS");
    expectClose(pass.cpuPowerW, expected.watts, 1e-12, "watts");
    for (const definition of lowsDefinitions) {
      expectClose(pass.lows?.[definition].low1Fps, expected.low1[definition], 1e-12, definition);
      const is01Known = expected.frames >= 10_000;
      expectClose(
        pass.lows?.[definition].low01Fps,
        is01Known ? expected.low01[definition] : null,
        1e-12,
        `0.1% ${definition}`,
      );
    }
  });

  test.for(lowsDefinitions.map((lows) => ({ lows })))(
    "$lows: the definition asked for is the pass's own",
    ({ lows }) => {
      const pass = summarisePass(log, key, { lows, trim: null });
      expect([pass.low1Fps, pass.low01Fps]).toEqual([pass.lows?.[lows].low1Fps, pass.lows?.[lows].low01Fps]);
      expectClose(pass.low1Fps, reference.whole.low1[lows], 1e-12);
      // All three differ here, so that one taken for another shows.
      expect(new Set(lowsDefinitions.map((other) => pass.lows?.[other].low1Fps)).size).toBe(3);
    },
  );

  test("a sensor that reports unevenly is no plain mean of its readings", () => {
    const gap = Math.abs(reference.whole.watts - reference.whole.meanOfReadings);
    expect(gap).toBeGreaterThan(0.1);
  });

  test("carries its place, its file and its start", () => {
    expect(summarisePass(log, key, plain)).toMatchObject({
      ...key,
      file: log.file,
      startedAt: log.startedAt,
    });
  });
});

describe("frames that a low needs", () => {
  // Common practice, no source: 1,000 for the 1% low, 10,000 for the 0.1% low; rough below 2,000 and 30,000.
  test.for([
    { frames: 999, low1: false, low01: false, flagged: ["low1Fps", "low01Fps"] },
    { frames: 1_000, low1: true, low01: false, flagged: ["low1Fps", "low01Fps"] },
    { frames: 1_999, low1: true, low01: false, flagged: ["low1Fps", "low01Fps"] },
    { frames: 2_000, low1: true, low01: false, flagged: ["low01Fps"] },
    { frames: 9_999, low1: true, low01: false, flagged: ["low01Fps"] },
    { frames: 10_000, low1: true, low01: true, flagged: ["low01Fps"] },
    { frames: 29_999, low1: true, low01: true, flagged: ["low01Fps"] },
    { frames: 30_000, low1: true, low01: true, flagged: [] },
  ])(
    "$frames frames: 1% low $low1, 0.1% low $low01, notes on $flagged",
    ({ frames, low1, low01, flagged }) => {
      const pass = summarisePass(logOf(steady(frames)), key, plain);
      const known = ({ low1Fps, low01Fps }: Lows) => [low1Fps !== null, low01Fps !== null];
      expect(known(pass)).toEqual([low1, low01]);
      for (const definition of lowsDefinitions) {
        expect(known(pass.lows?.[definition] as Lows)).toEqual([low1, low01]);
      }
      const few = pass.flags.filter((flag) => flag.code === "few-frames");
      expect(few.map(({ metric }) => metric)).toEqual(flagged);
      for (const flag of few) {
        expect(flag.frames).toBe(frames);
        expect(flag.beyond).toBe(Math.floor(frames / (flag.metric === "low1Fps" ? 100 : 1000)));
        expect(flag.beyond).toBe(pass.framesBeyond?.[flag.metric]);
      }
    },
  );

  test("frames beyond are a hundredth and a thousandth for every number of frames, without a rounding error", () => {
    for (let frames = 0; frames < 30_000; frames++) {
      for (const flag of flagFewFrames(frames)) {
        if (flag.code !== "few-frames") continue;
        // Whole numbers: (n - n mod d) / d is exact.
        const each = flag.metric === "low1Fps" ? 100 : 1000;
        if (flag.beyond !== (frames - (frames % each)) / each)
          expect.fail(`${frames} frames: ${flag.beyond}`);
      }
    }
  });

  test("frames counted are those of the window, not of the log", () => {
    const pass = summarisePass(logOf(steady(3_000)), key, {
      lows: "percentile",
      trim: { skipS: 1, keepS: 9 },
    });
    expect(pass.frames).toBe(900);
    expect(pass.low1Fps).toBeNull();
    expect(pass.framesBeyond).toEqual({ low1Fps: 9, low01Fps: 0 });
  });

  test("the log's own flags stay", () => {
    const flag = { code: "cut-short" } as const;
    expect(summarisePass(logOf(steady(40_000), { flags: [flag] }), key, plain).flags).toEqual([flag]);
  });

  test.for([0, 9, 10])("%i frames: too short to be a pass below ten", (frames) => {
    const { flags } = summarisePass(logOf(steady(frames)), key, plain);
    expect(flags.some(({ code }) => code === "too-short")).toBe(frames < 10);
  });
});

test("a window that hardly any frame lies in is told with the capture's end", () => {
  const trim = { skipS: 90, keepS: null };
  const { flags } = summarisePass(logOf(steady(1_500)), key, { lows: "percentile", trim });
  expect(flags.find(({ code }) => code === "too-short")).toEqual({
    code: "too-short",
    frames: 0,
    needed: 10,
    trimmedFrom: { frames: 1_500, seconds: 15, ...trim },
  });
});

test.for([
  { what: "no window", trim: null },
  { what: "a window that leaves nothing out", trim: { skipS: 0, keepS: 60 } },
])("a capture that is too short by itself is not put down to $what", ({ trim }) => {
  const { flags } = summarisePass(logOf(steady(5)), key, { lows: "percentile", trim });
  expect(flags.find(({ code }) => code === "too-short")).toEqual({
    code: "too-short",
    frames: 5,
    needed: 10,
  });
});

test("where the log's clock says when the capture ended, that is its end", () => {
  const trim = { skipS: 90, keepS: null };
  const frameEndsS = Float64Array.from({ length: 1_500 }, (_, i) =>
    i < 700 ? (i + 1) / 100 : 6 + (i + 1) / 100,
  );
  const { flags } = summarisePass(logOf(steady(1_500), { frameEndsS }), key, { lows: "percentile", trim });
  expect(flags.find(({ code }) => code === "too-short")).toMatchObject({
    trimmedFrom: { frames: 1_500, seconds: 21 },
  });
});

describe("the window", () => {
  const frames = (
    trim: { skipS: number; keepS: number | null },
    ms: readonly number[],
    ends?: readonly number[],
  ) =>
    summarisePass(logOf(ms, ends === undefined ? {} : { frameEndsS: Float64Array.from(ends) }), key, {
      lows: "percentile",
      trim,
    }).frames;

  // By hand: four frames of 100, 200, 300 and 400 ms lie at 0-0.1, 0.1-0.3, 0.3-0.6 and 0.6-1.0 s.
  test.for([
    { what: "nothing left out", trim: { skipS: 0, keepS: null }, kept: 4 },
    { what: "from a frame's start", trim: { skipS: 0.1, keepS: null }, kept: 3 },
    { what: "from within a frame: that frame is out", trim: { skipS: 0.15, keepS: null }, kept: 2 },
    { what: "up to a frame's end", trim: { skipS: 0, keepS: 0.6 }, kept: 3 },
    { what: "up to within a frame: that frame is out", trim: { skipS: 0, keepS: 0.59 }, kept: 2 },
    { what: "both borders within frames", trim: { skipS: 0.05, keepS: 0.9 }, kept: 2 },
    { what: "longer than the log", trim: { skipS: 0.3, keepS: 60 }, kept: 2 },
    { what: "within a single frame", trim: { skipS: 0.65, keepS: 0.1 }, kept: 0 },
    { what: "after the log", trim: { skipS: 2, keepS: 1 }, kept: 0 },
  ])("$what: $kept frames", ({ trim, kept }) => {
    expect(frames(trim, [100, 200, 300, 400])).toBe(kept);
  });

  test("follows the log's clock where frames are missing", () => {
    // By hand: between the second and the third frame the clock ran 5 s that no frame covers.
    const ends = [0.1, 0.3, 5.6, 6.0];
    expect(frames({ skipS: 0.1, keepS: 5.5 }, [100, 200, 300, 400], ends)).toBe(2);
    expect(frames({ skipS: 5.3, keepS: null }, [100, 200, 300, 400], ends)).toBe(2);
    expect(frames({ skipS: 1, keepS: 4 }, [100, 200, 300, 400], ends)).toBe(0);
  });

  test("a pass without frames has no figures, and says that it is too short", () => {
    const pass = summarisePass(
      logOf(steady(2_000), { sensors: [sensor("cpu-power", [0, 10], [50, 60])] }),
      key,
      {
        lows: "percentile",
        trim: { skipS: 60, keepS: 10 },
      },
    );
    expect(pass).toMatchObject({
      frames: 0,
      seconds: 0,
      avgFps: null,
      low1Fps: null,
      low01Fps: null,
      cpuPowerW: null,
      fpsPerWatt: null,
      joulesPerFrame: null,
      fingerprint: "",
    });
    expect(pass.flags.map(({ code }) => code)).toContain("too-short");
  });
});

describe("sensors", () => {
  // Ten seconds of frames; by hand: every reading holds until the next one, the first also before it.
  test.for([
    { what: "one reading", atS: [5], values: [40], mean: 40 },
    { what: "even readings", atS: [0, 5], values: [40, 60], mean: 50 },
    { what: "uneven readings", atS: [0, 8], values: [40, 60], mean: (8 * 40 + 2 * 60) / 10 },
    { what: "readings that bunch", atS: [0, 9, 9.25, 9.5, 9.75], values: [40, 80, 80, 80, 80], mean: 44 },
    { what: "a first reading after the start", atS: [4, 6], values: [40, 60], mean: (6 * 40 + 4 * 60) / 10 },
    { what: "readings from before the start", atS: [-3, 5], values: [40, 60], mean: 50 },
    { what: "readings from after the end", atS: [0, 5, 12], values: [40, 60, 900], mean: 50 },
    {
      what: "a reading that is none",
      atS: [0, 4, 6],
      values: [40, Number.NaN, 60],
      mean: (4 * 40 + 4 * 60) / 8,
    },
    { what: "nothing but readings that are none", atS: [0, 5], values: [Number.NaN, Number.NaN], mean: null },
    { what: "a sensor that stopped before", atS: [-9, -5], values: [40, 60], mean: null },
    { what: "a sensor that began after", atS: [11, 12], values: [40, 60], mean: null },
    { what: "no readings", atS: [], values: [], mean: null },
  ])("$what: $mean W", ({ atS, values, mean }) => {
    const pass = summarisePass(
      logOf(steady(1_000), { sensors: [sensor("gpu-power", atS, values)] }),
      key,
      plain,
    );
    expectClose(pass.gpuPowerW, mean, 1e-12);
  });

  test("every sensor has its place", () => {
    const roles = ["cpu-power", "gpu-power", "cpu-clock", "cpu-load", "gpu-load", "cpu-temperature"] as const;
    const sensors = roles.map((role, i) => sensor(role, [0], [10 + i]));
    expect(summarisePass(logOf(steady(1_000), { sensors }), key, plain)).toMatchObject({
      cpuPowerW: 10,
      gpuPowerW: 11,
      cpuClockMhz: 12,
      cpuLoadPct: 13,
      gpuLoadPct: 14,
      cpuTempC: 15,
    });
  });

  test("FPS per watt and joules per frame are SI units: 1 W = 1 J/s (BIPM, SI brochure, 9th edition, table 4)", () => {
    // By hand: 100 frames a second at 50 W are 2 FPS per watt; 50 joules a second over 100 frames are 0.5 J each.
    const { avgFps, fpsPerWatt, joulesPerFrame } = summarisePass(
      logOf(steady(1_000), { sensors: [sensor("cpu-power", [0], [50])] }),
      key,
      plain,
    );
    expectClose(avgFps, 100, 1e-12);
    expectClose(fpsPerWatt, 2, 1e-12);
    expectClose(joulesPerFrame, 0.5, 1e-12);
  });

  test("energy over all frames is power times time", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 1, max: 100, noNaN: true }), { minLength: 10, maxLength: 200 }),
        fc.double({ min: 1, max: 300, noNaN: true }),
        (ms, watts) => {
          const pass = summarisePass(logOf(ms, { sensors: [sensor("cpu-power", [0], [watts])] }), key, plain);
          expectClose((pass.joulesPerFrame ?? 0) * pass.frames, watts * pass.seconds, 1e-10, "joules");
          expectClose((pass.joulesPerFrame ?? 0) * (pass.fpsPerWatt ?? 0), 1, 1e-10, "each other's inverse");
        },
      ),
    );
  });

  test.for([
    { what: "the GPU's power alone", sensors: [sensor("gpu-power", [0], [50])] },
    { what: "a power of nothing", sensors: [sensor("cpu-power", [0], [0])] },
    { what: "no sensor", sensors: [] },
  ])("$what: no FPS per watt, no joules per frame", ({ sensors }) => {
    const { fpsPerWatt, joulesPerFrame } = summarisePass(logOf(steady(1_000), { sensors }), key, plain);
    expect([fpsPerWatt, joulesPerFrame]).toEqual([null, null]);
  });
});

describe("the fingerprint", () => {
  const printOf = (ms: ArrayLike<number>, trim: { skipS: number; keepS: number | null } | null = null) =>
    summarisePass(logOf(ms), key, { lows: "percentile", trim }).fingerprint;
  const series = fc.array(fc.double({ min: 0.1, max: 1000, noNaN: true }), { minLength: 1, maxLength: 40 });

  test("is the same for the same series in whatever file, place or window", () => {
    fc.assert(
      fc.property(series, (ms) => {
        const other = summarisePass(logOf(ms, { file: "elsewhere.csv" }), { ...key, pass: "pass-2" }, plain);
        expect(printOf(ms)).toBe(other.fingerprint);
      }),
    );
    expect(printOf([100, 200, 300], { skipS: 0.1, keepS: null })).toBe(printOf([200, 300]));
  });

  test("differs for any other series: one value, one digit in the last place, the order, the length", () => {
    fc.assert(
      fc.property(series, series, (a, b) => {
        const isEqual = a.length === b.length && a.every((value, i) => value === b[i]);
        expect(printOf(a) === printOf(b)).toBe(isEqual);
      }),
    );
    const base = [16.667, 8.333, 8.333];
    const others = [
      [16.667, 8.333],
      [8.333, 16.667, 8.333],
      [16.667, 8.333, 8.333 * (1 + 2 ** -52)],
      [...base, 8.333],
    ];
    const prints = [base, ...others].map((ms) => printOf(ms));
    expect(new Set(prints).size).toBe(prints.length);
  });
});
