import { describe, expect, test } from "vitest";
import { cautionPace } from "../../src/judge/caution-pace.ts";
import type { PassFlag } from "../../src/judge/describe-flag.ts";
import { findLimits, limitOf } from "../../src/judge/find-limits.ts";
import type { MarkedPass } from "../../src/judge/mark-passes.ts";
import { makeVerdict, markPass } from "../support/make-verdict.ts";

// Common practice, no source: what holds of most passes of a cell holds of the cell.

const capped = (rateFps = 60): PassFlag => ({ code: "capped", kind: "value", rateFps, timePct: 90 });
const gpuBound = (timePct = 90): PassFlag => ({ code: "gpu-bound", timePct });
const throttled: PassFlag = {
  ...{ code: "throttled", kind: "siblings", sensor: "cpu-clock", belowPct: 10, slower: [] },
};
const limited = (watts: number): PassFlag => ({ code: "power-limited", watts, timePct: 80, games: 2 });
const cell = (at: string, ...flags: readonly (readonly PassFlag[])[]): MarkedPass[] =>
  flags.map((own, i) => markPass(at, i, own));
const stock = "saltworks/stock";
const parked = "saltworks/parked";

describe("what limits a cell", () => {
  test.for([
    { title: "a cap in most passes", flags: [[capped()], [capped()], []], limit: "capped" },
    { title: "a cap in half of them does not", flags: [[capped()], []], limit: undefined },
    { title: "a busy graphics card", flags: [[gpuBound()], [gpuBound()]], limit: "gpu-bound" },
    { title: "a cap, which also keeps the card busy", flags: [[gpuBound(), capped()]], limit: "capped" },
    { title: "nothing that is of another kind", flags: [[throttled], [limited(35)]], limit: undefined },
  ])("$title", ({ flags, limit }) => {
    expect(findLimits(cell(stock, ...flags)).get("9 saltworksstock")).toBe(limit);
  });

  test("is not what passes say that do not count", () => {
    const away = markPass(stock, 1, [], { counted: false });
    const more = markPass(stock, 2, [], { counted: false });
    expect(findLimits([markPass(stock, 0, [capped()]), away, more]).size).toBe(1);
    expect(findLimits([markPass(stock, 0, []), { ...away, flags: [capped()] }]).size).toBe(0);
  });

  test("limits a comparison on either side, its own side first", () => {
    const limits = findLimits([...cell(stock, [gpuBound()]), ...cell(parked, [capped()])]);
    const at = (config: string, against: string) => limitOf(limits, { game: "saltworks", config, against });
    expect(at("parked", "stock")).toBe("capped");
    expect(at("full", "stock")).toBe("gpu-bound");
    expect(at("stock", "parked")).toBe("gpu-bound");
    expect(at("full", "quiet")).toBeNull();
    expect(limitOf(limits, { game: "kestrel-cup", config: "parked", against: "stock" })).toBeNull();
  });
});

describe("the caution on limits", () => {
  const told = (marked: readonly MarkedPass[]) => cautionPace({ marked, verdicts: [] });

  test("names a game where every config is limited, with its lowest and highest figure", () => {
    const marked = [
      ...cell(stock, [capped(60)], [capped(59.5)], []),
      ...cell(parked, [capped(60.5)]),
      ...cell("kestrel-cup/stock", []),
    ];
    expect(told(marked)).toEqual([
      { code: "capped", games: [{ game: "saltworks", configs: null, lowest: 59.5, highest: 60.5 }] },
    ]);
  });

  test("names the configs where not all are, and the share of the time for a busy card", () => {
    const marked = [
      ...cell(stock, [gpuBound(80), capped(60)], [gpuBound(99)], [gpuBound(90)]),
      ...cell(parked, [], [gpuBound(76)]),
    ];
    expect(told(marked)).toEqual([
      { code: "gpu-bound", games: [{ game: "saltworks", configs: ["stock"], lowest: 80, highest: 99 }] },
    ]);
  });

  test("tells caps first, then busy cards, each with its games", () => {
    const marked = [
      ...cell(stock, [gpuBound(80)]),
      ...cell("kestrel-cup/stock", [capped(144)]),
      ...cell("tide-runner/stock", [capped(60)]),
    ];
    expect(told(marked)).toEqual([
      {
        code: "capped",
        games: [
          { game: "kestrel-cup", configs: null, lowest: 144, highest: 144 },
          { game: "tide-runner", configs: null, lowest: 60, highest: 60 },
        ],
      },
      { code: "gpu-bound", games: [{ game: "saltworks", configs: null, lowest: 80, highest: 80 }] },
    ]);
  });
});

describe("the caution on throttling", () => {
  test("names cells where most passes throttle, with how many of how many", () => {
    const marked = [
      ...cell(stock, [throttled], [throttled], []),
      ...cell(parked, [throttled], []),
      markPass("tide-runner/stock", 0, [throttled], { counted: false }),
    ];
    expect(cautionPace({ marked, verdicts: [] })).toEqual([
      { code: "throttled", cells: [{ cell: stock, throttled: 2, passes: 3 }] },
    ]);
  });
});

describe("the caution on a processor that is held back", () => {
  /** Two passes of a cell at these clocks. */
  const at = (name: string, clocks: readonly (number | null)[], flags: readonly PassFlag[] = []) =>
    clocks.map((cpuClockMhz, i) => markPass(name, i, flags, { cpuClockMhz, gpuLoadPct: 50 }));
  const slower = makeVerdict({ verdict: "lower", changePct: -8 });
  const low = makeVerdict({ metric: "low1Fps", verdict: "lower", changePct: -12 });
  const lessPower = makeVerdict({ metric: "cpuPowerW", verdict: "lower", changePct: -30 });
  const told = (marked: readonly MarkedPass[], verdicts = [slower]) =>
    cautionPace({ marked, verdicts }).filter(({ code }) => code === "held-back");

  test("goes by the clock, as the average of the passes lies below the baseline's", () => {
    const marked = [...at(stock, [4000, 4200]), ...at(parked, [3700, 3600])];
    // 1 - 3650 / 4100, done by hand.
    expect(told(marked, [slower, low])).toEqual([
      {
        code: "held-back",
        cells: [
          {
            cell: parked,
            slower: [
              { metric: "average FPS", changePct: -8 },
              { metric: "1% low", changePct: -12 },
            ],
            ...{ sensor: "CPU clock", belowPct: expect.closeTo(10.9756, 4), watts: null },
          },
        ],
      },
    ]);
  });

  test.for([
    { title: "5% below", own: [3800, 3800], usual: [4000, 4000], expected: true },
    { title: "less than 5% below", own: [3804, 3804], usual: [4000, 4000], expected: false },
    {
      title: "one pass as high as the baseline's lowest",
      own: [3500, 4000],
      usual: [4000, 4200],
      expected: false,
    },
    { title: "clocks known on one side only", own: [3500, 3500], usual: [null, null], expected: false },
    { title: "clocks known on the other side only", own: [null, null], usual: [4000, 4000], expected: false },
    { title: "clocks of some passes", own: [null, 3500], usual: [4000, null], expected: true },
  ])("by clocks $title: $expected", ({ own, usual, expected }) => {
    expect(told([...at(stock, usual), ...at(parked, own)])).toHaveLength(expected ? 1 : 0);
  });

  test("goes by the power where it is held at one value, and where the clock does not tell", () => {
    const flags = [gpuBound(), limited(35)];
    const marked = [...at(stock, [4000, 4000]), ...at(parked, [4000, 3900], flags)];
    expect(told([...marked, markPass(parked, 3, [limited(36.5)])], [slower, lessPower])).toEqual([
      {
        code: "held-back",
        cells: [
          {
            cell: parked,
            slower: [{ metric: "average FPS", changePct: -8 }],
            ...{ sensor: "CPU power", belowPct: 30, watts: expect.closeTo(35.5, 12) },
          },
        ],
      },
    ]);
  });

  test.for([
    { title: "power that is not lower by verdict", change: { verdict: "unclear" as const }, expected: false },
    { title: "power less than 5% lower", change: { changePct: -4.9 }, expected: false },
    { title: "power 5% lower", change: { changePct: -5 }, expected: true },
    { title: "power of the graphics card", change: { metric: "gpuPowerW" as const }, expected: false },
  ])("by $title: $expected", ({ change, expected }) => {
    const marked = [...at(stock, [null]), ...at(parked, [null], [limited(35)])];
    expect(told(marked, [slower, { ...lessPower, ...change }])).toHaveLength(expected ? 1 : 0);
  });

  test("needs the power held in most passes, and a frame rate that is slower", () => {
    const half = [markPass(parked, 0, [limited(35)]), markPass(parked, 1, [])];
    expect(told(half, [slower, lessPower])).toEqual([]);
    const held = [...at(stock, [4000]), ...at(parked, [3000], [limited(35)])];
    expect(told(held, [lessPower])).toEqual([]);
    expect(told(held, [{ ...slower, verdict: "higher" }, lessPower])).toEqual([]);
    expect(told(held, [{ ...slower, metric: "fpsPerWatt" }, lessPower])).toEqual([]);
  });

  test("looks at each config by itself, against its own baseline", () => {
    const marked = [...at(stock, [4000]), ...at(parked, [3000]), ...at("saltworks/full", [4000])];
    const full = { ...slower, config: "full" };
    expect(told(marked, [slower, full])).toMatchObject([{ cells: [{ cell: parked }] }]);
    expect(told(at(parked, [3000]), [slower])).toEqual([]);
    expect(told(at(stock, [3000]), [slower])).toEqual([]);
  });
});

describe("the caution on an unknown pace", () => {
  const games = (game: string, ...words: readonly ("same" | "unclear" | "higher" | "lower")[]) =>
    words.map((verdict, i) => makeVerdict({ game, verdict, metric: i % 2 === 0 ? "avgFps" : "low1Fps" }));
  const moves = games("kestrel-cup", "higher", "same");
  const still = games("saltworks", "same", "same");
  const told = (verdicts: readonly ReturnType<typeof makeVerdict>[], marked = cell(stock, [])) =>
    cautionPace({ marked, verdicts }).flatMap((fact) => (fact.code === "pace-unknown" ? fact.games : []));

  test.for([
    {
      title: "a game that nothing moves, beside one that moves",
      verdicts: [...moves, ...still],
      games: ["saltworks"],
    },
    { title: "no game moves", verdicts: [...games("kestrel-cup", "unclear", "same"), ...still], games: [] },
    {
      title: "another one moves down",
      verdicts: [...games("kestrel-cup", "lower"), ...still],
      games: ["saltworks"],
    },
    { title: "one verdict says too little", verdicts: [...moves, ...games("saltworks", "same")], games: [] },
    {
      title: "one verdict is unclear",
      verdicts: [...moves, ...games("saltworks", "same", "unclear")],
      games: [],
    },
    {
      title: "what moves is no frame rate that counts",
      verdicts: [makeVerdict({ game: "kestrel-cup", metric: "low01Fps", verdict: "lower" }), ...still],
      games: [],
    },
    {
      title: "watts and the 0.1% low of a game are no part of it",
      verdicts: [...moves, ...still, makeVerdict({ metric: "cpuPowerW", verdict: "lower" })],
      games: ["saltworks"],
    },
  ])("$title", ({ verdicts, games: expected }) => {
    expect(told(verdicts)).toEqual(expected);
  });

  test("is none where a cap explains it, or the load of the graphics card is logged", () => {
    const all = [...moves, ...still];
    expect(told(all, cell(stock, [capped()]))).toEqual([]);
    const full = still.map((row) => ({ ...row, config: "full" }));
    expect(told([...all, ...full], cell("saltworks/full", [capped()]))).toEqual([]);
    const known = markPass(stock, 0, [], { gpuLoadPct: 60 });
    expect(told(all, [known, ...cell(parked, [])])).toEqual([]);
    expect(told(all, [markPass("kestrel-cup/stock", 0, [], { gpuLoadPct: 60 })])).toEqual(["saltworks"]);
  });

  test("comes after the other cautions on pace", () => {
    const marked = cell("kestrel-cup/stock", [capped(), throttled]);
    const codes = cautionPace({ marked, verdicts: [...moves, ...still] }).map(({ code }) => code);
    expect(codes).toEqual(["capped", "throttled", "pace-unknown"]);
  });
});
