import { describe, expect, test } from "vitest";
import { holm } from "../../src/judge/adjust-p.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { SuiteRow } from "../../src/judge/judgement.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
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
