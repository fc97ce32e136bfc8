import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { ConfigLevels, FactorEffect, JudgeSettings } from "../../src/judge/judgement.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import type { Metric } from "../../src/shared/metrics.ts";
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

describe("two games of uneven cells", () => {
  const cells: Readonly<Record<string, readonly (readonly number[])[]>> = {
    a: [
      [0, 0.01, 0.02],
      [0.05, 0.052, 0.06],
      [0.1, 0.13, 0.11],
      [0.2, 0.21, 0.24, 0.2],
    ],
    b: [
      [0, 0.004],
      [0.03, 0.05, 0.04],
      [0.12, 0.13],
      [0.18, 0.2, 0.17],
    ],
  };
  const passesOf = (metrics: readonly Metric[], boots = false): PassSummary[] =>
    Object.entries(cells).flatMap(([game, four]) =>
      four.flatMap((logs, c) =>
        logs.map((log, i) =>
          makePass(
            { game, config: usual[c] as string, pass: `pass-${i}`, boot: boots ? `boot-${i}` : null },
            Object.fromEntries(metrics.map((metric) => [metric, 100 * Math.exp(log)])),
          ),
        ),
      ),
    );
  const { levels } = sessionOf(usual);
  // R 4.2.2: sums of cell means, their variances by cell and Satterthwaite's degrees of freedom over all eight cells, qt
  // and pt; 1/2 of each difference for a main effect, the whole for the interaction.
  const expected = [
    {
      changePct: 14.1155866437764,
      lowPct: 12.9545657135703,
      highPct: 15.2885413067348,
      p: 4.30610207316143e-12,
    },
    {
      changePct: 6.17038252722938,
      lowPct: 5.09019672695925,
      highPct: 7.26167118389759,
      p: 3.23251202578868e-8,
    },
    {
      changePct: 3.84715825279243,
      lowPct: 1.74480939804677,
      highPct: 5.99294785634089,
      p: 0.00175292969365943,
    },
  ];

  test("effects, intervals and p are those of R's contrasts", () => {
    const found = effectsOf(passesOf(["avgFps"]), levels);
    expect(found).toHaveLength(3);
    for (const [i, row] of expected.entries()) {
      for (const key of ["changePct", "lowPct", "highPct", "p"] as const)
        expectClose(found[i]?.[key], row[key], 1e-8, `${key} of ${found[i]?.factors}`);
      expect(found[i]).toMatchObject({ games: 2, verdict: "higher" });
    }
    // Holm 1979, by hand: the smallest p by three, the next by two.
    const [first, second, both] = expected.map(({ p }) => p) as [number, number, number];
    for (const [i, p] of [3 * first, 2 * second, both].entries()) expectClose(found[i]?.pAdjusted, p, 1e-8);
  });

  test("false alarms are held over all metrics together, of frame rates and of nothing else", () => {
    const found = effectsOf(passesOf(["avgFps", "low1Fps", "cpuPowerW"]), levels);
    expect(found.map(({ metric, factors }) => `${metric} ${factors.length}`)).toEqual([
      ...["avgFps 1", "avgFps 1", "avgFps 2", "low1Fps 1", "low1Fps 1", "low1Fps 2"],
    ]);
    // The interaction is the largest p of six, in both metrics: times two.
    expectClose(found[2]?.pAdjusted, 2 * (expected[2]?.p as number), 1e-8);
  });

  test("words go by the confidence and by what matters", () => {
    const wordsOf = (change: Partial<JudgeSettings>) =>
      judgeSession(
        passesOf(["avgFps"]),
        settingsFor("stock", { keepAll: true, levels, ...change }),
      ).factors.map(({ verdict }) => verdict);
    expect(wordsOf({})).toEqual(["higher", "higher", "higher"]);
    // An interaction whose p is 0.0018 is not called at 99.9%; its wider interval does not reach 20%.
    expect(wordsOf({ confidencePct: 99.9 })).toEqual(["higher", "higher", "unclear"]);
    expect(wordsOf({ confidencePct: 99.9, mattersPct: 20 })).toEqual(["higher", "higher", "same"]);
  });

  test("boots that the games share make the averages less sure", () => {
    const widthOf = (boots: boolean): number => {
      const [row] = effectsOf(passesOf(["avgFps"], boots), levels);
      return (row?.highPct ?? Number.NaN) - (row?.lowPct ?? Number.NaN);
    };
    expect(widthOf(true)).toBeGreaterThan(1.05 * widthOf(false));
  });

  test("a cell with a single pass leaves its game out", () => {
    const some = passesOf(["avgFps"]).filter(
      ({ game, config, pass }) => game !== "b" || config !== "both" || pass === "pass-0",
    );
    expect(effectsOf(some, levels)).toEqual([]);
  });

  test("cells without noise have the smallest noise assumed, a hundredth of a percent", () => {
    const still = passesOf(["avgFps"]).map((pass) => ({
      ...pass,
      avgFps: pass.config === "stock" ? 100 : 110,
    }));
    for (const { lowPct, highPct, p } of effectsOf(still, levels)) {
      expect(highPct).toBeGreaterThan(lowPct);
      expect(p).toBeLessThan(1e-6);
    }
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
