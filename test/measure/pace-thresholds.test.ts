import { describe, expect, test } from "vitest";
import { findHeldPower } from "../../src/measure/held-power.ts";
import { findLargestPile } from "../../src/measure/largest-pile.ts";
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
    { what: "behind a boost of a third", grid: [...times(30, 80), ...times(60, 50)], timePct: 100 / 1.5 },
    { what: "behind a longer boost", grid: [...times(31, 80), ...times(59, 50)], timePct: null },
    { what: "below a boost that comes late", grid: [...times(60, 50), ...times(30, 80)], timePct: null },
    {
      what: "within a hundredth either way",
      grid: [...spreadOut(40), ...times(30, 49.6), ...times(30, 50.5)],
      timePct: 60,
    },
    { what: "wider apart", grid: [...spreadOut(40), ...times(30, 49), ...times(30, 50.5)], timePct: null },
    { what: "always", grid: times(100, 50), timePct: null },
    { what: "in 20 cells", grid: [30, ...times(19, 50)], timePct: 95 },
    { what: "in 19", grid: [30, ...times(18, 50)], timePct: null },
  ])("$what", ({ grid, timePct }) => {
    const found = findHeldPower(Float64Array.from(grid));
    if (timePct === null) expect(found).toBeNull();
    else expect(found?.timePct).toBeCloseTo(timePct, 10);
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
    { what: "in 20 blocks", medians: [...pile(12), ...slower(8)], isHeld: true },
    { what: "in 19", medians: [...pile(12), ...slower(7)], isHeld: false },
    {
      what: "in fewer, with one that is faster",
      medians: [...pile(19), ...faster(1), ...slower(30)],
      isHeld: false,
    },
    {
      what: "in places that never follow one another, so that nobody can tell it from a scene",
      medians: pile(25).flatMap((ms) => [ms, 15]),
      isHeld: false,
    },
    {
      what: "but wandering between interruptions, as a scene does",
      medians: Array.from({ length: 20 }, (_, i) => 9.96 + 0.004 * i).flatMap((ms) => [ms, ms, 15]),
      isHeld: false,
    },
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
    /** So many frames of so many periods each, that differ in the last digits as finely printed ones do. */
    const sync = (...counts: readonly (readonly [frames: number, periods: number])[]): Float64Array =>
      Float64Array.from(
        counts.flatMap(([frames, periods]) =>
          Array.from({ length: frames }, (_, i) => period * periods + 0.0001 * (i % 7)),
        ),
      );
    const find = (frameTimesMs: Float64Array, pileMs = period) =>
      findPinnedRate(frameTimesMs, Float64Array.from(times(40, pileMs)));

    test.for([
      {
        what: "nine tenths on steps",
        counts: [
          [850, 1],
          [50, 2],
          [100, 1.37],
        ],
        isSteps: true,
      },
      {
        what: "fewer on steps",
        counts: [
          [849, 1],
          [50, 2],
          [101, 1.37],
        ],
        isSteps: false,
      },
      {
        what: "three hundredths on the second",
        counts: [
          [970, 1],
          [30, 2],
        ],
        isSteps: true,
      },
      {
        what: "fewer on the second",
        counts: [
          [971, 1],
          [29, 2],
        ],
        isSteps: false,
      },
      {
        what: "the second step being the eighth",
        counts: [
          [950, 1],
          [50, 8],
        ],
        isSteps: true,
      },
      {
        what: "or later, which is no step",
        counts: [
          [950, 1],
          [50, 9],
        ],
        isSteps: false,
      },
      {
        what: "frames of next to no time are on none",
        counts: [
          [950, 1],
          [50, 0.001],
        ],
        isSteps: false,
      },
      {
        what: "almost on a step",
        counts: [
          [950, 1],
          [50, 1.961],
        ],
        isSteps: true,
      },
      {
        what: "beside it",
        counts: [
          [950, 1],
          [50, 1.959],
        ],
        isSteps: false,
      },
    ] as const)("$what", ({ counts, isSteps }) => {
      const found = find(sync(...counts));
      expect(found?.kind === "steps").toBe(isSteps);
      if (isSteps) expect(found?.rateFps).toBeCloseTo(100, 6);
    });

    test("the time is that of the frames on steps, whatever their number", () => {
      // By hand: of 850 * 10 + 50 * 20 + 40 * 90 + 60 * 13.7 ms those of one and of two periods.
      const found = find(sync([850, 1], [50, 2], [40, 9], [60, 1.37]));
      expect(found?.timePct).toBeCloseTo((100 * (8500 + 1000)) / (8500 + 1000 + 3600 + 822), 2);
    });

    test.for([
      {
        pilePeriods: 2,
        counts: [
          [200, 1],
          [600, 2],
          [200, 3],
        ],
      },
      {
        pilePeriods: 3,
        counts: [
          [200, 2],
          [600, 3],
          [200, 4],
        ],
      },
    ] as const)(
      "frames pile up at $pilePeriods periods, and the rate is that of one",
      ({ pilePeriods, counts }) => {
        const found = find(sync(...counts), pilePeriods * period);
        expect(found?.kind).toBe("steps");
        expect(found?.rateFps).toBeCloseTo(100, 1);
      },
    );

    test("a long pass tells the same by some of its frames", () => {
      const found = find(
        sync(
          ...Array.from(
            { length: 1000 },
            () =>
              [
                [9, 1],
                [1, 2],
              ] as const,
          ).flat(),
        ),
      );
      expect(found?.kind).toBe("steps");
      // Every third of ten thousand frames, a tenth of them twice as long.
      expect(found?.timePct).toBeCloseTo(100, 6);
    });

    // A grain of half of the slack decides by itself whether a frame is on a step: 2% of the period of 10 ms.
    test.for([
      { grain: 0.19, isSteps: true },
      { grain: 0.21, isSteps: false },
    ])("frames at two and three periods, printed to $grain ms", ({ grain, isSteps }) => {
      const printed = sync([200, 1], [600, 2], [200, 3]).map(
        (ms, i) => Math.round((ms + 0.15 * ((i % 3) - 1)) / grain) * grain,
      );
      expect(find(printed, 2 * period)?.kind === "steps").toBe(isSteps);
    });
  });
});

describe("the largest pile of sorted values", () => {
  test.for([
    { what: "the one with most values", sorted: [1, 5, 5, 5, 9, 9], pile: { start: 1, end: 4 } },
    { what: "of equal ones the lowest", sorted: [5, 5, 9, 9], pile: { start: 0, end: 2 } },
    { what: "up to its width above its lowest", sorted: [4, 8, 9, 10, 11], pile: { start: 1, end: 4 } },
    { what: "the last values of all", sorted: [1, 2, 8, 9], pile: { start: 2, end: 4 } },
    { what: "a single value", sorted: [3], pile: { start: 0, end: 1 } },
  ])("$what", ({ sorted, pile }) => {
    expect(findLargestPile(Float64Array.from(sorted), 0.25)).toEqual(pile);
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
    expect(isConstant(Float64Array.of(4000, 4000 + 2e-6))).toBe(true);
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

  describe("by the clock, where frames between them are missing", () => {
    // A second is missing after the first twenty frames, so that 5 s pass in all.
    const endsS = Float64Array.from({ length: 40 }, (_, i) => 0.1 * (i + 1) + (i < 20 ? 0 : 1));
    const window = { fromS: 0, toS: 5 };
    const slow = frameTimesMs.map((ms, i) => (i === 20 ? ms + 0.5 : ms));

    test("counted in fortieths", () => {
      // It ends at 3.1 s: in the fortieth from 3 to 3.125 s.
      const counts = slowFramesAt(slow, endsS, window, 100);
      expect(counts.indexOf(1)).toBe(24);
    });

    test("inside stretches", () => {
      const inside = new Uint8Array(50).fill(1, 30, 31);
      expect(slowFramesIn(slow, endsS, window, 100, inside)).toEqual({
        slowFramesPct: 100,
        framesPct: 2.5,
        p: 1 / 50,
      });
    });
  });

  test("what ends behind the window belongs to its last cell", () => {
    const slow = frameTimesMs.map((ms, i) => (i === 39 ? ms + 0.5 : ms));
    const inside = new Uint8Array(10).fill(1, 9);
    // Cells of 0.2 s: the first nine hold 18 frames.
    const found = slowFramesIn(slow, null, { fromS: 0, toS: 2 }, 100, inside);
    expect(found).toEqual({ slowFramesPct: 100, framesPct: 55, p: 0.1 });
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
