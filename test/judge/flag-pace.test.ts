import { describe, expect, test } from "vitest";
import { flagPace } from "../../src/judge/flag-pace.ts";
import type { PaceDrops, PaceFacts } from "../../src/measure/pace-facts.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import type { Metric } from "../../src/shared/metrics.ts";
import { makePass } from "../support/make-pass.ts";

// Thresholds are common practice without a source; what they find and what they flag for nothing is measured by
// simulation (npm run detection). Here each is held to both of its sides.

interface Facts extends Partial<Record<Metric, number | null>> {
  readonly at?: string;
  readonly pace?: Partial<PaceFacts>;
  readonly cpuClockMhz?: number;
  readonly cpuLoadPct?: number;
}

/** Passes of the cell `saltworks/stock`, or of the one that `at` names. */
function passesOf(facts: readonly Facts[]): PassSummary[] {
  return facts.map(({ at = "saltworks/stock", pace, cpuClockMhz, cpuLoadPct, ...values }, i) => {
    const [game, config] = at.split("/") as [string, string];
    return {
      ...makePass({ game, config, pass: `pass-${i}` }, { avgFps: 100, low1Fps: 70, ...values }),
      cpuClockMhz: cpuClockMhz ?? null,
      cpuLoadPct: cpuLoadPct ?? null,
      ...(pace && { pace: { pinned: null, gpuBusyPct: null, heldPower: null, drops: null, ...pace } }),
    };
  });
}

const flagsOf = (facts: readonly Facts[]) => {
  const passes = passesOf(facts);
  const flags = flagPace(passes);
  return passes.map((pass) => flags.get(pass) ?? []);
};
const codesOf = (facts: readonly Facts[]): string[] =>
  flagsOf(facts).map((flags) => flags.map(({ code }) => code).join());

const pinned = (rateFps: number, kind: "value" | "steps" = "value") => ({
  pace: { pinned: { rateFps, timePct: 90, kind } },
});
const free = { pace: {} };

describe("a frame cap", () => {
  test.for([
    {
      title: "is one where most passes of the cell are held",
      facts: [pinned(100), pinned(100), free],
      capped: [0, 1],
    },
    { title: "is none where half of them are", facts: [pinned(100), free], capped: [] },
    { title: "is one where all are", facts: [pinned(100), pinned(100)], capped: [0, 1] },
    {
      title: "needs no facts of passes that have none",
      facts: [pinned(100), {}, pinned(100)],
      capped: [0, 2],
    },
    {
      title: "holds its rate to 0.3%",
      facts: [pinned(100), pinned(100.29)],
      capped: [0, 1],
    },
    { title: "does not drift by more", facts: [pinned(100), pinned(100.31)], capped: [] },
    { title: "is not two rates that are nearly one", facts: [pinned(100), pinned(101.4)], capped: [] },
    { title: "may be two quite different rates", facts: [pinned(100), pinned(101.6)], capped: [0, 1] },
    {
      title: "may be whole multiples of one period",
      facts: [pinned(60, "steps"), pinned(120.2, "steps")],
      capped: [0, 1],
    },
    { title: "whichever comes first", facts: [pinned(120.2, "steps"), pinned(60, "steps")], capped: [0, 1] },
    {
      title: "is not what is nearly a multiple",
      facts: [pinned(60, "steps"), pinned(120.6, "steps")],
      capped: [],
    },
    {
      title: "is not what another config of the game nearly has",
      facts: [pinned(100), { at: "saltworks/parked", ...pinned(100.6) }],
      capped: [],
    },
    {
      title: "does not depend on other games",
      facts: [pinned(100), { at: "kestrel-cup/stock", ...pinned(100.6) }],
      capped: [0, 1],
    },
    {
      title: "does not depend on how many passes of other configs are held",
      facts: [pinned(100), { at: "saltworks/parked", ...free }, { at: "saltworks/parked", ...free }],
      capped: [0],
    },
    {
      title: "is none where a pass of the cell outruns it",
      facts: [
        { ...pinned(100), avgFps: 99 },
        { ...pinned(100), avgFps: 100.4 },
      ],
      capped: [],
    },
    {
      title: "is not outrun by what rounding may add",
      facts: [
        { ...pinned(100), avgFps: 99 },
        { ...pinned(100), avgFps: 100.2 },
      ],
      capped: [0, 1],
    },
    {
      title: "is not outrun by a pass without an average",
      facts: [pinned(100), pinned(100), { avgFps: null }],
      capped: [0, 1],
    },
    {
      title: "of steps has frames faster than its period by rights",
      facts: [{ ...pinned(60, "steps"), avgFps: 80 }],
      capped: [0],
    },
  ] as { title: string; facts: Facts[]; capped: number[] }[])("$title", ({ facts, capped }) => {
    expect(codesOf(facts)).toEqual(facts.map((_, i) => (capped.includes(i) ? "capped" : "")));
  });

  test("is told with its facts", () => {
    expect(flagsOf([pinned(60, "steps")])).toEqual([
      [{ code: "capped", rateFps: 60, timePct: 90, kind: "steps" }],
    ]);
  });
});

describe("the graphics card at its ceiling", () => {
  test.for([
    { gpuBusyPct: 75, expected: "gpu-bound" },
    { gpuBusyPct: 74.9, expected: "" },
    { gpuBusyPct: null, expected: "" },
  ])("for $gpuBusyPct% of the time: '$expected'", ({ gpuBusyPct, expected }) => {
    expect(codesOf([{ pace: { gpuBusyPct } }])).toEqual([expected]);
  });

  test("is told with the share of the time, beside a cap", () => {
    const [flags] = flagsOf([{ pace: { ...pinned(100).pace, gpuBusyPct: 80 } }]);
    expect(flags).toEqual([expect.objectContaining({ code: "capped" }), { code: "gpu-bound", timePct: 80 }]);
  });
});

describe("drops within a pass", () => {
  const drops = (change: Partial<PaceDrops> = {}) => ({
    pace: {
      drops: {
        ...{ sensor: "cpu-clock", belowPct: 20, timePct: 25, isLoadKept: true, stretches: [[0.25, 0.5]] },
        ...{ slowFramesPct: 80, framesPct: 20, p: 0.05, ...change },
      } as PaceDrops,
    },
  });
  const parked = (facts: Facts): Facts => ({ at: "saltworks/parked", ...facts });
  /** A pass of another config with so many slow frames in each fourth of it. */
  const slowAt = (...counts: number[]): Facts => parked({ pace: { slowAt: counts } });

  test.for([
    { title: "gather most slow frames: told", facts: [drops()], told: [0] },
    { title: "half of them is enough", facts: [drops({ slowFramesPct: 50 })], told: [0] },
    { title: "less is not", facts: [drops({ slowFramesPct: 49.9 })], told: [] },
    { title: "25 points more than of all frames is enough", facts: [drops({ framesPct: 55 })], told: [0] },
    { title: "fewer points more are not", facts: [drops({ framesPct: 55.1 })], told: [] },
    { title: "chance of a quarter is low enough", facts: [drops({ p: 0.25 })], told: [0] },
    { title: "more chance is not", facts: [drops({ p: 0.26 })], told: [] },
    {
      title: "most of a cell's passes that drop have to agree",
      facts: [drops(), drops({ p: 0.5 }), free, free],
      told: [],
    },
    { title: "those that do not drop are no objection", facts: [drops(), free, free], told: [0] },
    { title: "two of three agree", facts: [drops(), drops(), drops({ p: 0.5 })], told: [0, 1] },
    {
      title: "where another config drops at the same place: the scene's own",
      facts: [drops(), parked(drops())],
      told: [],
    },
    {
      title: "where another config drops elsewhere",
      facts: [drops(), parked(drops({ stretches: [[0.5, 0.75]] }))],
      told: [0, 1],
    },
    {
      title: "where half of the place is the other config's too: the scene's own",
      facts: [drops(), parked(drops({ stretches: [[0.375, 0.75]] }))],
      // A third of the longer stretch is not half of it.
      told: [1],
    },
    {
      title: "where less than half of the place is",
      facts: [drops(), parked(drops({ stretches: [[0.38, 0.8]] }))],
      told: [0, 1],
    },
    {
      title: "in several stretches, which add up",
      facts: [
        drops({
          stretches: [
            [0, 0.1],
            [0.5, 0.6],
          ],
        }),
        parked(
          drops({
            stretches: [
              [0.05, 0.1],
              [0.5, 0.55],
              [0.8, 1],
            ],
          }),
        ),
      ],
      told: [1],
    },
    {
      title: "where half of the other configs' passes do: the scene's own",
      facts: [drops(), parked(drops()), parked(free)],
      told: [],
    },
    { title: "where fewer do", facts: [drops(), parked(drops()), parked(free), parked(free)], told: [0] },
    {
      title: "passes of the same config at the same place are no scene",
      facts: [drops(), drops()],
      told: [0, 1],
    },
    {
      title: "a pass of another config without facts says nothing of the scene",
      facts: [drops(), parked(drops()), parked({}), parked({}), parked({})],
      told: [],
    },
    {
      title: "another game's passes say nothing of the scene",
      facts: [drops(), { at: "kestrel-cup/parked", ...drops() }],
      told: [0, 1],
    },
    // 80% of the slow frames lie in the drops: the others may have 55% of theirs there.
    {
      title: "other configs have as many slow frames there: told with 55%",
      facts: [drops(), slowAt(45, 55, 0, 0)],
      told: [0],
    },
    { title: "not with 56%", facts: [drops(), slowAt(44, 56, 0, 0)], told: [] },
    {
      title: "on average over them",
      facts: [drops(), slowAt(0, 70, 30, 0), slowAt(60, 40, 0, 0)],
      told: [0],
    },
    {
      title: "on average over them, too many",
      facts: [drops(), slowAt(0, 72, 28, 0), slowAt(60, 40, 0, 0)],
      told: [],
    },
    {
      title: "only of those that know where theirs lie",
      facts: [drops(), parked({ pace: { slowAt: null } }), slowAt(44, 56, 0, 0)],
      told: [],
    },
    {
      title: "a part of a bin holds that part of its slow frames: 55 of 110",
      facts: [drops({ stretches: [[0.25, 0.375]] }), slowAt(0, 100, 0, 0)],
      told: [0],
    },
    {
      title: "a larger part holds more",
      facts: [drops({ stretches: [[0.25, 0.4]] }), slowAt(0, 100, 0, 0)],
      told: [],
    },
  ] as { title: string; facts: Facts[]; told: number[] }[])("$title", ({ facts, told }) => {
    expect(codesOf(facts)).toEqual(facts.map((_, i) => (told.includes(i) ? "throttled" : "")));
  });

  test("are told with their facts, without their places", () => {
    const [flags] = flagsOf([drops()]);
    expect(flags).toEqual([
      {
        ...{ code: "throttled", kind: "drops", sensor: "cpu-clock", belowPct: 20, timePct: 25 },
        ...{ isLoadKept: true, slowFramesPct: 80, framesPct: 20, p: 0.05 },
      },
    ]);
  });

  test("come before what the cell's other passes say", () => {
    const sibling = { cpuClockMhz: 4000 };
    const [flags] = flagsOf([{ ...drops(), cpuClockMhz: 3000, avgFps: 90 }, sibling, sibling]);
    expect(flags).toEqual([expect.objectContaining({ kind: "drops" })]);
  });
});

describe("a pass against the others of its cell", () => {
  const usual = { cpuClockMhz: 4000, cpuPowerW: 50, cpuLoadPct: 60 };
  const slow = { cpuClockMhz: 3600, cpuPowerW: 50, cpuLoadPct: 60, avgFps: 90 };
  /** The first of three, the others as usual or as said. */
  const firstOf = (first: Facts, others: readonly Facts[] = [usual, usual]) => flagsOf([first, ...others])[0];

  test.for([
    { title: "a lower clock and a lower average", first: slow, told: true },
    { title: "a lower clock and a lower 1% low", first: { ...slow, avgFps: 100, low1Fps: 60 }, told: true },
    { title: "a clock 5% lower", first: { ...slow, cpuClockMhz: 3800 }, told: true },
    { title: "a clock not that much lower", first: { ...slow, cpuClockMhz: 3801 }, told: false },
    { title: "a lower clock and no lower frame rate", first: { ...slow, avgFps: 100 }, told: false },
    { title: "an average 1% lower", first: { ...slow, avgFps: 99 }, told: true },
    { title: "an average not that much lower", first: { ...slow, avgFps: 99.1 }, told: false },
    {
      title: "no clock known: a power 10% lower",
      first: { cpuPowerW: 44.9, avgFps: 90 },
      others: [{ cpuPowerW: 50 }, { cpuPowerW: 50 }],
      told: true,
    },
    {
      title: "no clock known: a power not that much lower",
      first: { cpuPowerW: 45.1, avgFps: 90 },
      others: [{ cpuPowerW: 50 }, { cpuPowerW: 50 }],
      told: false,
    },
    {
      title: "the lowest of the others counts, not their average",
      first: slow,
      others: [usual, { ...usual, cpuClockMhz: 3700 }],
      told: false,
    },
    {
      title: "a clock that one of the others does not know",
      first: slow,
      others: [usual, { cpuPowerW: 50 }],
      told: false,
    },
    {
      title: "a clock of 0, which is none",
      first: slow,
      others: [usual, { ...usual, cpuClockMhz: 0 }],
      told: false,
    },
    {
      title: "neither clock nor power of its own",
      first: { avgFps: 90 },
      others: [{ cpuPowerW: 50 }, { cpuPowerW: 50 }],
      told: false,
    },
    {
      title: "a sensor that reads 0 everywhere",
      first: { cpuPowerW: 0, avgFps: 90 },
      others: [{ cpuPowerW: 0 }, { cpuPowerW: 0 }],
      told: false,
    },
    {
      title: "a lower clock, and a 1% low that is not known",
      first: { ...slow, avgFps: 100, low1Fps: null },
      told: false,
    },
    { title: "one other pass, which may be the odd one", first: slow, others: [usual], told: false },
    { title: "three other passes", first: slow, others: [usual, usual, usual], told: true },
    // 0.85 of a load of 60 is 51.
    { title: "a load that stayed", first: { ...slow, cpuLoadPct: 51 }, told: true },
    {
      title: "a load that fell, so that less was asked for",
      first: { ...slow, cpuLoadPct: 50.9 },
      told: false,
    },
    {
      title: "against the average of the loads that are known",
      first: { ...slow, cpuLoadPct: 50 },
      others: [{ cpuClockMhz: 4000 }, { cpuClockMhz: 4000, cpuLoadPct: 60 }],
      told: false,
    },
    {
      title: "against a mean load that is too high",
      first: { ...slow, cpuLoadPct: 51 },
      others: [usual, { ...usual, cpuLoadPct: 70 }],
      told: false,
    },
    { title: "a load of its own that is unknown", first: { cpuClockMhz: 3600, avgFps: 90 }, told: true },
    {
      title: "loads of the others that are unknown",
      first: { ...slow, cpuLoadPct: 1 },
      others: [{ cpuClockMhz: 4000 }, { cpuClockMhz: 4000 }],
      told: true,
    },
    {
      title: "other configs are no siblings",
      first: slow,
      others: [usual, { at: "saltworks/parked", ...usual }],
      told: false,
    },
  ] as { title: string; first: Facts; others?: Facts[]; told: boolean }[])(
    "$title: $told",
    ({ first, others, told }) => {
      expect(firstOf(first, others)?.map(({ code }) => code) ?? []).toEqual(told ? ["throttled"] : []);
    },
  );

  test("is told with how far everything lies below the lowest of the others", () => {
    const others = [usual, { ...usual, cpuClockMhz: 4500, avgFps: 120, low1Fps: 75 }];
    expect(firstOf({ ...slow, low1Fps: 63 }, others)).toEqual([
      {
        ...{ code: "throttled", kind: "siblings", sensor: "cpu-clock", belowPct: expect.closeTo(10, 10) },
        slower: [
          { metric: "avgFps", belowPct: expect.closeTo(10, 10) },
          { metric: "low1Fps", belowPct: expect.closeTo(10, 10) },
        ],
      },
    ]);
    const power = [{ cpuPowerW: 50 }, { cpuPowerW: 60 }];
    expect(firstOf({ cpuPowerW: 40, avgFps: 90 }, power)).toEqual([
      {
        ...{ code: "throttled", kind: "siblings", sensor: "cpu-power", belowPct: expect.closeTo(20, 10) },
        slower: [{ metric: "avgFps", belowPct: expect.closeTo(10, 10) }],
      },
    ]);
  });
});

describe("power held at one value", () => {
  const held = (at: string, watts: number): Facts => ({
    at,
    pace: { heldPower: { watts, timePct: 80 } },
  });

  test("in two games of a config is a limit, told with the number of games", () => {
    const flags = flagsOf([
      held("saltworks/stock", 35),
      held("saltworks/stock", 35.1),
      held("kestrel-cup/stock", 35.6),
      held("tide-runner/stock", 50),
      { at: "ninth-lantern/stock", ...free },
      { at: "ninth-lantern/stock" },
    ]);
    expect(flags).toEqual([
      [{ code: "power-limited", watts: 35, timePct: 80, games: 2 }],
      [{ code: "power-limited", watts: 35.1, timePct: 80, games: 2 }],
      [{ code: "power-limited", watts: 35.6, timePct: 80, games: 2 }],
      [],
      [],
      [],
    ]);
  });

  test.for([
    { title: "2% apart on the log scale", other: 35.7, told: true },
    { title: "further apart", other: 35.8, told: false },
    { title: "further apart, the other way", other: 34.2, told: false },
  ])("$title: $told", ({ other, told }) => {
    const codes = codesOf([held("saltworks/stock", 35), held("kestrel-cup/stock", other)]);
    expect(codes).toEqual(told ? ["power-limited", "power-limited"] : ["", ""]);
  });

  test("in one game, or in two of different configs, is none", () => {
    expect(codesOf([held("saltworks/stock", 35), held("saltworks/stock", 35)])).toEqual(["", ""]);
    expect(codesOf([held("saltworks/stock", 35), held("kestrel-cup/parked", 35)])).toEqual(["", ""]);
  });

  test("comes after what else set the pace", () => {
    const both = {
      avgFps: 60,
      pace: { ...pinned(60).pace, heldPower: { watts: 35, timePct: 80 } },
    };
    expect(codesOf([both, { at: "kestrel-cup/stock", ...both }])).toEqual([
      "capped,power-limited",
      "capped,power-limited",
    ]);
  });
});
