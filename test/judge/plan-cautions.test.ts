import { describe, expect, test } from "vitest";
import { type Plan, planCautions } from "../../src/judge/plan.ts";
import type { PlannedComparison, SessionPlan } from "../../src/judge/plan-session.ts";

const comparison: PlannedComparison = {
  ...{ game: "saltworks", config: "parked", against: "stock", metric: "avgFps" },
  ...{ noisePct: 1, noiseFrom: "stated", bootNoisePct: null, bestPassesPerBoot: null },
  ...{ passesNeeded: 5, passesForSame: 6, passes: 5, resolvesPct: 3, chancePct: 80, chanceOfSamePct: 70 },
  ...{ isReached: true, passesInFollow: 5, stopInFollow: "narrow" },
};
const unknown: PlannedComparison = { ...comparison, noisePct: null, noiseFrom: null, passesNeeded: null };

function cautionsOf(comparisons: readonly PlannedComparison[], change: Partial<SessionPlan> = {}) {
  const game = { game: "saltworks", passesPerBoot: 5, passes: 5, minutesPerPass: 2 };
  const plan: Omit<Plan, "cautions"> = {
    format: "runjury.plan/1",
    session: {
      ...{ title: null, baseline: "stock", games: ["saltworks"], configs: ["stock", "parked"] },
      ...{ metrics: ["avgFps"], lows: "percentile", differencePct: 3, mattersPct: 3, confidencePct: 95 },
      ...{ falseAlarmControl: "columns", chancePct: 80, leastPasses: 3, mostPasses: 20, switchMinutes: 0 },
      budgetMinutes: null,
    },
    pilot: null,
    plan: {
      ...{ boots: 1, games: [game], captures: 10, switches: 0, isBaselineRepeated: false, minutes: 20 },
      capturesInFollow: null,
      ...change,
    },
    comparisons,
    sheet: null,
  };
  // Every plan speaks of settings that change power: the last caution is always there.
  const cautions = planCautions(plan);
  expect(cautions.at(-1)?.code).toBe("power-limits");
  return cautions.slice(0, -1);
}
const games = (...passes: readonly number[]): Pick<SessionPlan, "games"> => ({
  games: passes.map((count, i) => ({
    ...{ game: `game-${i}`, passesPerBoot: count, passes: count, minutesPerPass: 2 },
  })),
});

describe("what limits a plan", () => {
  test.for([
    { title: "nothing", comparisons: [comparison], plan: {}, codes: [] },
    {
      title: "a noise that nobody knows",
      comparisons: [comparison, unknown],
      plan: {},
      codes: ["noise-unknown"],
    },
    {
      title: "a noise that other games lend is an estimate as well",
      comparisons: [{ ...comparison, noiseFrom: "other-games" }],
      ...{ plan: {}, codes: ["noise-borrowed", "noise-estimated"] },
    },
    {
      title: "a pilot's noise is an estimate",
      comparisons: [{ ...comparison, noiseFrom: "pilot" }],
      ...{ plan: {}, codes: ["noise-estimated"] },
    },
    { title: "two passes of a game", comparisons: [comparison], plan: games(5, 2), codes: ["few-units"] },
    { title: "three passes of each", comparisons: [comparison], plan: games(5, 3), codes: [] },
    {
      title: "two boots, however many passes",
      comparisons: [{ ...comparison, bootNoisePct: 1 }],
      ...{ plan: { boots: 2, ...games(8) }, codes: ["few-units"] },
    },
    {
      title: "three boots of one pass each",
      comparisons: [{ ...comparison, bootNoisePct: 1 }],
      ...{ plan: { boots: 3, ...games(2) }, codes: [] },
    },
    {
      title: "the most passes are just enough",
      comparisons: [{ ...comparison, passesNeeded: 20 }],
      ...{ plan: {}, codes: [] },
    },
    {
      title: "the most passes are one too few",
      comparisons: [{ ...comparison, passesNeeded: 21 }],
      ...{ plan: {}, codes: ["out-of-reach"] },
    },
    {
      title: "no number of passes within reason is enough",
      comparisons: [{ ...comparison, passesNeeded: null }],
      ...{ plan: {}, codes: ["out-of-reach"] },
    },
    {
      title: "one boot per config, the baseline repeated",
      ...{ comparisons: [comparison], plan: { isBaselineRepeated: true }, codes: ["one-boot"] },
    },
    {
      title: "boots of unknown noise",
      ...{ comparisons: [comparison], plan: { boots: 3 }, codes: ["boot-noise-unknown"] },
    },
    {
      title: "boots of unknown noise, of which nothing is known at all",
      ...{ comparisons: [unknown], plan: { boots: 3 }, codes: ["noise-unknown"] },
    },
  ] as { title: string; comparisons: PlannedComparison[]; plan: Partial<SessionPlan>; codes: string[] }[])(
    "$title: $codes",
    ({ comparisons, plan, codes }) => {
      expect(cautionsOf(comparisons, plan).map(({ code }) => code)).toEqual(codes);
    },
  );

  test.for([
    { count: 1, says: ["1 comparison is", "planned for it:"] },
    { count: 2, says: ["2 comparisons is", "planned for them:"] },
    { count: 1200, says: ["1,200 comparisons is", "planned for them:"] },
  ])("$count of unknown noise are spoken of in the right number", ({ count, says }) => {
    const [told] = cautionsOf(Array.from({ length: count }, () => unknown));
    for (const words of says) expect(told?.text).toContain(words);
  });

  test("too few are passes in one boot, and boots where there are several", () => {
    const few = (plan: Partial<SessionPlan>) =>
      cautionsOf([{ ...comparison, bootNoisePct: 1 }], plan)[0]?.text;
    expect(few(games(2))).toContain("fewer than three passes");
    expect(few({ boots: 2 })).toContain("fewer than three boots");
  });
});
