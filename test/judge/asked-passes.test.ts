import { describe, expect, test } from "vitest";
import { askedPasses, neededPasses } from "../../src/judge/asked-passes.ts";
import { cellKey } from "../../src/judge/cells.ts";
import { defaultStopRule } from "../../src/judge/stop-rule.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "../support/make-pass.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { simulateSession } from "../support/simulate-session.ts";

const names = { games: ["game-0", "game-1"], configs: ["baseline", "first", "second"] };
const settings = {
  baseline: "baseline",
  metrics: ["avgFps", "low1Fps"] as const,
  rule: defaultStopRule,
  confidencePct: 95,
  mattersPct: 3,
};
const session = (passes: number): PassSummary[] =>
  simulateSession({ games: 2, passes }, seededRandom(45)).passes;
const numberOf = ({ pass }: PassSummary): number => Number(pass.slice("pass-".length));
/** A cell whose 1% low has these natural logs. */
const cell = (game: string, config: string, logs: readonly number[], boots = 1): PassSummary[] =>
  logs.map((log, i) =>
    makePass(
      {
        game,
        config,
        pass: `pass-${i}`,
        boot: boots === 1 ? null : `boot-${Math.floor((i * boots) / logs.length)}`,
      },
      { low1Fps: 70 * Math.exp(log) },
    ),
  );
const lows = { ...settings, metrics: ["low1Fps"] as const };
const oneGame = { games: ["a"], configs: ["baseline", "first"] };

describe("what the first passes of a session ask for", () => {
  test("nothing that is captured later changes, however it comes out", () => {
    const all = session(10).map((pass) =>
      numberOf(pass) < 3 ? pass : { ...pass, avgFps: pass.avgFps! * (1 + numberOf(pass)) },
    );
    const first = askedPasses(
      all.filter((pass) => numberOf(pass) < 3),
      names,
      "pass",
      settings,
    );
    expect(first).toHaveLength(8);
    expect(askedPasses(all, names, "pass", settings)).toEqual(first);
  });

  test("differences do not change either, only how far passes lie from each other", () => {
    const all = session(3);
    const shifted = all.map((pass) =>
      pass.config === "first" ? { ...pass, avgFps: 2 * pass.avgFps!, low1Fps: 0.5 * pass.low1Fps! } : pass,
    );
    expect(askedPasses(shifted, names, "pass", settings)).toEqual(askedPasses(all, names, "pass", settings));
  });

  test("is a guess where they are not all there, and nothing where they show no noise", () => {
    const one = session(3).filter(
      ({ game, config, pass }) => game === "game-0" || config !== "first" || pass < "pass-1",
    );
    const none = one.filter(({ game, config }) => game !== "game-1" || config === "baseline");
    const asking = (passes: readonly PassSummary[]) =>
      askedPasses(passes, names, "pass", settings).map(({ game, config }) => `${game} ${config}`);
    expect(asking(one)).toHaveLength(8);
    expect(asking(none)).toEqual(asking(one).filter((name) => !name.startsWith("game-1")));
    const single = [...cell("a", "baseline", [0]), ...cell("a", "first", [0])];
    expect(askedPasses(single, oneGame, "pass", lows)).toEqual([]);
  });

  test("as many as allowed where all first passes do not show the noise", () => {
    const passes = [...cell("a", "baseline", [0, 0.01, 0.02]), ...cell("a", "first", [0, 0, 0])].map(
      (pass) => (pass.pass === "pass-0" ? pass : { ...pass, low1Fps: null }),
    );
    expect(askedPasses(passes, oneGame, "pass", lows)).toMatchObject([{ passes: 10, stop: "most-passes" }]);
  });

  test("nothing where one side lacks its first passes and shows no noise, or lacks the metric", () => {
    const own = cell("a", "first", [0, 0, 0]).map((pass) =>
      pass.pass === "pass-0" ? pass : { ...pass, low1Fps: null },
    );
    const single = cell("a", "baseline", [0]);
    expect(askedPasses([...single, ...own], oneGame, "pass", lows)).toEqual([]);
    const blind = cell("a", "baseline", [0, 0, 0]).map((pass) => ({ ...pass, low1Fps: null }));
    expect(askedPasses([...blind, ...cell("a", "first", [0, 0.01, 0.02])], oneGame, "pass", lows)).toEqual(
      [],
    );
    expect(askedPasses(cell("a", "first", [0, 0.01, 0.02]), oneGame, "pass", lows)).toEqual([]);
  });

  test("of one game is Welch's noise with Welch's degrees of freedom", () => {
    const passes = [...cell("a", "baseline", [0, 0.01, 0.02]), ...cell("a", "first", [0.05, 0.05, 0.062])];
    // R 4.2.2, t.test(c(0.05, 0.05, 0.062), c(0, 0.01, 0.02)): stderr 0.007024, df 3.56;
    // ceiling((stderr qt(0.975, df) / (0.6 log(1.03)))^2 3) = 5.
    expect(askedPasses(passes, oneGame, "pass", lows)).toEqual([
      { game: "a", config: "first", metric: "low1Fps", passes: 5, stop: "narrow" },
    ]);
  });

  test("a noise that is small by luck asks for what the games' typical noise asks for", () => {
    const games = ["a", "b", "c"];
    const calm = [0, 0.0001, 0.0002];
    const wild = [0, 0.012, 0.024];
    const passes = [
      ...games.flatMap((game) => cell(game, "baseline", game === "a" ? calm : wild)),
      ...games.flatMap((game) => cell(game, "first", game === "a" ? calm : wild)),
    ];
    const asked = askedPasses(passes, { ...oneGame, games }, "pass", lows);
    const [a, b, c] = asked.map(({ passes: count }) => count);
    expect(b).toBe(c);
    expect(a).toBe(b);
    expect(b).toBeGreaterThan(3);
  });

  test("where boots are the noise, counts passes of the first two boots of each cell", () => {
    const logs = [0, 0.001, 0.002, 0.012, 0.013, 0.014];
    const both = [...cell("a", "baseline", logs, 2), ...cell("a", "first", logs, 2)];
    const [asked] = askedPasses(both, oneGame, "boot", lows);
    // Means of boots 0.001 and 0.013 on both sides, 3 passes each: 3 x 2 var (qt(0.975, 2) / (0.6 log(1.03)))^2 = 25.4, R.
    expect(asked).toMatchObject({ passes: 10, stop: "most-passes" });
    const more = { ...lows, rule: { leastPasses: 3, mostPasses: 100 } };
    expect(askedPasses(both, oneGame, "boot", more)[0]).toMatchObject({ passes: 26, stop: "narrow" });
    const third = cell("a", "first", [...logs, 0.5, 0.5, 0.5], 3);
    const grown = [...cell("a", "baseline", logs, 2), ...third];
    expect(askedPasses(grown, oneGame, "boot", more)).toEqual(askedPasses(both, oneGame, "boot", more));
  });
});

describe("the passes that each cell needs", () => {
  const asks = (game: string, config: string, passes: number) => ({
    ...{ game, config, metric: "low1Fps" as const, passes, stop: "narrow" as const },
  });
  const rule = { leastPasses: 3, mostPasses: 10 };

  test("are those of the comparison that asks for most, on both of its sides", () => {
    const needed = neededPasses(
      [asks("a", "first", 5), asks("a", "second", 8), asks("a", "first", 4), asks("b", "first", 2)],
      "baseline",
      rule,
    );
    const of = (game: string, config: string) => needed.get(cellKey({ game, config }));
    expect([of("a", "first"), of("a", "second"), of("a", "baseline")]).toEqual([5, 8, 8]);
    // Never fewer than every cell gets first.
    expect([of("b", "first"), of("b", "baseline")]).toEqual([3, 3]);
    expect(of("b", "second")).toBeUndefined();
    expect(needed.size).toBe(5);
  });
});
