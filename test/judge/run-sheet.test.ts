import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { SessionPlan } from "../../src/judge/plan-session.ts";
import { makeRunSheet, type SheetStep } from "../../src/judge/run-sheet.ts";

const configs = ["stock", "parked", "full"];
const who = { configs, baseline: "stock" };

function planOf(passes: readonly number[], boots: number, switches: number): SessionPlan {
  return {
    boots,
    games: passes.map((passesPerBoot, i) => ({
      game: `game-${i}`,
      passesPerBoot,
      passes: passesPerBoot * boots,
      minutesPerPass: 2,
    })),
    comparisons: [],
    captures: 0,
    switches,
    isBaselineRepeated: boots === 1 && switches > 0,
    minutes: 0,
    capturesInFollow: null,
  };
}

const captures = (steps: readonly SheetStep[]) =>
  steps.flatMap((step) => (step.kind === "capture" ? [step] : []));
const anyPlan = fc.record({
  passes: fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 1, maxLength: 4 }),
  boots: fc.integer({ min: 1, max: 4 }),
  seed: fc.nat(1_000_000),
});

describe("a run sheet", () => {
  test("has every planned pass once, numbered steps, and one file place each", () => {
    fc.assert(
      fc.property(anyPlan, fc.boolean(), ({ passes, boots, seed }, isRestricted) => {
        const plan = planOf(passes, isRestricted ? boots : 1, isRestricted ? 3 * boots : 0);
        const { steps } = makeRunSheet(plan, who, seed);
        expect(steps.map(({ step }) => step)).toEqual(steps.map((_, i) => i + 1));
        const own = captures(steps);
        const places = own.map(({ game, config, boot, pass }) => JSON.stringify([game, config, boot, pass]));
        expect(new Set(places).size).toBe(places.length);
        const repeated = plan.isBaselineRepeated ? passes.length : 0;
        const planned = plan.games.reduce((sum, game) => sum + game.passes, 0) * configs.length;
        expect(own.length).toBe(planned + repeated);
      }),
      { numRuns: 100, seed: 9 },
    );
  });

  test("is the same for the same seed and another for others", () => {
    const plan = planOf([3, 3, 3], 1, 4);
    expect(makeRunSheet(plan, who, 5)).toEqual(makeRunSheet(plan, who, 5));
    const orders = new Set(
      Array.from({ length: 20 }, (_, seed) => JSON.stringify(makeRunSheet(plan, who, seed).steps)),
    );
    expect(orders.size).toBe(20);
  });

  test("keeps configs together where changing one costs time, and ends with the baseline once more", () => {
    fc.assert(
      fc.property(anyPlan, ({ passes, seed }) => {
        const { steps } = makeRunSheet(planOf(passes, 1, 4), who, seed);
        const order = steps.flatMap((step) => (step.kind === "switch" ? [step.config] : []));
        expect([...order].sort()).toEqual(["full", "parked", "stock", "stock"]);
        expect(order.at(-1)).toBe("stock");
        expect(order.at(-2)).not.toBe("stock");
        let config = "";
        for (const step of steps) {
          if (step.kind === "switch") config = step.config;
          else expect(step.config).toBe(config);
        }
      }),
      { numRuns: 50, seed: 9 },
    );
  });

  test("repeats the baseline in a boot of its own, as one more pass of every game, and nothing else", () => {
    const { steps } = makeRunSheet(planOf([3, 1], 1, 4), who, 6);
    const switches = steps.flatMap((step) => (step.kind === "switch" ? [step] : []));
    expect(switches.map(({ isRepeat, boot }) => [isRepeat, boot])).toEqual([
      ...[1, 2, 3].map(() => [false, "boot-1"]),
      [true, "boot-2"],
    ]);
    const repeated = captures(steps).filter(({ boot }) => boot === "boot-2");
    expect(
      repeated.map(({ game, config, round, pass }) => `${game} ${config} ${round} ${pass}`).sort(),
    ).toEqual(["game-0 stock 4 pass-4", "game-1 stock 2 pass-2"]);
    const several = makeRunSheet(planOf([3, 1], 3, 9), who, 6).steps;
    expect(several.filter((step) => step.kind === "switch" && step.isRepeat)).toEqual([]);
  });

  test("has each config once in every round of boots", () => {
    const { steps } = makeRunSheet(planOf([2, 1], 3, 9), who, 4);
    const blocks = steps.flatMap((step) => (step.kind === "switch" ? [step] : []));
    for (const [round, boot] of ["boot-1", "boot-2", "boot-3"].entries()) {
      const own = blocks.slice(3 * round, 3 * round + 3);
      expect(own.map((block) => block.boot)).toEqual([boot, boot, boot]);
      expect(own.map(({ config }) => config).sort()).toEqual(["full", "parked", "stock"]);
    }
  });

  test("makes every round a round: no cell comes again before all others had their turn", () => {
    const own = captures(makeRunSheet(planOf([3, 3], 1, 0), who, 8).steps);
    expect(own.map(({ round }) => round)).toEqual([...own.map(({ round }) => round)].sort((a, b) => a - b));
    expect(new Set(own.slice(0, 6).map(({ game, config }) => `${game}/${config}`)).size).toBe(6);
  });

  test("draws all orders equally often over seeds", () => {
    const counts = new Map<string, number>();
    const draws = 6000;
    for (let seed = 0; seed < draws; seed++) {
      const { steps } = makeRunSheet(planOf([1], 2, 6), who, seed);
      const order = steps.flatMap((step) =>
        step.kind === "switch" && step.boot === "boot-1" ? [step.config] : [],
      );
      counts.set(order.join(), (counts.get(order.join()) ?? 0) + 1);
    }
    const expected = draws / 6;
    const chiSquared = [...counts.values()].reduce((sum, n) => sum + (n - expected) ** 2 / expected, 0);
    expect(counts.size).toBe(6);
    // 99.9% point of chi-squared with 5 degrees of freedom (Abramowitz & Stegun, table 26.8): 20.515.
    expect(chiSquared).toBeLessThan(20.515);
  });
});
