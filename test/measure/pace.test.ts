import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { blockFrames, blockMedians } from "../../src/measure/block-medians.ts";
import { changePoints } from "../../src/measure/change-points.ts";
import { findHeldPower } from "../../src/measure/held-power.ts";
import { findPinnedRate } from "../../src/measure/pinned-rate.ts";
import { findDrops } from "../../src/measure/sensor-drops.ts";
import { gridSensor } from "../../src/measure/sensor-grid.ts";
import { slowFramesIn } from "../../src/measure/slow-frames-in.ts";
import { measureSteadiness } from "../../src/measure/steadiness.ts";
import { timeWeightedMean } from "../../src/measure/time-weighted-mean.ts";
import { expectClose } from "../support/expect-close.ts";
import { readReference } from "../support/read-reference.ts";
import { seededRandom } from "../support/seeded-random.ts";

// Source: base R 4.2 and strucchange (breakpoints, Bai & Perron 2003), test/reference/pace.R.
const reference = readReference<{
  steadiness: {
    framesMs: number[];
    medians: number[];
    stutterTimePct: number;
    worstFrameMs: number;
    meanStepMs: number;
  };
  values: number[];
  changes: { penalty: number; starts: number[] }[];
}>("test/reference/pace.json");

const sumOf = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0);

describe("steadiness of a pass", () => {
  const { framesMs, medians, ...figures } = reference.steadiness;
  const frames = Float64Array.from(framesMs);

  test("the running median, the time in stutters, the worst frame and the mean step are R's", () => {
    expect([...blockMedians(frames)]).toEqual(medians);
    const steadiness = measureSteadiness(frames, blockMedians(frames), sumOf(frames));
    for (const key of ["stutterTimePct", "worstFrameMs", "meanStepMs"] as const) {
      expectClose(steadiness[key], figures[key], 1e-13, key);
    }
  });

  test("a pass shorter than a block of the median has none", () => {
    const short = new Float64Array(blockFrames - 1).fill(10);
    expect(measureSteadiness(short, blockMedians(short), sumOf(short))).toEqual({
      stutterTimePct: null,
      worstFrameMs: null,
      meanStepMs: null,
    });
  });

  test("a pass as long as a block has them; only a frame longer than twice the median is a stutter", () => {
    const least = new Float64Array(blockFrames).fill(10);
    least[7] = 20;
    least[8] = 20.5;
    const steadiness = measureSteadiness(least, blockMedians(least), sumOf(least));
    expectClose(steadiness.stutterTimePct, (100 * 20.5) / sumOf(least), 1e-15);
    expect(steadiness.worstFrameMs).toBe(20.5);
    // By hand: up by 10, by 0.5, and down by 10.5.
    expectClose(steadiness.meanStepMs, 21 / (blockFrames - 1), 1e-15);
  });

  test("a median lies within its block, and scaling all frames scales it", () => {
    const block = fc.array(fc.double({ min: 0.5, max: 100, noNaN: true }), { minLength: 75, maxLength: 240 });
    fc.assert(
      fc.property(block, (values) => {
        const medians = blockMedians(Float64Array.from(values));
        const doubled = blockMedians(Float64Array.from(values, (value) => 2 * value));
        medians.forEach((median, i) => {
          const start = Math.min(i * blockFrames, values.length - blockFrames);
          const own = values.slice(start, start + blockFrames);
          expect(own).toContain(median);
          // At least three of five, of three of five, of two of three lie on either side.
          expect(own.filter((value) => value <= median).length).toBeGreaterThanOrEqual(18);
          expect(own.filter((value) => value >= median).length).toBeGreaterThanOrEqual(18);
          expect(doubled[i]).toBe(2 * median);
        });
      }),
    );
  });
});

describe("change points of a level", () => {
  test.for(reference.changes)(
    "the optimal partition at a penalty of $penalty is R's",
    ({ penalty, starts }) => {
      expect(changePoints(reference.values, penalty, 2)).toEqual(starts);
    },
  );

  test.for([
    { what: "no values have none", values: [], least: 2, starts: [] },
    { what: "one value is one", values: [7], least: 2, starts: [0] },
    { what: "too few for two stretches are one", values: [0, 0, 0, 99, 99], least: 3, starts: [0] },
    { what: "just enough for two", values: [0, 0, 0, 99, 99, 99], least: 3, starts: [0, 3] },
    { what: "single values, where they may be", values: [0, 99, 0], least: 1, starts: [0, 1, 2] },
  ])("stretches: $what", ({ values, least, starts }) => {
    expect(changePoints(values, 3, least)).toEqual(starts);
  });

  test("no partition is cheaper than the one found, by trying all of a short series", () => {
    const series = fc.array(fc.integer({ min: -5, max: 5 }), { minLength: 2, maxLength: 10 });
    fc.assert(
      fc.property(
        series,
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        fc.constantFrom(1, 2),
        (values, penalty, least) => {
          const costOf = (starts: readonly number[]): number =>
            starts.reduce((sum, start, i) => {
              const own = values.slice(start, starts[i + 1] ?? values.length);
              const mean = own.reduce((a, b) => a + b, 0) / own.length;
              return sum + own.reduce((a, b) => a + (b - mean) ** 2, 0) + (i === 0 ? 0 : penalty);
            }, 0);
          const all: number[][] = [];
          for (let mask = 0; mask < 2 ** (values.length - 1); mask++) {
            const starts = [0, ...values.slice(1).flatMap((_, i) => ((mask >> i) & 1 ? [i + 1] : []))];
            if (starts.every((start, i) => (starts[i + 1] ?? values.length) - start >= least))
              all.push(starts);
          }
          const found = changePoints(values, penalty, least);
          if (all.length === 0) return;
          expect(costOf(found)).toBeLessThanOrEqual(Math.min(...all.map(costOf)) + 1e-9);
        },
      ),
    );
  });
});

describe("a sensor on a grid of time", () => {
  test("each cell is the time-weighted mean over it, and so is the mean of all", () => {
    const random = seededRandom(4);
    const atS = Float64Array.from({ length: 300 }, (_, i) => i * 0.1 + 0.05 * random.uniform());
    const values = Float64Array.from(atS, () => 40 + 5 * random.normal());
    const grid = gridSensor({ atS, values }, 1, 29, 56) as Float64Array;
    const series = { role: "cpu-power", unit: "W", column: "", atS, values } as const;
    grid.forEach((value, i) => {
      expectClose(value, timeWeightedMean(series, 1 + i * 0.5, 1.5 + i * 0.5), 1e-12);
    });
    expectClose(sumOf(grid) / 56, timeWeightedMean(series, 1, 29), 1e-12);
  });
});

describe("a rate that frame times are held to", () => {
  const random = seededRandom(11);
  const wander = (n: number, ms: number, spread: number): Float64Array => {
    let level = 0;
    return Float64Array.from({ length: n }, (_, i) => {
      level = 0.99 * level + 0.14 * random.normal();
      return ms * (1 + spread * (Math.sin(i / 700) + 0.5 * level) + 0.02 * random.normal());
    });
  };
  const rounded = (frames: Float64Array, grain: number): Float64Array =>
    frames.map((ms) => Math.max(grain, Math.round(ms / grain) * grain));
  const capped = (frames: Float64Array, ms: number): Float64Array =>
    frames.map((own) => (own < ms ? ms * (1 + 0.004 * random.normal()) : own));
  const synced = (frames: Float64Array, ms: number): Float64Array =>
    frames.map((own) => Math.ceil(own / ms) * ms * (1 + 0.003 * random.normal()));
  const findIn = (frames: Float64Array) => findPinnedRate(frames, blockMedians(frames));

  test.for([
    { what: "capped at 144", frames: capped(wander(8000, 6, 0.08), 1000 / 144), fps: 144, kind: "value" },
    {
      what: "capped at 60 all the time",
      frames: capped(wander(4000, 9, 0.1), 1000 / 60),
      fps: 60,
      kind: "value",
    },
    {
      what: "capped at 144, printed to 0.01 ms",
      frames: rounded(capped(wander(8000, 6, 0.08), 1000 / 144), 0.01),
      fps: 144,
      kind: "value",
    },
    {
      what: "display sync at 60",
      frames: synced(wander(5000, 16.5, 0.1), 1000 / 60),
      fps: 60,
      kind: "steps",
    },
  ])("$what is found", ({ frames, fps, kind }) => {
    const found = findIn(frames);
    expect(found?.kind).toBe(kind);
    expectClose(found?.rateFps, fps, 0.003, "rate");
    expect(found?.timePct).toBeGreaterThan(50);
  });

  test.for([
    { what: "a scene that wanders", frames: wander(8000, 7, 0.08) },
    { what: "a calm scene that wanders little", frames: wander(8000, 7, 0.01) },
    {
      what: "frame times in whole milliseconds, which pile up by themselves",
      frames: rounded(wander(8000, 7, 0.1), 1),
    },
    { what: "too few frames", frames: capped(wander(1000, 6, 0.08), 1000 / 144) },
  ])("$what is not", ({ frames }) => {
    expect(findIn(frames)).toBeNull();
  });
});

describe("drops of a clock", () => {
  const random = seededRandom(5);
  const clock = (level: (i: number) => number, noise = 0.005): Float64Array =>
    Float64Array.from({ length: 240 }, (_, i) => 4700 * level(i) * (1 + noise * random.normal()));
  const cellS = 0.25;

  test("a fall and its return is found with its place, depth and level", () => {
    const found = findDrops(
      clock((i) => (i >= 100 && i < 130 ? 0.85 : 1)),
      cellS,
      0.05,
    );
    expect(found?.stretches).toEqual([{ start: 100, end: 130 }]);
    expectClose(found?.belowPct, 15, 0.03);
    expectClose(found?.usual, 4700, 0.005);
  });

  test.for([
    { what: "a boost at the start that ends for good", level: (i: number) => (i < 60 ? 1.12 : 1) },
    { what: "a slow decline", level: (i: number) => 1 - (0.1 * i) / 240 },
    { what: "a clock that starts low and rises", level: (i: number) => (i < 20 ? 0.5 : 1) },
    { what: "falls smaller than asked for", level: (i: number) => (i >= 100 && i < 130 ? 0.97 : 1) },
    { what: "noise alone", level: () => 1 },
  ])("$what is none", ({ level }) => {
    expect(findDrops(clock(level), cellS, 0.05)).toBeNull();
  });

  test("a sensor that never changes has none, nor a power limit", () => {
    const constant = new Float64Array(240).fill(2596.148);
    expect(findDrops(constant, cellS, 0.05)).toBeNull();
    expect(findHeldPower(constant)).toBeNull();
  });
});

test("power is held where it piles up from below, a boost at the start left out", () => {
  const random = seededRandom(6);
  const power = Float64Array.from({ length: 240 }, (_, i) =>
    i < 30 ? 41 : (i % 9 === 0 ? 31 : 35) * (1 + 0.002 * random.normal()),
  );
  const held = findHeldPower(power);
  expectClose(held?.watts, 35, 0.01);
  expectClose(held?.timePct, 77.5, 0.02);
  expect(findHeldPower(power.map((watts) => watts * (1 + 0.05 * random.normal())))).toBeNull();
});

test("slow frames in some cells are counted, and every shift of the cells is tried", () => {
  // Worked by hand: 10 cells of 1 s with 10 frames each; the 3 slow ones lie in cells 4 and 5.
  const frames = new Float64Array(100).fill(100);
  for (const slow of [41, 45, 52]) frames[slow] = 100.5;
  const inside = Uint8Array.from({ length: 10 }, (_, cell) => Number(cell === 4 || cell === 5));
  const window = { fromS: 0, toS: 10.0015 };
  expect(slowFramesIn(frames, null, window, 100.2, inside)).toEqual({
    slowFramesPct: 100,
    framesPct: 20,
    p: 0.1,
  });
  expect(slowFramesIn(frames, null, window, 200, inside)).toBeNull();
});
