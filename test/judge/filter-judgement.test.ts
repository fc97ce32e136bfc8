import { describe, expect, test } from "vitest";
import { filterJudgement, filterPasses } from "../../src/judge/filter-judgement.ts";
import { judgeWithFacts } from "../../src/judge/judge-session.ts";
import { RunError } from "../../src/shared/problem.ts";
import { passesOf, settingsFor } from "../support/session-fixtures.ts";

const games = ["kestrel-cup", "saltworks"];
const configs = ["balanced", "full", "quiet"];
const table = games.flatMap((game) =>
  configs.flatMap((config) =>
    [1, 2, 3].map((i) => {
      const avgFps = (config === "quiet" ? 80 : 100) + 0.1 * i;
      return { game, config, pass: `pass-${i}`, avgFps, cpuPowerW: 50 + 0.01 * avgFps };
    }),
  ),
);
const judged = judgeWithFacts(passesOf(table), settingsFor("balanced"));
const { judgement } = judged;
const cellsOf = (rows: readonly { game: string; config: string }[]): string[] => [
  ...new Set(rows.map(({ game, config }) => `${game}/${config}`)),
];

describe("a judgement with only some names", () => {
  test.for([
    {
      only: [],
      games,
      configs,
      passes: games.flatMap((game) => configs.map((config) => `${game}/${config}`)),
      verdicts: games.flatMap((game) => ["full", "quiet"].map((config) => `${game}/${config}`)),
      suite: ["full", "quiet"],
      trade: [null, ...games].map((game) => [game, ...configs]),
    },
    {
      only: ["saltworks"],
      games: ["saltworks"],
      configs,
      passes: configs.map((config) => `saltworks/${config}`),
      verdicts: ["saltworks/full", "saltworks/quiet"],
      // A row over all games would not be one over the games shown.
      suite: [],
      trade: [["saltworks", ...configs]],
    },
    {
      only: ["quiet"],
      games,
      configs: ["balanced", "quiet"],
      passes: games.flatMap((game) => [`${game}/balanced`, `${game}/quiet`]),
      verdicts: games.map((game) => `${game}/quiet`),
      suite: ["quiet"],
      trade: [null, ...games].map((game) => [game, "balanced", "quiet"]),
    },
    {
      only: ["full", "kestrel-cup"],
      games: ["kestrel-cup"],
      configs: ["balanced", "full"],
      passes: ["kestrel-cup/balanced", "kestrel-cup/full"],
      verdicts: ["kestrel-cup/full"],
      suite: [],
      trade: [["kestrel-cup", "balanced", "full"]],
    },
    {
      only: ["balanced"],
      games,
      configs: ["balanced"],
      passes: games.map((game) => `${game}/balanced`),
      verdicts: [],
      suite: [],
      trade: [null, ...games].map((game) => [game, "balanced"]),
    },
  ])("$only", ({ only, ...expected }) => {
    const shown = filterJudgement(judged, only);
    expect(shown.session.games).toEqual(expected.games);
    expect(shown.session.configs).toEqual(expected.configs);
    expect(cellsOf(shown.passes)).toEqual(expected.passes);
    expect(cellsOf(shown.verdicts)).toEqual(expected.verdicts);
    expect([...new Set(shown.suite.map(({ config }) => config))]).toEqual(expected.suite);
    expect(shown.trade.map(({ game, rows }) => [game, ...rows.map(({ config }) => config)])).toEqual(
      expected.trade,
    );
  });

  test("concludes what the whole session concludes", () => {
    const shown = filterJudgement(judged, ["saltworks", "quiet"]);
    expect(shown.verdicts.length).toBeGreaterThan(0);
    for (const row of shown.verdicts) expect(judgement.verdicts).toContain(row);
    for (const pass of shown.passes) expect(judgement.passes).toContain(pass);
    expect({ ...shown.session, games: null, configs: null }).toEqual({
      ...judgement.session,
      ...{ games: null, configs: null },
    });
  });

  test("has the cautions that concern it, and they name nothing else", () => {
    expect(judgement.cautions.map(({ code }) => code)).toContain("few-games");
    const { cautions } = filterJudgement(judged, ["saltworks"]);
    expect(cautions.map(({ code }) => code)).toEqual(
      judgement.cautions.map(({ code }) => code).filter((code) => code !== "few-games"),
    );
    expect(cautions.filter(({ text }) => text.includes("kestrel-cup"))).toEqual([]);
  });

  test("is the judgement itself where no name is given", () => {
    expect(filterJudgement(judged, [])).toBe(judgement);
  });
});

describe("passes with only some names", () => {
  test.for([
    { only: [], cells: cellsOf(judgement.passes) },
    { only: ["saltworks"], cells: configs.map((config) => `saltworks/${config}`) },
    { only: ["quiet"], cells: ["kestrel-cup/quiet", "saltworks/quiet"] },
    { only: ["quiet", "saltworks"], cells: ["saltworks/quiet"] },
    { only: ["quiet", "full", "saltworks"], cells: ["saltworks/full", "saltworks/quiet"] },
  ])("$only", ({ only, cells }) => {
    expect(cellsOf(filterPasses(judgement.passes, only))).toEqual(cells);
  });
});

test("a name is found in whatever form its letters are written", () => {
  const composed = judgement.passes.map((pass) => ({ ...pass, config: `caf\u00e9 ${pass.config}` }));
  expect(cellsOf(filterPasses(composed, ["cafe\u0301 quiet"]))).toEqual([
    "kestrel-cup/caf\u00e9 quiet",
    "saltworks/caf\u00e9 quiet",
  ]);
});

test("names that are neither a game nor a config are told with the nearest one, all of them at once", () => {
  const only = ["saltwork", "quiet", "kestrel-cup", "nothing-like-it"];
  const facts = { code: "only-unknown", severity: "error", at: { file: "" }, games, configs };
  const problems = [
    { ...facts, name: "saltwork", nearest: "saltworks" },
    { ...facts, name: "nothing-like-it", nearest: null },
  ];
  for (const call of [() => filterJudgement(judged, only), () => filterPasses(judgement.passes, only)]) {
    expect(call).toThrow(RunError);
    expect(call).toThrow(expect.objectContaining({ problems }));
  }
});
