import { describe, expect, test } from "vitest";
import { holm } from "../../src/judge/adjust-p.ts";
import type { Column } from "../../src/judge/judge-columns.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { JudgeSettings, SuiteRow } from "../../src/judge/judgement.ts";
import type { BootNoise } from "../../src/judge/shared-boots.ts";
import { estimateSuite, type SuiteEstimate } from "../../src/judge/suite.ts";
import { suiteRows } from "../../src/judge/suite-rows.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import type { Metric } from "../../src/shared/metrics.ts";
import { expectClose } from "../support/expect-close.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { settingsFor } from "../support/session-fixtures.ts";
import { simulateSession } from "../support/simulate-session.ts";

// Fleming & Wallace 1986 and the Alexander-Govern test are held to their sources in suite.test.ts.

const random = seededRandom(1964);
const { passes } = simulateSession(
  { games: 9, passes: 4, truth: ({ game, config }) => (config === "first" ? 0.01 * game - 0.02 : 0) },
  random,
);
// A game may have several tags, a tag may be given twice, and some games have none.
const tags = [
  { game: "game-0", tag: "competitive" },
  { game: "game-1", tag: "competitive" },
  { game: "game-2", tag: "competitive" },
  { game: "game-2", tag: "competitive" },
  { game: "game-2", tag: "open-world" },
  { game: "game-5", tag: "open-world" },
  { game: "game-6", tag: "puzzle" },
  { game: "never-captured", tag: "open-world" },
  { game: "never-captured", tag: "abandoned" },
];
const settings = settingsFor("baseline", { keepAll: true, tags });
const { suite } = judgeSession(passes, settings);
const ofGames = (games: readonly string[]): PassSummary[] =>
  passes.filter(({ game }) => games.includes(game));

/** All that says nothing about how many rows were tested together. */
const withoutAdjustment = ({ pAdjusted: _p, verdict: _v, size: _s, counts: _c, tag: _t, ...row }: SuiteRow) =>
  row;

describe("suite rows by tag", () => {
  test.for([
    { tag: "competitive", games: ["game-0", "game-1", "game-2"] },
    { tag: "open-world", games: ["game-2", "game-5"] },
  ])("$tag: the figures of a session that holds only its games", ({ tag, games }) => {
    const alone = judgeSession(ofGames(games), settingsFor("baseline", { keepAll: true })).suite;
    const rows = suite.filter((row) => row.tag === tag);
    expect(rows.length).toBe(6);
    expect(rows.map(withoutAdjustment)).toEqual(alone.map(withoutAdjustment));
    for (const row of rows) expect(row.games).toBe(games.length);
  });

  test("tags of fewer than two captured games have no row", () => {
    expect([...new Set(suite.map(({ tag }) => tag))]).toEqual([null, "competitive", "open-world"]);
  });

  test("rows over all games come first and do not change for the tags", () => {
    const plain = judgeSession(passes, settingsFor("baseline", { keepAll: true })).suite;
    expect(suite.slice(0, plain.length)).toEqual(plain);
    expect(plain.every(({ tag }) => tag === null)).toBe(true);
  });

  test("p-values are adjusted by Holm over all rows of all games, and over all rows of tags", () => {
    for (const isTagged of [false, true]) {
      const rows = suite.filter(({ tag }) => (tag !== null) === isTagged);
      const adjusted = holm(rows.map(({ p }) => p));
      rows.forEach((row, i) => {
        expectClose(row.pAdjusted, adjusted[i] ?? null, 1e-14, `${row.tag} ${row.metric}`);
      });
    }
  });

  test("counts are those of the verdicts on the tag's games", () => {
    const { verdicts } = judgeSession(passes, settings);
    for (const { tag, config, metric, counts, games } of suite) {
      const own = verdicts.filter(
        (row) =>
          row.config === config &&
          row.metric === metric &&
          (tag === null || tags.some((entry) => entry.tag === tag && entry.game === row.game)),
      );
      for (const word of ["higher", "lower", "same", "unclear"] as const) {
        expect(counts[word]).toBe(own.filter(({ verdict }) => verdict === word).length);
      }
      expect(counts.higher + counts.lower + counts.same + counts.unclear).toBe(games);
    }
  });

  test("no figure depends on the order of passes or tags", () => {
    const back = judgeSession([...passes].reverse(), { ...settings, tags }).suite;
    expect(back).toEqual(suite);
    const turned = judgeSession(passes, { ...settings, tags: [...tags].reverse() }).suite;
    const sorted = (rows: readonly SuiteRow[]) =>
      [...rows].sort((a, b) =>
        JSON.stringify([a.tag, a.metric, a.config]).localeCompare(
          JSON.stringify([b.tag, b.metric, b.config]),
        ),
      );
    expect(sorted(turned)).toEqual(sorted(suite));
  });

  test("the change is the geometric mean of the games' ratios", () => {
    const { verdicts } = judgeSession(passes, settings);
    for (const { tag, config, metric, changePct } of suite.filter((row) => row.tag === null)) {
      const ratios = verdicts
        .filter((row) => row.config === config && row.metric === metric)
        .map(({ value, againstValue }) => value / againstValue);
      const geometric = ratios.reduce((product, ratio) => product * ratio, 1) ** (1 / ratios.length);
      expectClose(1 + changePct / 100, geometric, 1e-12, `${tag} ${config} ${metric}`);
    }
  });
});

describe("false alarms of suite rows with tags, simulated: nothing differs", () => {
  test("any row over all games, and any row of a tag, in a session in twenty at most", () => {
    const sessions = 200;
    let all = 0;
    let tagged = 0;
    const threeTags = Array.from({ length: 12 }, (_, g) => ({ game: `game-${g}`, tag: `kind-${g % 3}` }));
    const seed = seededRandom(12);
    for (let s = 0; s < sessions; s++) {
      const session = simulateSession({ games: 12, passes: 3 }, seed).passes.map((pass) => ({
        ...pass,
        low01Fps: null,
      }));
      const called = judgeSession(
        session,
        settingsFor("baseline", { keepAll: true, tags: threeTags }),
      ).suite.filter(({ verdict }) => verdict === "higher" || verdict === "lower");
      if (called.some(({ tag }) => tag === null)) all++;
      if (called.some(({ tag }) => tag !== null)) tagged++;
    }
    console.info(
      `suite called for nothing: over all games ${all}, of a tag ${tagged} of ${sessions} sessions`,
    );
    // R 4.2 qbinom(0.999, 200, 0.05) = 21.
    expect(all).toBeLessThanOrEqual(21);
    expect(tagged).toBeLessThanOrEqual(21);
  });
});

describe("a row over all games", () => {
  /** A column of invented games: the difference of each, and its variance per pass with `nu` degrees of freedom. */
  const column = (logDiffs: readonly number[], config = "quiet", metric: Metric = "avgFps"): Column => ({
    ...{ metric, config },
    rows: logDiffs.map((logDiff, i) => ({
      comparison: {
        ...{
          game: `game-${i}`,
          logDiff,
          pair: { u: 1e-4, nu: 4, h: 1 },
          posteriorVariance: 1e-4,
          priorDf: 3,
        },
        ...{ standardError: 0.01, degreesOfFreedom: 7, statistic: logDiff / 0.01, p: 0.2 },
        ...{ low: logDiff - 0.02, high: logDiff + 0.02 },
      },
      controlled: { pAdjusted: Math.abs(logDiff) > 0.04 ? 0.001 : 0.4, called: true, alphaEff: 0.05 },
      ...{ config: { n: 2, mean: logDiff, variance: 1e-4 }, against: { n: 2, mean: 0, variance: 1e-4 } },
    })),
  });
  const rowsOf = (
    columns: readonly Column[],
    bootNoise: BootNoise = () => null,
    change: Partial<JudgeSettings> = {},
  ) => suiteRows(columns, settingsFor("stock", change), bootNoise);
  const differences = [0.05, 0.06, 0.02, 0.005];

  test("has the estimate in percent, and counts the games' words", () => {
    const [row] = rowsOf([column(differences)]);
    const games = differences.map((d) => ({ d, v: 1e-4, f: 4 }));
    const suite = estimateSuite(games, 0.95) as SuiteEstimate;
    const pct = (log: number): number => 100 * (Math.exp(log) - 1);
    expect(row).toMatchObject({ tag: null, config: "quiet", against: "stock", metric: "avgFps", games: 4 });
    expectClose(row?.changePct, pct(suite.logDiff), 1e-10);
    expectClose(row?.lowPct, pct(suite.main.low), 1e-10);
    expectClose(row?.highPct, pct(suite.main.high), 1e-10);
    expectClose(row?.theseGamesLowPct, pct(suite.theseGames.low), 1e-10);
    expectClose(row?.theseGamesHighPct, pct(suite.theseGames.high), 1e-10);
    expect(row?.p).toBe(suite.main.p);
    expect(row?.gamesDiffer.p).toBe(suite.gamesDiffer.p);
    expectClose(row?.gamesDiffer.spreadPct, pct(suite.tau), 1e-10);
    // 3% matters: 0.05 and 0.06 are called; 0.02 reaches 0.04; 0.005 stays within.
    expect(row?.counts).toEqual({ higher: 2, lower: 0, same: 1, unclear: 1 });
    expect(rowsOf([column([-0.05, -0.06, 0.005])])[0]?.counts).toEqual({
      higher: 0,
      lower: 2,
      same: 1,
      unclear: 0,
    });
  });

  test("is called where its adjusted p is one minus the confidence at most", () => {
    const columns = [column(differences), column(differences, "full")];
    const pAdjusted = rowsOf(columns)[0]?.pAdjusted ?? Number.NaN;
    expect(pAdjusted).toBeCloseTo(2 * (rowsOf(columns)[0]?.p ?? Number.NaN), 12);
    const word = (confidencePct: number) => rowsOf(columns, undefined, { confidencePct })[0]?.verdict;
    expect(word(100 * (1 - pAdjusted * 1.001))).toBe("higher");
    expect(word(100 * (1 - pAdjusted * 0.999))).toBe("unclear");
  });

  test("is notable from what matters on", () => {
    const steady = [column([0.0301, 0.03, 0.0299])];
    expect(rowsOf(steady, undefined, { mattersPct: 3 })[0]?.size).toBe("notable");
    expect(rowsOf(steady, undefined, { mattersPct: 3.1 })[0]?.size).toBe("slight");
  });

  test("adds what boots shift alike, of the config and of the baseline", () => {
    const asked: unknown[] = [];
    const bootNoise: BootNoise = (config, games, metric) => {
      asked.push([config, games, metric]);
      return config === "quiet" ? { variance: 1e-4, df: 3 } : null;
    };
    const [row] = rowsOf([column(differences)], bootNoise);
    const names = differences.map((_, i) => `game-${i}`);
    expect(asked).toEqual([
      ["quiet", names, "avgFps"],
      ["stock", names, "avgFps"],
    ]);
    const games = differences.map((d) => ({ d, v: 1e-4, f: 4 }));
    expect(row?.p).toBe(estimateSuite(games, 0.95, [{ variance: 1e-4, df: 3 }])?.main.p);
  });

  test.for([
    { title: "one game", columns: [column([0.05])] },
    { title: "no games", columns: [column([])] },
    { title: "no columns", columns: [] },
  ])("is not there for $title", ({ columns }) => {
    expect(rowsOf(columns)).toEqual([]);
  });

  test("is tested together with those of its group of metrics only, and a tag's with tags'", () => {
    const tags = ["game-0", "game-1", "game-2"].map((game) => ({ game, tag: "fast" }));
    const columns = [
      column(differences, "quiet", "cpuPowerW"),
      column(differences),
      column(differences, "full"),
    ];
    const rows = rowsOf(columns, undefined, { tags });
    expect(rows.map(({ tag, metric, config, games }) => [tag, metric, config, games])).toEqual([
      [null, "avgFps", "quiet", 4],
      [null, "avgFps", "full", 4],
      ["fast", "avgFps", "quiet", 3],
      ["fast", "avgFps", "full", 3],
      [null, "cpuPowerW", "quiet", 4],
      ["fast", "cpuPowerW", "quiet", 3],
    ]);
    rows.forEach(({ p, pAdjusted, metric }) => {
      expectClose(pAdjusted, metric === "avgFps" ? 2 * p : p, 1e-12);
    });
  });
});
