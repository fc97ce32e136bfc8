import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { ConfigLevels, FactorEffect } from "../../src/judge/judgement.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { expectClose } from "../support/expect-close.ts";
import { makePass } from "../support/make-pass.ts";
import { readReference } from "../support/read-reference.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { settingsFor } from "../support/session-fixtures.ts";

// Source of the reference: base R (lm per game, t.test over games), test/reference/session-effects.R.
const { factors: reference } = readReference<{
  factors: {
    passes: { game: string; threads: string; cores: string; pass: number; avgFps: number }[];
    threads: { estimate: number; p: number };
  };
}>("test/reference/session-effects.json");

const corners = [
  { threads: "on", cores: "all" },
  { threads: "on", cores: "parked" },
  { threads: "off", cores: "all" },
  { threads: "off", cores: "parked" },
] as const;
const nameIn = (names: readonly string[], threads: string, cores: string): string =>
  names[corners.findIndex((corner) => corner.threads === threads && corner.cores === cores)] as string;
const usual = ["stock", "parked", "no-threads", "both"];

const sessionOf = (names: readonly string[]): { passes: PassSummary[]; levels: ConfigLevels[] } => ({
  passes: reference.passes.map(({ game, threads, cores, pass, avgFps }) =>
    makePass({ game, config: nameIn(names, threads, cores), pass: `pass-${pass}` }, { avgFps }),
  ),
  levels: corners.map((levels, i) => ({ config: names[i] as string, levels })),
});

const effectsOf = (
  passes: readonly PassSummary[],
  levels: readonly ConfigLevels[],
  baseline = "stock",
): readonly FactorEffect[] => judgeSession(passes, settingsFor(baseline, { keepAll: true, levels })).factors;

const find = (effects: readonly FactorEffect[], factors: string): FactorEffect | undefined =>
  effects.find((effect) => effect.metric === "avgFps" && [...effect.factors].sort().join() === factors);

describe("a crossing of two factors", () => {
  const { passes, levels } = sessionOf(usual);
  const there = effectsOf(passes, levels);

  test("does not depend on the order in which passes and configs come", () => {
    expect(effectsOf([...passes].reverse(), [...levels].reverse())).toEqual(there);
  });

  test("does not depend on what the configs are called, nor on their order by name", () => {
    const other = sessionOf(["z", "a", "y", "b"]);
    expect(effectsOf(other.passes, other.levels, "z")).toEqual(there);
  });

  test("does not depend on the order in which a config names its factors", () => {
    const turned = levels.map(({ config, levels: own }) => ({
      config,
      levels: Object.fromEntries(Object.entries(own).reverse()),
    }));
    const back = effectsOf(passes, turned);
    for (const name of ["threads", "cores", "cores,threads"]) {
      expectClose(find(back, name)?.changePct, find(there, name)?.changePct ?? null, 1e-10, name);
      expectClose(find(back, name)?.p, find(there, name)?.p ?? null, 1e-8, `p of ${name}`);
    }
  });

  test("another baseline turns main effects round, and the interaction where one factor is turned", () => {
    const back = effectsOf(passes, levels, "no-threads");
    const ratio = (effects: readonly FactorEffect[], name: string) =>
      1 + (find(effects, name)?.changePct ?? Number.NaN) / 100;
    expect(find(back, "threads")).toMatchObject({ level: "on", againstLevel: "off" });
    expectClose(ratio(back, "threads"), 1 / ratio(there, "threads"), 1e-12, "turned");
    expectClose(ratio(back, "cores"), ratio(there, "cores"), 1e-12, "not turned");
    expectClose(ratio(back, "cores,threads"), 1 / ratio(there, "cores,threads"), 1e-12, "interaction");
    expectClose(find(back, "threads")?.p, reference.threads.p, 1e-8, "p, R's");
  });

  test.for([
    { what: "a config without levels", own: {} },
    { what: "a config with levels of its own for both", own: { threads: "half", cores: "few" }, none: true },
    { what: "a factor that is the same everywhere, a config without levels", own: {}, common: true },
  ])("beside $what", ({ own, none, common }) => {
    const more = passes
      .filter(({ config }) => config === "stock")
      .map((pass) => ({ ...pass, config: "tuned", fingerprint: `${pass.fingerprint} tuned` }));
    const said = levels.map(({ config, levels: l }) => ({
      config,
      levels: common ? { ...l, memory: "slow" } : { ...l },
    }));
    const effects = effectsOf([...passes, ...more], [...said, { config: "tuned", levels: own }]);
    if (none) expect(effects).toEqual([]);
    else expect(effects).toEqual(there);
  });

  test("a game that lacks one of the four cells is left out of all effects", () => {
    const some = passes.filter(({ game, config }) => game !== "game-3" || config !== "both");
    const without = passes.filter(({ game }) => game !== "game-3");
    expect(effectsOf(some, levels)).toEqual(effectsOf(without, levels));
    expect(find(effectsOf(some, levels), "threads")?.games).toBe(4);
  });

  test("one game alone says nothing about games", () => {
    expect(
      effectsOf(
        passes.filter(({ game }) => game === "game-1"),
        levels,
      ),
    ).toEqual([]);
  });

  test.for([
    {
      what: "two configs have the same levels",
      change: { config: "both", levels: { threads: "off", cores: "all" } },
    },
    { what: "a level is missing", change: { config: "both", levels: { threads: "off" } } },
    { what: "the baseline has no levels", change: { config: "stock", levels: {} } },
  ])("none where $what", ({ change }) => {
    const said = levels.map((entry) => (entry.config === change.config ? (change as ConfigLevels) : entry));
    expect(effectsOf(passes, said)).toEqual([]);
  });

  test("factors with the names of an object's own parts are factors like any other", () => {
    const odd = levels.map(({ config, levels: { threads, cores } }) => ({
      config,
      levels: Object.fromEntries([
        ["constructor", threads as string],
        ["__proto__", cores as string],
      ]),
    }));
    const effects = effectsOf(passes, odd);
    expectClose(find(effects, "constructor")?.changePct, find(there, "threads")?.changePct ?? null, 1e-12);
    expectClose(find(effects, "__proto__")?.changePct, find(there, "cores")?.changePct ?? null, 1e-12);
  });
});

describe("false alarms of factors, simulated: nothing differs", () => {
  test("a session in twenty at most has any effect called", () => {
    const random = seededRandom(41);
    const sessions = 200;
    const { levels } = sessionOf(usual);
    let called = 0;
    for (let s = 0; s < sessions; s++) {
      const passes = Array.from({ length: 6 }, (_, g) => g).flatMap((g) =>
        usual.flatMap((config) => {
          const sd = 0.006 * Math.exp(0.5 * random.normal());
          return [1, 2, 3].map((pass) =>
            makePass(
              { game: `game-${g}`, config, pass: `pass-${pass}` },
              {
                avgFps: 100 * Math.exp(sd * random.normal()),
                low1Fps: 70 * Math.exp(3 * sd * random.normal()),
              },
            ),
          );
        }),
      );
      const effects = effectsOf(passes, levels);
      expect(effects).toHaveLength(6);
      if (effects.some(({ verdict }) => verdict === "higher" || verdict === "lower")) called++;
    }
    console.info(
      `factors: any effect called in ${((100 * called) / sessions).toFixed(1)}% of ${sessions} sessions`,
    );
    // R 4.2 qbinom(0.999, 200, 0.05) = 21.
    expect(called).toBeLessThanOrEqual(21);
  });
});
