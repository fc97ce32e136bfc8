import { describe, expect, test } from "vitest";
import type { Comparison } from "../../src/judge/compare-cells.ts";
import { controlFalseAlarms } from "../../src/judge/control-false-alarms.ts";
import {
  type Column,
  cellStatistics,
  decideRow,
  judgeColumns,
  noiseLevel,
  ownDifference,
  showsNoNoise,
  verdictRows,
  verdictWords,
} from "../../src/judge/judge-columns.ts";
import { passesNeeded, resolvesPct } from "../../src/judge/plan-passes.ts";
import { expectClose } from "../support/expect-close.ts";
import { makePass } from "../support/make-pass.ts";
import { passesOf, settingsFor, type TableRow } from "../support/session-fixtures.ts";

const place = { game: "saltworks", config: "stock" };
const inBoots = (boots: readonly (string | null)[], config = "stock") =>
  boots.map((boot, i) => makePass({ ...place, config, boot, pass: `pass-${i}` }, { avgFps: 100 }));

describe("the level of noise", () => {
  test.for([
    {
      title: "two boots in every cell",
      passes: [...inBoots(["a", "b"]), ...inBoots(["c", "d", "d"], "quiet")],
      level: "boot",
    },
    {
      title: "a cell with one boot",
      passes: [...inBoots(["a", "b"]), ...inBoots(["c", "c"], "quiet")],
      level: "pass",
    },
    { title: "one boot each", passes: [...inBoots(["a", "a"]), ...inBoots(["b"], "quiet")], level: "pass" },
    { title: "a pass whose boot is not known", passes: inBoots(["a", "b", null]), level: "pass" },
    { title: "no boot known", passes: inBoots([null, null]), level: "pass" },
    { title: "no passes", passes: [], level: "pass" },
  ])("$title: $level", ({ passes, level }) => {
    expect(noiseLevel(passes)).toBe(level);
  });
});

describe("a cell's statistics", () => {
  const cell = [
    { boot: "a", avgFps: Math.exp(1) },
    { boot: "a", avgFps: Math.exp(2) },
    { boot: "b", avgFps: Math.exp(4.5) },
    { boot: "c", avgFps: null },
  ].map(({ boot, avgFps }, i) => makePass({ ...place, boot, pass: `pass-${i}` }, { avgFps }));

  // By hand: logs 1, 2, 4.5; boot means 1.5 and 4.5. A pass, or a boot, without the metric says nothing.
  test.for([
    { level: "pass", n: 3, mean: 2.5, variance: (2.25 + 0.25 + 4) / 2 },
    { level: "boot", n: 2, mean: 3, variance: (2.25 + 2.25) / 1 },
  ] as const)("over values of each $level", ({ level, n, mean, variance }) => {
    const statistics = cellStatistics(cell, "avgFps", level);
    expect(statistics?.n).toBe(n);
    expectClose(statistics?.mean, mean, 1e-14, "mean");
    expectClose(statistics?.variance, variance, 1e-14, "variance");
  });

  test("passes without a boot are one boot of their own", () => {
    const passes = [1, 3].map((log, i) => makePass({ ...place, pass: `${i}` }, { avgFps: Math.exp(log) }));
    const statistics = cellStatistics(passes, "avgFps", "boot");
    expect(statistics?.n).toBe(1);
    expectClose(statistics?.mean, 2, 1e-14);
  });

  test("one value has no variance, and none no statistics", () => {
    expect(cellStatistics(cell.slice(2), "avgFps", "pass")).toEqual({ n: 1, mean: 4.5, variance: null });
    for (const level of ["pass", "boot"] as const) {
      expect(cellStatistics(cell.slice(3), "avgFps", level)).toBeNull();
      expect(cellStatistics([], "avgFps", level)).toBeNull();
    }
  });
});

/** Three configs in three games; one of them with a lone pass of `quiet`, one without `full`. */
const games = ["kestrel-cup", "saltworks", "tide-runner"];
const rows: TableRow[] = games.flatMap((game, g) =>
  Object.entries({ stock: 100, quiet: 90, full: 101 }).flatMap(([config, fps]) =>
    [0, 1, 2, 3]
      .slice(0, game === "tide-runner" && config === "quiet" ? 1 : 4)
      .filter(() => game !== "saltworks" || config !== "full")
      .map((i) => ({
        ...{ game, config, pass: `pass-${i}` },
        avgFps: fps * (1 + 0.01 * (((i * 7 + g) % 4) - 1.5)),
        cpuPowerW: 50 + i,
      })),
  ),
);
const passes = passesOf(rows);
const names = { games, configs: ["stock", "quiet", "full"] };
const settings = settingsFor("stock");
const judged = () => judgeColumns(passes, names, settings);
const shapeOf = (own: readonly Column[]) =>
  own.map(({ metric, config, rows: all }) => [metric, config, all.map(({ comparison }) => comparison.game)]);

describe("judgeColumns", () => {
  test("has a column for each metric that exists and each config but the baseline, of the games with both", () => {
    const columns = judged();
    expect(shapeOf(columns)).toEqual([
      ["avgFps", "quiet", games],
      ["avgFps", "full", ["kestrel-cup", "tide-runner"]],
      ["cpuPowerW", "quiet", games],
      ["cpuPowerW", "full", ["kestrel-cup", "tide-runner"]],
    ]);
  });

  test("keeps each comparison with its own two cells", () => {
    const columns = judged();
    for (const { rows: all } of columns) {
      for (const { comparison, config, against } of all) {
        expectClose(comparison.logDiff, config.mean - against.mean, 1e-14);
        expect(against.n).toBe(4);
      }
    }
  });

  test("judges against another baseline wherever its name stands", () => {
    const turned = judgeColumns(passes, names, settingsFor("full"));
    expect(shapeOf(turned).slice(0, 2)).toEqual([
      ["avgFps", "stock", ["kestrel-cup", "tide-runner"]],
      ["avgFps", "quiet", ["kestrel-cup", "tide-runner"]],
    ]);
    const outside = { games, configs: ["stock", "quiet"] };
    expect(shapeOf(judgeColumns(passes, outside, settingsFor("full")))).toEqual(shapeOf(turned));
  });

  test("finds nothing where nothing is", () => {
    expect(judgeColumns([], names, settings)).toEqual([]);
    expect(judgeColumns(passes, { games: [], configs: [] }, settings)).toEqual([]);
  });

  test("a lone pass is in no family, and takes no place of another game's p", () => {
    const columns = judged();
    const [quiet] = columns;
    expect(quiet?.rows.map(({ controlled }) => controlled === null)).toEqual([false, false, true]);
    // The lone pass's own p is known from its neighbours; it is left out of the family all the same.
    expect(quiet?.rows[2]?.comparison.p).not.toBeNull();
    const full = columns[1];
    const families = [quiet?.rows.slice(0, 2), full?.rows].map((own) =>
      (own ?? []).map(({ comparison }) => comparison.p as number),
    );
    const [ofQuiet, ofFull] = controlFalseAlarms(families, 1 - 0.95, "columns");
    expect(quiet?.rows.slice(0, 2).map(({ controlled }) => controlled)).toEqual(ofQuiet);
    expect(full?.rows.map(({ controlled }) => controlled)).toEqual(ofFull);
    for (const { rows: all } of columns) {
      for (const { comparison, controlled } of all) {
        if (controlled !== null) expect(controlled.pAdjusted).toBeGreaterThanOrEqual(comparison.p as number);
      }
    }
  });

  test("a column of lone passes alone is in no family, and the next column keeps its own p-values", () => {
    const lone = passes.filter(({ config, pass }) => config !== "quiet" || pass === "pass-0");
    const own = judgeColumns(lone, names, settings);
    expect(own[0]?.rows.every(({ controlled }) => controlled === null)).toBe(true);
    const onlyFull = judgeColumns(lone, { games, configs: ["stock", "full"] }, settings);
    expect(own[1]?.rows.map(({ controlled }) => controlled)).toEqual(
      onlyFull[0]?.rows.map(({ controlled }) => controlled),
    );
  });

  test.for(["config", "against"] as const)("a lone pass of the %s is in no family", (side) => {
    const lonely = passes.filter(
      ({ game, config, pass }) =>
        game !== "kestrel-cup" || config !== (side === "config" ? "full" : "stock") || pass === "pass-0",
    );
    const full = judgeColumns(lonely, names, settings).find(({ config }) => config === "full");
    expect(full?.rows.map(({ controlled }) => controlled === null)).toEqual([true, false]);
  });

  test("two passes a side are enough for the family", () => {
    const two = passes.filter(({ pass }) => pass <= "pass-1");
    const full = judgeColumns(two, names, settings).find(({ config }) => config === "full");
    expect(full?.rows.every(({ controlled }) => controlled !== null)).toBe(true);
  });

  test("without intervals the p-values are the same and the bounds unknown", () => {
    const columns = judged();
    const quick = judgeColumns(passes, names, settings, false);
    quick.forEach(({ rows: all }, c) => {
      all.forEach(({ comparison, controlled }, i) => {
        const full = columns[c]?.rows[i];
        expect([comparison.low, comparison.high]).toEqual([null, null]);
        expect(comparison.p).toBe(full?.comparison.p);
        expect(controlled).toEqual(full?.controlled);
      });
    });
  });

  test("the interval has the session's confidence", () => {
    const columns = judged();
    const wide = judgeColumns(passes, names, settingsFor("stock", { confidencePct: 99 }));
    const [narrow, wider] = [columns, wide].map((own) => own[0]?.rows[0]?.comparison as Comparison);
    expect(wider?.low as number).toBeLessThan(narrow?.low as number);
    expect(wider?.high as number).toBeGreaterThan(narrow?.high as number);
  });
});

describe("the rows of a judgement", () => {
  const rowsOf = () => verdictRows(judged(), settings);

  test("say in percent and units what the comparisons say in logs", () => {
    const columns = judged();
    const verdicts = rowsOf();
    const all = columns.flatMap(({ rows: own }) => own);
    expect(verdicts).toHaveLength(all.length);
    verdicts.forEach((row, i) => {
      const { comparison, config, against, controlled } = all[i] as (typeof all)[number];
      expectClose(row.value, Math.exp(config.mean), 1e-14);
      expectClose(row.againstValue, Math.exp(against.mean), 1e-14);
      expectClose(row.changePct, 100 * (row.value / row.againstValue - 1), 1e-10);
      expectClose(row.lowPct, 100 * (Math.exp(comparison.low as number) - 1), 1e-10);
      expectClose(row.highPct, 100 * (Math.exp(comparison.high as number) - 1), 1e-10);
      expect(row).toMatchObject({
        game: comparison.game,
        against: "stock",
        passes: config.n,
        againstPasses: 4,
      });
      expect(row.pAdjusted).toBe(controlled?.pAdjusted ?? null);
    });
  });

  test("say of a lone pass neither a word nor what it could have shown", () => {
    const verdicts = rowsOf();
    const lone = verdicts.find(({ passes: n }) => n === 1);
    expect(lone).toMatchObject({
      verdict: "unclear",
      size: null,
      pAdjusted: null,
      resolvesPct: null,
      passesNeeded: null,
    });
    expect(lone?.p).not.toBeNull();
  });

  test("say nothing of noise that nobody knows", () => {
    const single = verdictRows(
      judgeColumns(
        passes.filter(({ pass }) => pass === "pass-0"),
        names,
        settings,
      ),
      settings,
    );
    expect(single.length).toBeGreaterThan(0);
    for (const row of single) {
      const { p, lowPct, highPct, standardError, resolvesPct: resolves, passesNeeded: needed } = row;
      expect([p, lowPct, highPct, standardError, resolves, needed]).toEqual(Array(6).fill(null));
      expect(Number.isFinite(row.changePct)).toBe(true);
    }
  });

  test("what they resolve and need is the plan for their own noise and threshold", () => {
    const columns = judged();
    const verdicts = rowsOf();
    const unclear = verdicts.filter(({ verdict, pAdjusted }) => verdict === "unclear" && pAdjusted !== null);
    expect(unclear.length).toBeGreaterThan(0);
    expect(verdicts.some(({ verdict }) => verdict === "lower")).toBe(true);
    const all = columns.flatMap(({ rows: own }) => own);
    verdicts.forEach((row, i) => {
      const { comparison, controlled } = all[i] as (typeof all)[number];
      if (controlled === null) return;
      const { alphaEff } = controlled;
      expect(row.resolvesPct).toBe(
        resolvesPct(comparison.standardError as number, comparison.degreesOfFreedom as number, alphaEff),
      );
      const variance = comparison.posteriorVariance as number;
      const plan = { variance, priorDf: comparison.priorDf, alphaEff, alpha: 0.05, mattersPct: 3 };
      const planned = passesNeeded({ ...plan, alpha: 1 - 0.95 });
      const expected = planned === null ? null : Math.max(planned, 5);
      expect(row.passesNeeded).toBe(row.verdict === "unclear" ? expected : null);
    });
  });

  test("never advise fewer passes than there were, because these were not enough", () => {
    // Nearly no noise, a change that p does not call and an interval that just leaves the margin: the plan says 2.
    const comparison: Comparison = {
      ...{ game: "saltworks", logDiff: 0.02, pair: { u: 1e-6, nu: 8, h: 0.4 }, posteriorVariance: 1e-6 },
      ...{
        priorDf: 3,
        standardError: 6e-4,
        degreesOfFreedom: 11,
        statistic: 33,
        p: 0.5,
        low: -0.001,
        high: 0.04,
      },
    };
    const controlled = { pAdjusted: 0.5, called: false, alphaEff: 0.05 };
    const cell = (n: number) => ({ n, mean: 0, variance: 1e-6 });
    const needed = (n: number, against: number) =>
      verdictRows(
        [
          {
            ...{ metric: "avgFps", config: "quiet" },
            rows: [{ comparison, controlled, config: cell(n), against: cell(against) }],
          },
        ],
        settings,
      )[0]?.passesNeeded;
    expect(needed(7, 5)).toBe(6);
    expect(needed(4, 9)).toBe(5);
    // More than a hundred passes are nobody's plan.
    const noisy = { ...comparison, posteriorVariance: 0.04 };
    const row = { comparison: noisy, controlled, config: cell(4), against: cell(4) };
    expect(
      verdictRows([{ metric: "avgFps", config: "quiet", rows: [row] }], settings)[0]?.passesNeeded,
    ).toBeNull();
  });

  test("the words of a second judgement are those of the rows", () => {
    const columns = judged();
    const verdicts = rowsOf();
    const words = verdictWords(columns, settings);
    expect(words.size).toBe(verdicts.length);
    for (const { game, config, metric, verdict } of verdicts) {
      expect(words.get(JSON.stringify([game, config, metric]))).toBe(verdict);
    }
  });

  test("a word needs the adjusted p to be at most one minus the confidence", () => {
    const columns = judged();
    const row = columns[0]?.rows[0] as Column["rows"][number];
    const word = (pAdjusted: number, confidencePct = 90) =>
      decideRow(
        { ...row, controlled: { pAdjusted, called: true, alphaEff: 0.05 } },
        settingsFor("stock", { confidencePct }),
      ).verdict;
    expect([word(0.0999), word(0.1001), word(0.02, 99), word(0.009, 99)]).toEqual([
      "lower",
      "unclear",
      "unclear",
      "lower",
    ]);
    expect(decideRow({ ...row, controlled: null }, settings).verdict).toBe("unclear");
  });
});

describe("a game's difference with its own noise", () => {
  const comparison = (change: Partial<Comparison>): Comparison => ({
    ...{ game: "saltworks", logDiff: 0.02, pair: { u: 4e-4, nu: 3, h: 0.5 }, posteriorVariance: 1e-4 },
    ...{
      priorDf: 3,
      standardError: 0.01,
      degreesOfFreedom: 7,
      statistic: 2,
      p: 0.1,
      low: 0,
      high: 0.04,
      ...change,
    },
  });

  test.for([
    { title: "its own variance and degrees of freedom", change: {}, expected: [{ d: 0.02, v: 2e-4, f: 3 }] },
    {
      title: "what its neighbours lend, where it has none of its own",
      change: { pair: { u: null, nu: 0, h: 0.5 } },
      expected: [{ d: 0.02, v: 5e-5, f: 7 }],
    },
    {
      title: "nothing where nobody knows the noise",
      change: { pair: { u: null, nu: 0, h: 2 }, posteriorVariance: null, degreesOfFreedom: null },
      expected: [],
    },
  ])("is $title", ({ change, expected }) => {
    expect(ownDifference({ comparison: comparison(change) })).toEqual(expected);
  });

  // Variances per pass; 1e-8 is the floor, a standard deviation of 0.01%.
  test.for([
    { title: "no game is without noise", u: [1e-4, 2e-4], expected: false },
    { title: "all are", u: [1e-8, 1e-8], expected: true },
    { title: "half of them are", u: [1e-8, 1e-4], expected: true },
    { title: "fewer than half are", u: [1e-8, 1e-4, 1e-4], expected: false },
    { title: "the noise is a little above the floor", u: [1.0001e-8], expected: false },
    { title: "the noise is the floor but for rounding", u: [1e-8 * (1 + 1e-12)], expected: true },
    { title: "unknown noise is not none", u: [null, null], expected: false },
    { title: "unknown noise does not count as a game", u: [1e-8, null, null], expected: true },
    { title: "there are no games", u: [], expected: false },
  ])("a column shows no noise: $expected where $title", ({ u, expected }) => {
    const all = u.map((value) => ({
      comparison: comparison({ pair: { u: value, nu: 3, h: 0.5 } }),
      ...{
        config: { n: 4, mean: 0, variance: null },
        against: { n: 4, mean: 0, variance: null },
        controlled: null,
      },
    }));
    expect(showsNoNoise({ metric: "avgFps", config: "quiet", rows: all })).toBe(expected);
  });
});
