import { describe, expect, test } from "vitest";
import { type Compared, Comparisons, mirror, type Where } from "../../src/judge/compared.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Judgement } from "../../src/judge/judgement.ts";
import { expectClose } from "../support/expect-close.ts";
import { passesOf, settingsFor, type TableRow } from "../support/session-fixtures.ts";

/** Average FPS of three configs in two games, three passes each; without noise worth speaking of. */
const table: TableRow[] = ["kestrel-cup", "saltworks"].flatMap((game) =>
  Object.entries({ stock: 100, quiet: 80, full: 125 }).flatMap(([config, fps]) =>
    [0, 1, 2].map((i) => ({ game, config, pass: `pass-${i}`, avgFps: fps + 0.1 * i, low1Fps: null })),
  ),
);
const tags = [
  { game: "kestrel-cup", tag: "fast" },
  { game: "saltworks", tag: "fast" },
];
const passes = passesOf(table);
const judgeAgainst = (baseline: string): Judgement => judgeSession(passes, settingsFor(baseline, { tags }));
const own = judgeAgainst("stock");
const game: Where = { game: "kestrel-cup", tag: null };
const all: Where = { game: null, tag: null };

describe("finding a comparison", () => {
  const comparisons = new Comparisons({ own, judgeAgainst });

  test.for([
    {
      title: "a config against the baseline",
      config: "quiet",
      against: "stock",
      changePct: -20,
      word: "lower",
    },
    {
      title: "the baseline against a config",
      config: "stock",
      against: "quiet",
      changePct: 25,
      word: "higher",
    },
    {
      title: "two configs, neither the baseline",
      config: "full",
      against: "quiet",
      changePct: 56.25,
      word: "higher",
    },
    {
      title: "the same the other way round",
      config: "quiet",
      against: "full",
      changePct: -36,
      word: "lower",
    },
  ] as const)("$title: in one game, in all, in a tag's", ({ config, against, changePct, word }) => {
    for (const where of [game, all, { game: null, tag: "fast" }]) {
      const found = comparisons.find(where, "avgFps", config, against);
      expect(found).toMatchObject({
        ...where,
        config,
        against,
        metric: "avgFps",
        verdict: word,
        size: "notable",
      });
      if (typeof found === "string") return;
      // 0.1 FPS of drift from pass to pass moves the change by a tenth of a percent.
      expect(Math.abs(found.changePct - changePct)).toBeLessThan(0.1);
      expect(found.lowPct).toBeLessThan(found.changePct);
      expect(found.highPct).toBeGreaterThan(found.changePct);
      expect(found.passes).toBe(where.game === null ? null : 3);
    }
  });

  test.for([
    { what: "a metric that no pass has", where: game, metric: "low1Fps", config: "quiet" },
    {
      what: "a game that is not there",
      where: { game: "tide-runner", tag: null },
      metric: "avgFps",
      config: "quiet",
    },
    {
      what: "a tag that is not there",
      where: { game: null, tag: "slow" },
      metric: "avgFps",
      config: "quiet",
    },
    { what: "a config that is not there", where: game, metric: "avgFps", config: "loud" },
  ] as const)("$what has no data, whichever side is named first", ({ where, metric, config }) => {
    expect(comparisons.find(where, metric, config, "stock")).toBe("no-data");
    expect(comparisons.find(where, metric, "stock", config)).toBe("no-data");
  });

  test("of the baseline with itself there is none", () => {
    expect(comparisons.find(game, "avgFps", "stock", "stock")).toBe("no-data");
  });

  test("without captures only the session's own baseline can be asked for", () => {
    const saved = new Comparisons({ own, judgeAgainst: () => null });
    expect(saved.find(game, "avgFps", "full", "quiet")).toBe("needs-captures");
    expect(saved.find(game, "avgFps", "full", "quiet")).toBe("needs-captures");
    expect(saved.find(game, "avgFps", "full", "stock")).toMatchObject({ verdict: "higher" });
    expect(saved.find(game, "avgFps", "stock", "full")).toMatchObject({ verdict: "lower" });
  });

  test.for([
    { what: "another baseline", answer: judgeAgainst },
    { what: "captures that are not at hand", answer: () => null },
  ])("$what is asked for once, the session's own never", ({ answer }) => {
    const asked: string[] = [];
    const counting = new Comparisons({
      own,
      judgeAgainst: (baseline) => {
        asked.push(baseline);
        return answer(baseline);
      },
    });
    for (const against of ["stock", "quiet", "quiet"]) counting.find(game, "avgFps", "full", against);
    counting.find(all, "avgFps", "full", "quiet");
    expect(asked).toEqual(["quiet"]);
  });

  test("one game's row says what its passes can show, the rows of several games do not", () => {
    const verdict = own.verdicts.find((row) => row.game === "kestrel-cup" && row.config === "quiet");
    expect(comparisons.find(game, "avgFps", "quiet", "stock")).toMatchObject({
      value: verdict?.value,
      againstValue: verdict?.againstValue,
      resolvesPct: verdict?.resolvesPct,
      passesNeeded: verdict?.passesNeeded,
    });
    const none = { value: null, againstValue: null, resolvesPct: null, passesNeeded: null, passes: null };
    expect(comparisons.find(all, "avgFps", "quiet", "stock")).toMatchObject(none);
  });

  test("the smaller side's number of passes is told", () => {
    const fewer = passes.filter(({ config, pass }) => config !== "stock" || pass !== "pass-2");
    const judgement = judgeSession(fewer, settingsFor("stock"));
    const found = new Comparisons({ own: judgement, judgeAgainst: () => null });
    expect(found.find(game, "avgFps", "quiet", "stock")).toMatchObject({ passes: 2 });
    expect(found.find(game, "avgFps", "stock", "quiet")).toMatchObject({ passes: 2 });
  });
});

describe("a comparison the other way round", () => {
  const row: Compared = {
    ...{
      game: "saltworks",
      tag: null,
      config: "quiet",
      against: "stock",
      metric: "avgFps",
      verdict: "lower",
    },
    ...{ size: "notable", changePct: -20, lowPct: -36, highPct: 25, value: 80, againstValue: 100 },
    ...{ resolvesPct: 2, passesNeeded: null, passes: 3 },
  };

  test("has the inverse ratios, its bounds and sides swapped, and all else as it was", () => {
    // 1 / 0.8 = 1.25, 1 / 0.64 = 1.5625, 1 / 1.25 = 0.8.
    const back = mirror(row);
    expectClose(back.changePct, 25, 1e-12);
    expectClose(back.lowPct, -20, 1e-12);
    expectClose(back.highPct, 56.25, 1e-12);
    expect(back).toMatchObject({
      ...{ game: "saltworks", config: "stock", against: "quiet", verdict: "higher", size: "notable" },
      ...{ value: 100, againstValue: 80, resolvesPct: 2, passes: 3 },
    });
  });

  test("keeps a bound that is not known unknown", () => {
    expect(mirror({ ...row, lowPct: null, highPct: null })).toMatchObject({ lowPct: null, highPct: null });
  });

  test.for([
    ["higher", "lower"],
    ["lower", "higher"],
    ["same", "same"],
    ["unclear", "unclear"],
  ] as const)("says of %s %s", ([verdict, expected]) => {
    expect(mirror({ ...row, verdict }).verdict).toBe(expected);
  });
});

describe("a cell's central value", () => {
  // A session has two configs; this one never enters the cell.
  const other = ["a", "b"].map((boot) => ({
    game: "saltworks",
    config: "full",
    boot,
    pass: boot,
    avgFps: 700,
  }));
  const cellOf = (rows: readonly TableRow[], change = {}) =>
    new Comparisons({
      own: judgeSession(passesOf([...rows, ...other]), settingsFor("stock", change)),
      judgeAgainst: () => null,
    }).valueOf("saltworks", "stock", "avgFps");
  const place = { game: "saltworks", config: "stock" };

  test("is the geometric mean of the passes, with the lowest and highest", () => {
    const rows = [90, 160, 120].map((avgFps, i) => ({ ...place, pass: `${i}`, avgFps }));
    const cell = cellOf(rows);
    // (90 * 160 * 120)^(1/3) = 120.
    expectClose(cell?.value, 120, 1e-12);
    expect(cell).toMatchObject({ lowest: 90, highest: 160, passes: 3 });
  });

  test("leaves out other games and configs, passes that do not count, and passes without the metric", () => {
    const rows = [
      { ...place, pass: "1", avgFps: 100 },
      { ...place, pass: "spoiled", avgFps: 10 },
      { ...place, pass: "2", avgFps: 100 },
      { ...place, config: "quiet", pass: "1", avgFps: 400 },
      { ...place, game: "kestrel-cup", pass: "1", avgFps: 500 },
    ];
    const setAside = [{ ...place, boot: null, pass: "spoiled", why: "an update ran" }];
    const cell = cellOf(rows, { setAside });
    expectClose(cell?.value, 100, 1e-12);
    expect(cell).toMatchObject({ lowest: 100, highest: 100, passes: 2 });
    const watts = new Comparisons({
      own: judgeSession(
        passesOf([
          ...other,
          { ...place, pass: "1", avgFps: 100, cpuPowerW: 50 },
          { ...place, pass: "2", avgFps: 100, cpuPowerW: null },
        ]),
        settingsFor("stock"),
      ),
      judgeAgainst: () => null,
    });
    expect(watts.valueOf("saltworks", "stock", "cpuPowerW")).toMatchObject({
      lowest: 50,
      highest: 50,
      passes: 1,
    });
    expect(watts.valueOf("saltworks", "stock", "gpuPowerW")).toBeNull();
    expect(watts.valueOf("saltworks", "loud", "cpuPowerW")).toBeNull();
  });

  test("counts a boot once, however many passes it has, where every cell has two boots", () => {
    const rows = [
      { ...place, boot: "a", pass: "1", avgFps: 100 },
      { ...place, boot: "a", pass: "2", avgFps: 100 },
      { ...place, boot: "a", pass: "3", avgFps: 100 },
      { ...place, boot: "b", pass: "4", avgFps: 144 },
    ];
    const cell = cellOf(rows, { keepAll: true });
    // The geometric mean of 100 and 144.
    expectClose(cell?.value, 120, 1e-12);
    expect(cell?.passes).toBe(4);
  });
});
