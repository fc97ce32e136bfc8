import { describe, expect, test } from "vitest";
import { findHeldPower } from "../../src/measure/held-power.ts";
import { findPinnedRate } from "../../src/measure/pinned-rate.ts";
import { gridSensor, isConstant } from "../../src/measure/sensor-grid.ts";
import { slowFramesAt, slowFramesIn } from "../../src/measure/slow-frames-in.ts";
import { sensor } from "../support/log-of.ts";

// The thresholds are common practice without a source; what is held here is that they lie where they are said to.

/** Watts that pile up nowhere. */
const spreadOut = (count: number): number[] => Array.from({ length: count }, (_, i) => 20 + 0.7 * (i % 36));
const times = (count: number, value: number): number[] => new Array<number>(count).fill(value);

describe("power that is held", () => {
  test.for([
    { what: "for half of the time", grid: [...spreadOut(50), ...times(50, 50)], timePct: 50 },
    { what: "for a little less", grid: [...spreadOut(51), ...times(49, 50)], timePct: null },
    { what: "with a fiftieth above it", grid: [...spreadOut(20), ...times(78, 50), 60, 70], timePct: 78 },
    { what: "with more above it", grid: [...spreadOut(20), ...times(77, 50), 60, 70, 65], timePct: null },
    { what: "behind a boost of a third", grid: [...times(33, 80), ...times(67, 50)], timePct: 67 },
    { what: "behind a longer boost", grid: [...times(34, 80), ...times(66, 50)], timePct: null },
    {
      what: "within a hundredth either way",
      grid: [...spreadOut(40), ...times(30, 49.6), ...times(30, 50.5)],
      timePct: 60,
    },
    { what: "wider apart", grid: [...spreadOut(40), ...times(30, 49), ...times(30, 50.5)], timePct: null },
    { what: "always", grid: times(100, 50), timePct: null },
    { what: "in twenty cells", grid: [30, ...times(19, 50)], timePct: 95 },
    { what: "in nineteen", grid: [30, ...times(18, 50)], timePct: null },
  ])("$what", ({ grid, timePct }) => {
    expect(findHeldPower(Float64Array.from(grid))?.timePct ?? null).toBe(timePct);
  });

  test("its value is the middle of the pile", () => {
    const grid = [...spreadOut(20), ...times(30, 49.8), ...times(20, 50), ...times(30, 50.2)];
    expect(findHeldPower(Float64Array.from(grid))?.watts).toBe(50);
  });
});

describe("a rate that frames are held to", () => {
  /** Frame times printed finely that lie on no steps. */
  const frames = Float64Array.from({ length: 4000 }, (_, i) => 7 + ((i * 7919) % 6007) / 1000);
  /** A pile about 10 ms, fresh from block to block. */
  const pile = (count: number): number[] =>
    Array.from({ length: count }, (_, i) => 10 + 0.012 * ((i % 3) - 1));
  const slower = (count: number): number[] => Array.from({ length: count }, (_, i) => 12 + 0.3 * i);
  const faster = (count: number): number[] => Array.from({ length: count }, (_, i) => 8 + 0.3 * i);
  test.for([
    { what: "in two fifths of the blocks", medians: [...pile(20), ...slower(30)], isHeld: true },
    { what: "in fewer", medians: [...pile(19), ...slower(31)], isHeld: false },
    {
      what: "and a fiftieth of them faster",
      medians: [...pile(30), ...faster(1), ...slower(19)],
      isHeld: true,
    },
    { what: "and more of them faster", medians: [...pile(30), ...faster(2), ...slower(18)], isHeld: false },
    { what: "in twenty blocks", medians: [...pile(12), ...slower(8)], isHeld: true },
    { what: "in nineteen", medians: [...pile(12), ...slower(7)], isHeld: false },
    {
      what: "but the blocks wander through it, as a scene does",
      medians: [...Array.from({ length: 40 }, (_, i) => 9.96 + 0.002 * i), ...slower(10)],
      isHeld: false,
    },
    {
      what: "wandering less than any scene",
      medians: [...Array.from({ length: 40 }, (_, i) => 9.99 + 0.0005 * i), ...slower(10)],
      isHeld: true,
    },
  ])("$what", ({ medians, isHeld }) => {
    const found = findPinnedRate(frames, Float64Array.from(medians));
    expect(found?.kind ?? null).toBe(isHeld ? "value" : null);
    if (found !== null) expect(found.rateFps).toBeCloseTo(100, 0);
  });

  test("the time there is that of its blocks", () => {
    const found = findPinnedRate(frames, Float64Array.from([...times(30, 10), ...times(20, 15)]));
    expect(found).toEqual({ rateFps: 100, timePct: 50, kind: "value" });
  });

  test("frame times printed too coarsely do not tell", () => {
    const coarse = frames.map((ms) => Math.round(ms / 0.25) * 0.25);
    expect(findPinnedRate(coarse, Float64Array.from([...pile(30), ...slower(20)]))).toBe(null);
  });

  describe("in steps of a display's period", () => {
    const period = 10;
    const sync = (once: number, twice: number, off: number): Float64Array =>
      Float64Array.from([
        ...Array.from({ length: once }, (_, i) => period + 0.0001 * (i % 7)),
        ...times(twice, 2 * period),
        ...Array.from({ length: off }, (_, i) => 1.37 * period + 0.0003 * (i % 5)),
      ]);
    test.for([
      { what: "nine tenths on steps", once: 850, twice: 50, off: 100, isSteps: true },
      { what: "fewer on steps", once: 849, twice: 50, off: 101, isSteps: false },
      { what: "three hundredths on the second", once: 970, twice: 30, off: 0, isSteps: true },
      { what: "fewer on the second", once: 971, twice: 29, off: 0, isSteps: false },
    ])("$what", ({ once, twice, off, isSteps }) => {
      const medians = Float64Array.from(times(40, period));
      const found = findPinnedRate(sync(once, twice, off), medians);
      expect(found?.kind === "steps").toBe(isSteps);
      if (!isSteps) return;
      expect(found?.rateFps).toBeCloseTo(100, 6);
      const allMs = once * 10 + twice * 20 + off * 13.7;
      expect(found?.timePct).toBeCloseTo((100 * (allMs - off * 13.7)) / allMs, 2);
    });
  });
});

describe("a sensor on a grid", () => {
  const readings = sensor("cpu-power", [1, 2, 4], [10, 20, 40]);
  test.for([
    { what: "a reading per cell", fromS: 0, toS: 4, cells: 4, grid: [10, 10, 20, 20] },
    { what: "readings within a cell", fromS: 1, toS: 5, cells: 2, grid: [15, 30] },
    { what: "behind the last reading", fromS: 4, toS: 6, cells: 2, grid: [40, 40] },
    { what: "up to the first reading", fromS: 0, toS: 1, cells: 1, grid: [10] },
    { what: "before the first reading", fromS: 0, toS: 0.9, cells: 1, grid: null },
    { what: "after the last one", fromS: 4.1, toS: 6, cells: 1, grid: null },
    { what: "no time", fromS: 2, toS: 2, cells: 1, grid: null },
  ])("$what", ({ fromS, toS, cells, grid }) => {
    const found = gridSensor(readings, fromS, toS, cells);
    expect(found === null ? null : [...found]).toEqual(grid);
  });

  test("readings that are no numbers leave the one before them, and alone are nothing", () => {
    const gaps = sensor("cpu-power", [0, 1, 2], [Number.NaN, 20, Number.NaN]);
    expect([...(gridSensor(gaps, 0, 3, 3) ?? [])]).toEqual([20, 20, 20]);
    expect(gridSensor(sensor("cpu-power", [0, 1], [Number.NaN, Number.NaN]), 0, 3, 3)).toBe(null);
    expect(gridSensor(sensor("cpu-power", [], []), 0, 3, 3)).toBe(null);
  });

  test("never changes where only the last digits do", () => {
    expect(isConstant(Float64Array.of(5, 5 + 1e-10, 5))).toBe(true);
    expect(isConstant(Float64Array.of(5, 5.001, 5))).toBe(false);
    expect(isConstant(Float64Array.of(-5, -5.001))).toBe(false);
    expect(isConstant(Float64Array.of(0, 0))).toBe(true);
  });
});

describe("where slow frames lie", () => {
  // Forty frames of 100 ms, one in each fortieth of 4 s.
  const frameTimesMs = Float64Array.from(times(40, 100));
  test("each in its fortieth, whichever clock tells when it ended", () => {
    const ones = times(40, 1);
    expect(slowFramesAt(frameTimesMs, null, { fromS: 0, toS: 4 }, 99)).toEqual(ones);
    const endsS = Float64Array.from({ length: 40 }, (_, i) => 1 + 0.1 * (i + 1));
    expect(slowFramesAt(frameTimesMs, endsS, { fromS: 1, toS: 5 }, 99)).toEqual(ones);
    expect(slowFramesAt(frameTimesMs, null, { fromS: 0, toS: 4 }, 100)).toEqual(times(40, 0));
    const late = slowFramesAt(frameTimesMs, null, { fromS: 0, toS: 2 }, 99);
    expect(late.reduce((sum, count) => sum + count, 0)).toBe(40);
    expect(late.at(-1)).toBe(21);
  });

  test("inside stretches or not, in percent of the slow ones and of all", () => {
    const slow = frameTimesMs.map((ms, i) => (i === 10 || i === 11 ? ms + 0.5 : ms));
    const inside = new Uint8Array(40).fill(1, 8, 12);
    const window = { fromS: 0, toS: slow.reduce((sum, ms) => sum + ms, 0) / 1000 };
    // Of the forty shifts three catch both: those that move the stretch by -1, 0 and 1 or 2 cells.
    const found = slowFramesIn(slow, null, window, 100, inside);
    expect(found?.slowFramesPct).toBe(100);
    expect(found?.framesPct).toBe(10);
    expect(found?.p).toBe(3 / 40);
    expect(slowFramesIn(slow, null, window, 101, inside)).toBe(null);
  });
});
