import { describe, expect, test } from "vitest";
import { blockMedians } from "../../src/measure/block-medians.ts";
import { tailOfFrames } from "../../src/measure/lows.ts";
import { findPaceFacts, type PaceFacts } from "../../src/measure/pace-facts.ts";
import { trimFrames } from "../../src/measure/trim.ts";
import type { SensorRole, SensorSeries } from "../../src/read/log.ts";
import { logOf, sensor } from "../support/log-of.ts";

// Invented passes of a minute whose facts are worked by hand; the thresholds are common practice without a source.

const passS = 60;

/** Frames of 10 ms, but twenty of 20 ms from each of these moments on. */
function framesMs(slowFromS: readonly number[], lastsS = passS): number[] {
  const frames: number[] = [];
  for (let ms = 0; ms < 1000 * lastsS; ) {
    const isSlow = slowFromS.some((fromS) => ms >= 1000 * fromS && ms < 1000 * fromS + 400);
    frames.push(isSlow ? 20 : 10);
    ms += isSlow ? 20 : 10;
  }
  return frames;
}

interface Reading {
  readonly everyS?: number;
  readonly lastsS?: number;
}

/** Readings of a sensor that is at `level` but in some stretches, given in seconds, at `within`. */
function readings(
  role: SensorRole,
  level: number,
  within: number,
  stretches: readonly (readonly [fromS: number, toS: number])[],
  { everyS = 0.25, lastsS = passS }: Reading = {},
): SensorSeries {
  const atS = Array.from({ length: Math.round(lastsS / everyS) }, (_, i) => i * everyS);
  const isWithin = (s: number) => stretches.some(([fromS, toS]) => s >= fromS && s < toS);
  return sensor(
    role,
    atS,
    atS.map((s) => (isWithin(s) ? within : level)),
  );
}

function factsOf(
  frames: readonly number[],
  sensors: readonly SensorSeries[],
  skipS: number | null = null,
): PaceFacts {
  const log = logOf(frames, { sensors });
  const trimmed = trimFrames(log, skipS === null ? null : { skipS, keepS: null });
  const { frameTimesMs, sumMs } = trimmed;
  return findPaceFacts(log, trimmed, blockMedians(frameTimesMs), tailOfFrames(frameTimesMs, sumMs));
}

/** The slow frames of most passes here: both times within the stretch from 24 to 36 s. */
const slowFromS = [26.05, 33.55];
const drop = [[24, 36]] as const;
const clockDrop = readings("cpu-clock", 4000, 3200, drop);
const powerDrop = readings("cpu-power", 50, 40, drop);

describe("drops within a pass", () => {
  /**
   * Cells of 0.25 s: the drop is 96 to 144, and with a cell on each side 95 to 145, which is 12.5 s. In these lie 40
   * slow frames, 0.8 s, and (12.5 - 0.8) / 0.01 others; all slow frames lie in cells 104 to 136, which the
   * stretch covers where it is moved by up to 9 cells either way: 19 of 240 shifts.
   */
  const expected = {
    sensor: "cpu-clock",
    belowPct: expect.closeTo(20, 8),
    timePct: expect.closeTo(20, 8),
    isLoadKept: null,
    slowFramesPct: 100,
    framesPct: expect.closeTo((100 * (1170 + 40)) / 5960, 8),
    p: 19 / 240,
    stretches: [[0.4, 0.6]],
  };

  test("say where, how deep and how long, and how many of the slow frames lie there", () => {
    expect(factsOf(framesMs(slowFromS), [clockDrop]).drops).toEqual(expected);
  });

  describe("behind a start that is left out", () => {
    const later = ({ role, atS, values }: SensorSeries) =>
      sensor(role, [0, ...atS.map((s) => s + 10)], [4000, ...values]);
    const frames = framesMs(
      slowFromS.map((s) => s + 10),
      passS + 10,
    );

    test("say the same of the same window", () => {
      expect(factsOf(frames, [later(clockDrop)], 10).drops).toEqual(expected);
    });

    test("are told from as many readings as lie in the window", () => {
      const inCells = (everyS: number) => later(readings("cpu-clock", 4000, 3200, drop, { everyS }));
      expect(factsOf(frames, [inCells(3)], 10).drops).not.toBeNull();
      expect(factsOf(frames, [inCells(4)], 10).drops).toBeNull();
    });
  });

  test.for([
    { overS: 2, isFound: true },
    { overS: 24, isFound: false },
  ])("a fall over $overS s is one: $isFound", ({ overS, isFound }) => {
    const slow = clockDrop.atS.map((s) => 4000 - 400 * Math.min(1, Math.max(0, (s - 24) / overS)));
    const clock = {
      ...clockDrop,
      values: slow.map((mhz, i) => ((clockDrop.atS[i] as number) < 50 ? mhz : 4000)),
    };
    expect(factsOf(framesMs(slowFromS), [clock]).drops !== null).toBe(isFound);
  });

  test.for([
    {
      what: "a clock that moves is heard, not the power",
      sensors: [powerDrop, clockDrop],
      found: "cpu-clock",
    },
    {
      what: "power, where the clock never changes, as on a virtual machine",
      sensors: [readings("cpu-clock", 4000, 4000, []), powerDrop],
      found: "cpu-power",
    },
    { what: "power, where no clock is known", sensors: [clockDrop, powerDrop].slice(1), found: "cpu-power" },
    {
      what: "no power, where the clock moves and does not fall",
      sensors: [readings("cpu-clock", 4000, 4080, drop), powerDrop],
      found: null,
    },
    {
      what: "none, where only others are known",
      sensors: [readings("gpu-power", 50, 40, drop)],
      found: null,
    },
    {
      what: "a clock that falls by more than 5%",
      sensors: [readings("cpu-clock", 4000, 3790, drop)],
      found: "cpu-clock",
    },
    { what: "by less", sensors: [readings("cpu-clock", 4000, 3810, drop)], found: null },
    {
      what: "power that falls by more than 10%",
      sensors: [readings("cpu-power", 50, 44.9, drop)],
      found: "cpu-power",
    },
    { what: "by less", sensors: [readings("cpu-power", 50, 45.1, drop)], found: null },
    {
      what: "one in 20 readings",
      sensors: [readings("cpu-clock", 4000, 3200, drop, { everyS: 3 })],
      found: "cpu-clock",
    },
    {
      what: "none in 15, too few to tell",
      sensors: [readings("cpu-clock", 4000, 3200, drop, { everyS: 4 })],
      found: null,
    },
  ])("$what", ({ sensors, found }) => {
    expect(factsOf(framesMs(slowFromS), sensors).drops?.sensor ?? null).toBe(found);
  });

  test("one gap between readings does not make the grid coarser", () => {
    // The gap lies exactly in the middle of the readings, and within the drop.
    const { role, atS, values } = clockDrop;
    const isKept = (i: number) => (atS[i] as number) <= 28 || (atS[i] as number) >= 32;
    const gap = sensor(
      role,
      [...atS].filter((_, i) => isKept(i)),
      [...values].filter((_, i) => isKept(i)),
    );
    expect(factsOf(framesMs(slowFromS), [gap]).drops).toEqual(expected);
  });

  test("a long pass is cut into six hundred cells", () => {
    // Cells of 0.5 s: the stretch is 240 to 360, with a cell on each side 239 to 361; slow frames lie in cells 260 and
    // 340, which it covers where it is moved by -20 to 21.
    const clock = readings("cpu-clock", 4000, 3200, [[120, 180]], { lastsS: 300 });
    const found = factsOf(framesMs([130.05, 170.05], 300), [clock]).drops;
    expect(found?.stretches).toEqual([[0.4, 0.6]]);
    expect(found?.p).toBe(42 / 600);
  });

  test.for([
    { what: "a pass of too few frames for places", frames: new Array<number>(999).fill(60) },
    { what: "frames of which none is slower", frames: new Array<number>(6000).fill(10) },
  ])("$what has none", ({ frames }) => {
    expect(factsOf(frames, [clockDrop]).drops).toBeNull();
  });
});

describe("the load in drops", () => {
  const load = (within: number) => readings("cpu-load", 60, within, drop);
  test.for([
    { what: "stays as it was", sensors: [clockDrop, load(60)], isLoadKept: true },
    { what: "rises", sensors: [clockDrop, load(90)], isLoadKept: true },
    {
      what: "falls to 85% of what it is elsewhere",
      sensors: [clockDrop, load(51)],
      isLoadKept: true,
    },
    {
      what: "falls to 84.5%, so that less was asked for",
      sensors: [clockDrop, load(50.7)],
      isLoadKept: undefined,
    },
    { what: "is not known", sensors: [clockDrop], isLoadKept: null },
  ])("$what", ({ sensors, isLoadKept }) => {
    expect(factsOf(framesMs(slowFromS), sensors).drops?.isLoadKept).toBe(isLoadKept);
  });

  test.for([
    { what: "stays near the mean of what comes before and after", within: 43, isKept: true },
    { what: "falls below it", within: 42, isKept: false },
  ])("$what", ({ within, isKept }) => {
    // 60 before and 40 after, for as long: 50, of which 85% are 42.5.
    const { role, atS } = load(60);
    const cpuLoad = sensor(
      role,
      [...atS],
      [...atS].map((s) => (s < 24 ? 60 : s < 36 ? within : 40)),
    );
    expect(factsOf(framesMs(slowFromS), [clockDrop, cpuLoad]).drops !== null).toBe(isKept);
  });

  test("only the drops in which it stays are told, held against the load outside of all drops", () => {
    const clock = readings("cpu-clock", 4000, 3200, [
      [12, 18],
      [24, 36],
    ]);
    const loads = (second: number) => {
      const { role, atS, values } = readings("cpu-load", 60, 6, [[12, 18]]);
      return sensor(
        role,
        [...atS],
        [...values].map((value, i) => ((atS[i] as number) >= 24 && (atS[i] as number) < 36 ? second : value)),
      );
    };
    const found = factsOf(framesMs(slowFromS), [clock, loads(60)]).drops;
    expect(found?.stretches).toEqual([[0.4, 0.6]]);
    expect(found?.timePct).toBeCloseTo(20, 8);
    // Below 85% of 60, though not of the mean of all.
    expect(factsOf(framesMs(slowFromS), [clock, loads(50.7)]).drops).toBeNull();
  });
});

describe("time at the ceiling of the GPU", () => {
  test.for([
    { what: "95% is there", values: [95, 94.9, 100, 50], pct: 50 },
    { what: "a reading that is no number says nothing", values: [95, Number.NaN, 50, 50], pct: 100 / 3 },
    { what: "never", values: [94.9, 94.9, 60, 50], pct: 0 },
  ])("$what", ({ values, pct }) => {
    const found = factsOf(framesMs([]), [clockDrop, sensor("gpu-load", [0, 15, 30, 45], values)]);
    expect(found.gpuBusyPct).toBeCloseTo(pct, 8);
  });

  test("is unknown without a load", () => {
    expect(factsOf(framesMs([]), [clockDrop]).gpuBusyPct).toBeNull();
  });
});

test("power that is held is told from its readings, and is unknown without them", () => {
  const power = readings("cpu-power", 35, 28, [[40, 55]]);
  expect(factsOf(framesMs([]), [clockDrop, power]).heldPower).toEqual({ watts: 35, timePct: 75 });
  expect(factsOf(framesMs([]), [clockDrop]).heldPower).toBeNull();
  expect(factsOf(framesMs([]), [sensor("cpu-power", [0], [35])]).heldPower).toBeNull();
});

test("a rate that frames are held to is told from the frames", () => {
  const capped = Array.from({ length: 6000 }, (_, i) => 10 + 0.004 * ((i * 7) % 11));
  expect(factsOf(capped, []).pinned?.kind).toBe("value");
  expect(factsOf(framesMs([]), []).pinned).not.toBeNull();
});

describe("where the slowest hundredth of the frames lies", () => {
  test("is counted in fortieths of the pass", () => {
    // Fortieths of 1.5 s: 26.05 s lies in the one from 25.5 s on, 33.55 s in the one from 33 s on.
    const counts = new Array<number>(40).fill(0);
    counts[17] = 20;
    counts[22] = 20;
    expect(factsOf(framesMs(slowFromS), []).slowAt).toEqual(counts);
  });

  test("takes no more than a hundredth", () => {
    // 1% of 1000 frames is ten: of eleven slow ones each of its own length the fastest is left out.
    const frames = Array.from({ length: 1000 }, (_, i) => (i < 11 ? 20 + i : 10));
    expect(factsOf(frames, []).slowAt?.reduce((sum, count) => sum + count, 0)).toBe(10);
  });

  test.for([
    { frames: 1000, isKnown: true },
    { frames: 999, isKnown: false },
  ])("$frames frames tell it: $isKnown, since it takes ten of them", ({ frames, isKnown }) => {
    expect(factsOf(new Array<number>(frames).fill(10), []).slowAt !== null).toBe(isKnown);
  });
});
