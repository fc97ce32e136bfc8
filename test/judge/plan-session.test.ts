import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { askedPasses } from "../../src/judge/asked-passes.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import { type PlanSettings, planSession, type SessionPlan } from "../../src/judge/plan-session.ts";
import { noiseAsStated, noiseOfPilot, type StatedNoise } from "../../src/judge/planned-noise.ts";
import { findStanding } from "../../src/judge/session-standing.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "../support/make-pass.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { settingsFor } from "../support/session-fixtures.ts";
import { simulateSession } from "../support/simulate-session.ts";

const games = ["tide-runner", "saltworks", "kestrel-cup"];
const asked: PlanSettings = {
  title: null,
  baseline: "stock",
  games,
  configs: ["stock", "parked"],
  lows: "percentile",
  metrics: ["avgFps", "low1Fps"],
  differencePct: 3,
  mattersPct: 3,
  confidencePct: 95,
  chancePct: 80,
  leastPasses: 3,
  mostPasses: 20,
  amount: { kind: "needed" },
  boots: null,
  passMinutes: () => 2,
  switchMinutes: 5,
};
const stated: readonly StatedNoise[] = [
  { game: null, metric: "avgFps", passPct: 0.6, bootPct: null },
  { game: null, metric: "low1Fps", passPct: 1.5, bootPct: null },
];

function plan(settings: Partial<PlanSettings>, noise = stated): SessionPlan {
  const all = { ...asked, ...settings };
  const planned = planSession(noiseAsStated(noise, all.games), all);
  if ("leastMinutes" in planned) throw new Error(`too little time: ${planned.leastMinutes} min are needed`);
  return planned;
}

/** Passes of a pilot: every game's noise by its place, boots where they are wanted. */
function pilot(sd: (game: number) => number, passes: number, boots = 0, bootSd = 0): PassSummary[] {
  const random = seededRandom(9);
  return games.flatMap((game, g) =>
    ["stock", "parked"].flatMap((config) =>
      Array.from({ length: Math.max(1, boots) }, (_, b) => {
        const ofBoot = bootSd * random.normal();
        return Array.from({ length: passes }, (_, p) =>
          makePass(
            { game, config, pass: `pass-${p + 1}`, boot: boots === 0 ? null : `boot-${b + 1}` },
            { avgFps: 100 * Math.exp(ofBoot + sd(g) * random.normal()) },
          ),
        );
      }).flat(),
    ),
  );
}

describe("a plan", () => {
  test("gives every game what its comparisons need, and the time adds up", () => {
    const { comparisons, games: planned, minutes, captures, switches } = plan({});
    expect(comparisons.every(({ isReached }) => isReached)).toBe(true);
    const passes = Math.max(...comparisons.map(({ passesNeeded }) => passesNeeded as number));
    expect(planned.map((game) => game.passes)).toEqual([passes, passes, passes]);
    // Two configs, and the baseline once more.
    expect(switches).toBe(3);
    expect(captures).toBe(3 * 2 * passes + 3);
    expect(minutes).toBe(captures * 2 + 3 * 5);
  });

  test("gives its comparisons the chance wanted, which one pass less does not", () => {
    const { comparisons } = plan({ mostPasses: 40 });
    for (const { game, metric, passesNeeded, chancePct } of comparisons) {
      expect(chancePct).toBeGreaterThanOrEqual(80);
      const least = passesNeeded as number;
      if (least === 3) continue;
      const fewer = plan({ amount: { kind: "passes", passes: least - 1 } }).comparisons;
      expect(fewer.find((row) => row.game === game && row.metric === metric)?.chancePct).toBeLessThan(80);
    }
  });

  test("with more passes never shows less, at more noise never more", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.05, max: 8, noNaN: true }), { minLength: 3, maxLength: 3 }),
        fc.integer({ min: 3, max: 30 }),
        (pcts, passes) => {
          const resolves = (count: number, factor: number): number[] => {
            const noise = games.map((game, i) => ({
              game,
              metric: "avgFps" as const,
              passPct: (pcts[i] as number) * factor,
              bootPct: null,
            }));
            const settings = {
              metrics: ["avgFps"] as const,
              amount: { kind: "passes", passes: count } as const,
            };
            // Nothing within reason is shown where one game is far less noisy than the others and passes are few.
            return plan(settings, noise).comparisons.map(({ resolvesPct }) => resolvesPct ?? Infinity);
          };
          const now = resolves(passes, 1);
          const more = resolves(passes + 1, 1);
          const noisier = resolves(passes, 1.5);
          now.forEach((shown, i) => {
            expect(more[i]).toBeLessThanOrEqual(shown * (1 + 1e-6));
            if (shown < Infinity) expect(noisier[i]).toBeGreaterThan(shown);
            else expect(noisier[i]).toBe(Infinity);
          });
        },
      ),
      { seed: 1, numRuns: 40 },
    );
  });

  test("needs more for a smaller difference, a higher chance, more games and more configs", () => {
    const needed = (settings: Partial<PlanSettings>): number =>
      Math.max(...plan(settings).comparisons.map(({ passesNeeded }) => passesNeeded ?? 101));
    const usual = needed({});
    expect(needed({ differencePct: 2 })).toBeGreaterThan(usual);
    expect(needed({ chancePct: 95 })).toBeGreaterThan(usual);
    expect(needed({ confidencePct: 99 })).toBeGreaterThan(usual);
    const many = Array.from({ length: 30 }, (_, i) => `game-${i}`);
    expect(needed({ games: many, mostPasses: 30 })).toBeGreaterThan(usual);
    expect(needed({ configs: ["stock", "a", "b", "c", "d", "e"] })).toBeGreaterThan(usual);
  });

  test("is not driven by what is out of reach", () => {
    const noise = [...stated, { game: null, metric: "low01Fps" as const, passPct: 9, bootPct: null }];
    const settings = { metrics: ["avgFps", "low1Fps", "low01Fps"] as const };
    const far = plan(settings, noise);
    expect(far.games).toEqual(plan({}).games);
    expect(far.comparisons.filter(({ metric }) => metric === "low01Fps").map((row) => row.isReached)).toEqual(
      [false, false, false],
    );
  });

  test("with passes given says what they show, the less the fewer", () => {
    const shown = [3, 5, 8, 20].map(
      (passes) => plan({ amount: { kind: "passes", passes } }).comparisons[1]?.resolvesPct as number,
    );
    expect(shown).toEqual([...shown].sort((a, b) => b - a));
    const { comparisons } = plan({
      differencePct: shown[1] as number,
      amount: { kind: "passes", passes: 5 },
    });
    expect(comparisons[1]?.chancePct).toBeCloseTo(80, 4);
  });
});

describe("a plan for a given time", () => {
  const reachedIn = (hours: number): number =>
    plan({ amount: { kind: "time", minutes: 60 * hours } }).comparisons.filter(({ isReached }) => isReached)
      .length;

  test("stays within it, and more time never shows less", () => {
    const reached = [1, 1.5, 2, 3, 4, 6].map((hours) => {
      const { minutes } = plan({ amount: { kind: "time", minutes: 60 * hours } });
      expect(minutes).toBeLessThanOrEqual(60 * hours);
      return reachedIn(hours);
    });
    expect(reached).toEqual([...reached].sort((a, b) => a - b));
    expect(reached.at(-1)).toBe(6);
  });

  test("settles what costs least first", () => {
    const { comparisons } = plan({ amount: { kind: "time", minutes: 85 } });
    const reached = comparisons.filter(({ isReached }) => isReached).map(({ metric }) => metric);
    // Averages need few passes: all of them come before most lows.
    expect(reached.filter((metric) => metric === "avgFps").length).toBe(3);
    expect(reached.filter((metric) => metric === "low1Fps").length).toBeLessThan(3);
  });

  const mixed: readonly StatedNoise[] = [
    { game: null, metric: "avgFps", passPct: 0.6, bootPct: null },
    { game: "saltworks", metric: "avgFps", passPct: 1, bootPct: null },
    { game: "kestrel-cup", metric: "avgFps", passPct: 1.4, bootPct: null },
    { game: "ninth-lantern", metric: "avgFps", passPct: 6, bootPct: null },
  ];
  test.for([1.5, 2, 2.5, 3, 4])("of %s hours shows as much as the best of all plans", (hours) => {
    const costs: Readonly<Record<string, number>> = { "tide-runner": 2, saltworks: 3, "kestrel-cup": 2.5 };
    const settings = {
      games: [...games, "ninth-lantern"],
      metrics: ["avgFps"] as const,
      passMinutes: (game: string) => costs[game] ?? 2,
    };
    const needs = new Map(plan(settings, mixed).comparisons.map((row) => [row.game, row.passesNeeded]));
    const minutes = 60 * hours;
    const { comparisons } = plan({ ...settings, amount: { kind: "time", minutes } }, mixed);
    // Every number of passes from 3 to 20 for every game: two configs, and the baseline once more.
    const mostShown = ([game, ...rest]: readonly string[], left: number): number => {
      if (game === undefined) return 0;
      const most = Array.from({ length: 18 }, (_, i) => i + 3).map((passes) => {
        const after = left - (2 * passes + 1) * settings.passMinutes(game);
        const isShown = (needs.get(game) ?? Number.POSITIVE_INFINITY) <= passes;
        return after < 0 ? Number.NEGATIVE_INFINITY : Number(isShown) + mostShown(rest, after);
      });
      return Math.max(...most);
    };
    const best = mostShown(settings.games, minutes - 3 * asked.switchMinutes);
    expect(comparisons.filter(({ isReached }) => isReached).length).toBe(Math.max(0, best));
    expect(best).toBeGreaterThanOrEqual(0);
  });

  test("too short for anything says what the least takes", () => {
    const planned = planSession(noiseAsStated(stated, games), {
      ...asked,
      amount: { kind: "time", minutes: 30 },
    });
    // 3 games x 2 configs x 3 passes and 3 repeated, 2 minutes each; 3 changes of 5 minutes.
    expect(planned).toEqual({ leastMinutes: 57, captures: 21 });
  });
});

describe("boots and passes", () => {
  const twoLevels: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 1, bootPct: 1 }];
  const settings = { metrics: ["avgFps"] as const, differencePct: 4 };

  test("are the quickest that show the difference, of all whole numbers", () => {
    const best = plan(settings, twoLevels);
    expect(best.comparisons.every(({ isReached }) => isReached)).toBe(true);
    for (let boots = 3; boots <= 10; boots++) {
      for (let perBoot = 1; perBoot * boots <= asked.mostPasses; perBoot++) {
        const amount = { kind: "passes", passes: boots * perBoot } as const;
        const other = plan({ ...settings, boots, amount }, twoLevels);
        if (other.comparisons.every(({ isReached }) => isReached)) {
          expect(best.minutes).toBeLessThanOrEqual(other.minutes);
        }
      }
    }
  });

  test("shift to more passes per boot where a boot costs more and passes are noisier", () => {
    const perBoot = (noise: readonly StatedNoise[], own: Partial<PlanSettings>): number =>
      plan({ ...settings, ...own }, noise).games[0]?.passesPerBoot as number;
    expect(perBoot(twoLevels, { switchMinutes: 1 })).toBe(1);
    const noisyPasses: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 2, bootPct: 0.5 }];
    expect(perBoot(noisyPasses, { switchMinutes: 30, passMinutes: () => 1 })).toBeGreaterThan(1);
  });

  test("no number of passes in three boots shows what boots hide", () => {
    const { comparisons } = plan({ ...settings, boots: 3, differencePct: 2 }, [
      { game: null, metric: "avgFps", passPct: 0.1, bootPct: 3 },
    ]);
    expect(comparisons.every(({ passesNeeded }) => passesNeeded === null)).toBe(true);
  });
});

describe("the noise of a pilot", () => {
  const names = { games, configs: ["stock", "parked"], baseline: "stock" };

  test("is drawn towards that of the other games, as in a judgement", () => {
    const noiseOf = noiseOfPilot(
      pilot((game) => (game === 0 ? 0.03 : 0.005), 4),
      names,
    );
    const [noisy, quiet] = games.map((game) => noiseOf(game, "parked", "avgFps")!);
    expect(noisy?.source).toBe("pilot");
    expect(Math.sqrt(noisy!.passVariance)).toBeLessThan(0.03);
    expect(Math.sqrt(quiet!.passVariance)).toBeGreaterThan(0.003);
    // Other games are quieter than the noisy one: they will draw its noise down.
    expect(noisy!.prior(5).ratio).toBeLessThan(1);
  });

  test("is the judgement's own: standard errors agree", () => {
    const { passes } = simulateSession({ games: 5, passes: 4 }, seededRandom(11));
    const all = { games: [...new Set(passes.map(({ game }) => game))], configs: ["baseline", "first"] };
    const noiseOf = noiseOfPilot(passes, { ...all, baseline: "baseline" });
    const { verdicts } = judgeSession(passes, settingsFor("baseline", { keepAll: true }));
    for (const game of all.games) {
      const verdict = verdicts.find(
        (row) => row.game === game && row.config === "first" && row.metric === "low1Fps",
      );
      const { passVariance } = noiseOf(game, "first", "low1Fps")!;
      expect(Math.sqrt((passVariance * 2) / 4)).toBeCloseTo(verdict?.standardError as number, 12);
    }
  });

  test("goes to configs and games that were not captured", () => {
    const more = {
      games: [...games, "ninth-lantern"],
      configs: ["stock", "parked", "full"],
      baseline: "stock",
    };
    const noiseOf = noiseOfPilot(
      pilot(() => 0.01, 3),
      more,
    );
    expect(noiseOf("ninth-lantern", "parked", "avgFps")?.source).toBe("other-games");
    expect(noiseOf("saltworks", "full", "avgFps")?.source).toBe("pilot");
    expect(noiseOf("saltworks", "parked", "low1Fps")).toBeNull();
  });

  test("is unknown with one pass per cell, and one captured game speaks for all", () => {
    const single = pilot(() => 0.01, 1);
    expect(noiseOfPilot(single, names)("saltworks", "parked", "avgFps")).toBeNull();
    const oneGame = pilot(() => 0.01, 3).filter(
      ({ game, pass }) => game === "saltworks" || pass === "pass-1",
    );
    expect(noiseOfPilot(oneGame, names)("tide-runner", "parked", "avgFps")?.source).toBe("other-games");
  });

  test("splits into boots and passes where every cell has two boots", () => {
    const noiseOf = noiseOfPilot(
      pilot(() => 0.004, 4, 8, 0.02),
      names,
    );
    const noise = noiseOf("saltworks", "parked", "avgFps")!;
    expect(Math.sqrt(noise.passVariance)).toBeGreaterThan(0.002);
    expect(Math.sqrt(noise.passVariance)).toBeLessThan(0.008);
    expect(Math.sqrt(noise.bootVariance as number)).toBeGreaterThan(0.01);
    expect(Math.sqrt(noise.bootVariance as number)).toBeLessThan(0.04);
  });

  test("counts what following the same captures asks for", () => {
    const passes = pilot((game) => 0.006 + 0.003 * game, 3);
    const rule = { leastPasses: 3, mostPasses: 10 };
    const settings = { ...asked, ...rule, metrics: ["avgFps"] as const };
    const asking = askedPasses(passes, settings, "pass", { ...settings, rule });
    const planned = planSession(noiseOfPilot(passes, settings), settings, asking);
    const standing = findStanding(
      passes,
      {
        ...settings,
        rule,
        falseAlarmControl: "columns",
        keepAll: true,
        setAside: [],
        costs: { passMinutes: null, switchMinutes: 0 },
      },
      null,
    );
    if ("leastMinutes" in planned) throw new Error("no time was given");
    expect(planned.capturesInFollow).toBe(passes.length + standing.passesLeft);
    expect(planned.capturesInFollow).toBeGreaterThan(passes.length);
    expect(planned.comparisons.map(({ passesInFollow }) => passesInFollow)).toEqual(
      standing.comparisons.map(({ passesNeeded, passes: counted }) => passesNeeded ?? counted),
    );
  });

  test("of stated noise expects what first passes with that noise would ask for", () => {
    const [low] = plan({ metrics: ["low1Fps"] }, [
      { game: null, metric: "low1Fps", passPct: 1, bootPct: null },
    ]).comparisons;
    // 3 games alike: 1.5 x 2 degrees of freedom of their own and 3.45 of the prior (imaginaryPriorDf);
    // R: ceiling(2 0.01^2 (qt(0.975, 6.45) / (0.6 log(1.03)))^2) = 4.
    expect(low).toMatchObject({ passesInFollow: 4, stopInFollow: "narrow" });
    expect(
      plan({ boots: 3, metrics: ["low1Fps"] }, [{ game: null, metric: "low1Fps", passPct: 1, bootPct: 1 }])
        .capturesInFollow,
    ).toBe(null);
    expect(plan({ metrics: ["avgFps", "low01Fps"] }).capturesInFollow).toBe(null);
  });
});

describe("what a plan counts", () => {
  const fixed = (passes: number) => ({ kind: "passes", passes }) as const;
  const costs: Readonly<Record<string, number>> = { "tide-runner": 2, saltworks: 3, "kestrel-cup": 4 };
  const passMinutes = (game: string): number => costs[game] as number;
  const withBoots: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 1, bootPct: 1 }];
  const one = { metrics: ["avgFps"] as const };

  // Done by hand: three games of 2, 3 and 4 minutes a pass, two configs, five minutes to change one.
  test.for([
    {
      title: "one boot: the baseline comes back once",
      ...{ change: { amount: fixed(4), boots: 1 }, boots: 1, perBoot: 4, switches: 3, isRepeated: true },
      ...{ captures: 3 * 2 * 4 + 3, minutes: (2 + 3 + 4) * (2 * 4 + 1) + 3 * 5 },
    },
    {
      title: "one boot that costs nothing to change: no block, no repeat",
      ...{
        change: { amount: fixed(4), boots: 1, switchMinutes: 0 },
        boots: 1,
        perBoot: 4,
        switches: 0,
        isRepeated: false,
      },
      ...{ captures: 3 * 2 * 4, minutes: (2 + 3 + 4) * 2 * 4 },
    },
    {
      title: "several boots: each config once in each, and no repeat",
      ...{ change: { amount: fixed(8), boots: 4 }, boots: 4, perBoot: 2, switches: 8, isRepeated: false },
      ...{ captures: 3 * 2 * 8, minutes: (2 + 3 + 4) * 2 * 8 + 8 * 5 },
    },
    {
      title: "several boots that cost nothing are boots all the same",
      ...{ change: { amount: fixed(8), boots: 2, switchMinutes: 0 }, boots: 2, perBoot: 4, switches: 4 },
      ...{ isRepeated: false, captures: 3 * 2 * 8, minutes: (2 + 3 + 4) * 2 * 8 },
    },
  ])("$title", ({ change, boots, perBoot, isRepeated, switches, captures, minutes }) => {
    const planned = plan({ ...one, passMinutes, ...change }, withBoots);
    expect(planned).toMatchObject({ boots, switches, captures, minutes, isBaselineRepeated: isRepeated });
    expect(planned.games).toEqual(
      games.map((game) => ({
        ...{ game, passesPerBoot: perBoot, passes: perBoot * boots, minutesPerPass: costs[game] },
      })),
    );
    expect(new Set(planned.comparisons.map(({ passes }) => passes))).toEqual(new Set([perBoot * boots]));
  });

  test.for([
    // Three boots at least, and as many passes in each.
    { passes: 7, boots: 7, perBoot: 1 },
    { passes: 5, boots: 5, perBoot: 1 },
    { passes: 2, boots: 2, perBoot: 1 },
    { passes: 1, boots: 1, perBoot: 1 },
  ])("$passes passes are shared by $boots boots where boots differ", ({ passes, boots, perBoot }) => {
    const planned = plan({ ...one, amount: fixed(passes) }, withBoots);
    expect([planned.boots, planned.games[0]?.passesPerBoot]).toEqual([boots, perBoot]);
  });

  test("passes that several numbers of boots share are shared as shows most, then as is quickest", () => {
    const with12 = (differencePct: number) => plan({ ...one, differencePct, amount: fixed(12) }, withBoots);
    // A difference that three boots show is shown in three, since changing a config costs time.
    expect(with12(12).boots).toBe(3);
    const small = with12(3.5);
    const shownBy = (boots: number): number =>
      plan({ ...one, differencePct: 3.5, boots, amount: fixed(12) }, withBoots).comparisons.filter(
        ({ isReached }) => isReached,
      ).length;
    expect(shownBy(small.boots)).toBe(Math.max(...[3, 4, 6, 12].map(shownBy)));
    expect(shownBy(small.boots)).toBeGreaterThan(shownBy(3));
  });

  test("boots are 1 where their noise is not known, and as many as are given", () => {
    expect(plan({}).boots).toBe(1);
    expect(plan({ boots: 5 }).boots).toBe(5);
    // The three passes that every cell gets first, in whole passes per boot.
    const quiet: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 0.01, bootPct: null }];
    expect([2, 3, 5].map((boots) => plan({ ...one, boots }, quiet).games[0]?.passesPerBoot)).toEqual([
      2, 1, 1,
    ]);
  });

  test("no more than ten boots are planned, nor more than the most passes", () => {
    // Boots' noise alone: only more boots help, and 3% would need far more of them.
    const rough: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 0.1, bootPct: 2 }];
    const bootsFor = (mostPasses: number, differencePct: number): number =>
      plan({ ...one, mostPasses, differencePct }, rough).boots;
    expect(bootsFor(40, 5.5)).toBeLessThanOrEqual(10);
    expect(bootsFor(40, 5.5)).toBeGreaterThan(5);
    expect(bootsFor(6, 5.5)).toBeLessThanOrEqual(6);
  });
});

describe("what a plan says of a comparison", () => {
  test("its noise, and the passes per boot that make the most of the time", () => {
    const noise: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 2, bootPct: 0.5 }];
    const settings = {
      metrics: ["avgFps"] as const,
      boots: 4,
      amount: { kind: "passes", passes: 8 } as const,
    };
    const [first] = plan({ ...settings, switchMinutes: 12 }, noise).comparisons;
    expect(first).toMatchObject({
      ...{ game: "tide-runner", config: "parked", against: "stock", metric: "avgFps", noiseFrom: "stated" },
      ...{ noisePct: expect.closeTo(2, 10), bootNoisePct: expect.closeTo(0.5, 10), passes: 8 },
      // Kalibera & Jones 2013: sqrt(12 min of a boot / 6 min of one pass of all three games x (2 / 0.5)^2).
      bestPassesPerBoot: expect.closeTo(Math.sqrt(2 * 16), 10),
      ...{ passesInFollow: null, stopInFollow: null },
    });
    const even = noise.map((own) => ({ ...own, bootPct: 0 }));
    expect(plan({ ...settings }, even).comparisons[0]).toMatchObject({
      bootNoisePct: 0,
      bestPassesPerBoot: null,
    });
    const unknown = noise.map((own) => ({ ...own, bootPct: null }));
    expect(plan(settings, unknown).comparisons[0]).toMatchObject({
      bootNoisePct: null,
      bestPassesPerBoot: null,
    });
  });

  test("needs are counted per config: whole numbers of passes in every boot", () => {
    const noise: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 1.5, bootPct: 0.3 }];
    for (const boots of [3, 5]) {
      const settings = { metrics: ["avgFps"] as const, boots, mostPasses: 60 };
      const [first] = plan(settings, noise).comparisons;
      const needed = first?.passesNeeded as number;
      expect(needed % boots).toBe(0);
      const chance = (passes: number) =>
        plan({ ...settings, amount: { kind: "passes", passes } }, noise).comparisons[0] as typeof first;
      expect(chance(needed)).toMatchObject({ isReached: true });
      expect(chance(needed - boots)).toMatchObject({ isReached: false });
      const same = first?.passesForSame as number;
      expect(chance(same)?.chanceOfSamePct).toBeGreaterThanOrEqual(80);
      expect(chance(same - boots)?.chanceOfSamePct).toBeLessThan(80);
    }
  });

  const nothing = {
    ...{ noisePct: null, noiseFrom: null, bootNoisePct: null, bestPassesPerBoot: null, passesNeeded: null },
    ...{ passesForSame: null, resolvesPct: null, chancePct: null, chanceOfSamePct: null, isReached: false },
  };

  test("of unknown noise nothing, and the rest is planned without it", () => {
    const some = stated.map((own) => ({ ...own, game: own.metric === "low1Fps" ? "saltworks" : null }));
    const { comparisons, games: planned, capturesInFollow } = plan({}, some);
    const unknown = comparisons.filter(({ metric, game }) => metric === "low1Fps" && game !== "saltworks");
    for (const row of unknown)
      expect(row).toMatchObject({ ...nothing, passesInFollow: null, stopInFollow: null });
    expect(unknown).toHaveLength(2);
    expect(capturesInFollow).toBeNull();
    const passes = new Map(planned.map((game) => [game.game, game.passes]));
    expect(passes.get("saltworks")).toBeGreaterThan(passes.get("tide-runner") as number);
  });

  test("of a single pass nothing, since it shows no noise", () => {
    const { comparisons } = plan({ amount: { kind: "passes", passes: 1 } });
    for (const row of comparisons) expect(row).toMatchObject({ ...nothing, passes: 1 });
    const two = plan({ amount: { kind: "passes", passes: 2 } }).comparisons;
    for (const row of two) expect(row.noiseFrom).toBe("stated");
  });

  test("every game, config and metric once, the baseline against none", () => {
    const { comparisons } = plan({ configs: ["stock", "parked", "full"] });
    expect(comparisons.map(({ game, config, metric }) => `${game} ${config} ${metric}`)).toEqual(
      games.flatMap((game) =>
        ["parked", "full"].flatMap((config) =>
          ["avgFps", "low1Fps"].map((metric) => `${game} ${config} ${metric}`),
        ),
      ),
    );
  });

  test("a pilot's own first passes say what following asks for, unless the noise is stated", () => {
    const own = { game: "saltworks", config: "parked", metric: "avgFps", passes: 9, stop: "narrow" } as const;
    const settings = { ...asked, metrics: ["avgFps"] as const };
    const followed = (source: "pilot" | "stated") => {
      const noise = {
        source,
        passVariance: 1e-5,
        bootVariance: null,
        prior: () => ({ games: 1, priorDf: 0, ratio: 1 }),
      };
      const planned = planSession(() => noise, settings, [own]);
      if ("leastMinutes" in planned) throw new Error("no time was given");
      return planned;
    };
    const passesOf = (source: "pilot" | "stated") =>
      followed(source).comparisons.map(({ passesInFollow }) => passesInFollow);
    expect(passesOf("pilot")).toEqual([3, 9, 3]);
    expect(passesOf("stated")).toEqual([3, 3, 3]);
    // Nine of both cells of the one game, three of the four others.
    expect(followed("pilot").capturesInFollow).toBe(2 * 9 + 4 * 3);
    expect(followed("stated").capturesInFollow).toBe(6 * 3);
  });
});

describe("time that is left", () => {
  const far: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 8, bootPct: null }];
  const settings = { metrics: ["avgFps"] as const };
  const inTime = (minutes: number, noise = far, change: Partial<PlanSettings> = {}) =>
    plan({ ...settings, amount: { kind: "time", minutes }, ...change }, noise).games.map(
      ({ passes }) => passes,
    );

  test("goes evenly to the games with something left to show", () => {
    // Three passes of three games take 57 minutes; each further pass of a game 4.
    expect(inTime(57)).toEqual([3, 3, 3]);
    expect(inTime(60.9)).toEqual([3, 3, 3]);
    expect(inTime(61)).toEqual([4, 3, 3]);
    expect(inTime(69)).toEqual([4, 4, 4]);
    expect(inTime(73)).toEqual([5, 4, 4]);
  });

  test("goes to no game beyond the most passes, and to none where all is shown", () => {
    expect(inTime(500, far, { mostPasses: 5 })).toEqual([5, 5, 5]);
    // In two boots: as many passes in each.
    expect(inTime(500, far, { mostPasses: 5, boots: 2 })).toEqual([4, 4, 4]);
    const quiet = [...far, { game: "saltworks", metric: "avgFps" as const, passPct: 0.01, bootPct: null }];
    expect(inTime(73, quiet)).toEqual([5, 3, 5]);
  });

  test("is not spent where none was given", () => {
    expect(plan(settings, far).games.map(({ passes }) => passes)).toEqual([3, 3, 3]);
  });

  test("goes first to what is settled for the fewest minutes each", () => {
    const noise: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 1.3, bootPct: null }];
    const costs = (game: string): number => (game === "kestrel-cup" ? 1 : 2);
    const all = plan({ ...settings, passMinutes: costs }, noise);
    const needs = all.comparisons.map(({ passesNeeded }) => passesNeeded as number);
    expect(needs[0]).toBe(needs[2]);
    // The last game needs as much as the others, at half the minutes.
    const least = plan(
      { ...settings, passMinutes: costs, amount: { kind: "passes", passes: 3 } },
      noise,
    ).minutes;
    const cheap = 2 * ((needs[2] as number) - 3);
    const reached = plan(
      { ...settings, passMinutes: costs, amount: { kind: "time", minutes: least + cheap } },
      noise,
    );
    expect(reached.comparisons.filter(({ isReached }) => isReached).map(({ game }) => game)).toEqual([
      "kestrel-cup",
    ]);
  });

  test("too short in every number of boots says what the quickest takes", () => {
    const noise: readonly StatedNoise[] = [{ game: null, metric: "avgFps", passPct: 1, bootPct: 1 }];
    const planned = planSession(noiseAsStated(noise, games), {
      ...{ ...asked, ...settings, amount: { kind: "time", minutes: 30 } },
    });
    // Three boots of two configs, one pass of three games in each: 6 changes of 5 minutes, 18 passes of 2.
    expect(planned).toEqual({ leastMinutes: 66, captures: 18 });
  });
});
