import { describe, expect, test } from "vitest";
import { Outlook } from "../../src/judge/outlook.ts";
import { noiseAsStated } from "../../src/judge/planned-noise.ts";
import { PlannedTest, priorOfEqualGames, priorOfGames } from "../../src/judge/planned-test.ts";
import { readReference } from "../support/read-reference.ts";

const r = readReference<{
  sizes: { delta: number; alpha: number; power: number; n: number }[];
  welch: { n: number; ncp: number; alpha: number; power: number }[];
}>("test/reference/planning.json");

describe("a planned test of one game", () => {
  test.for(r.welch)(
    "has the power of Welch's test, integrated in R: $n, $ncp, $alpha",
    ({ n, ncp, alpha, power }) => {
      const planned = new PlannedTest(n, priorOfEqualGames(1, n), alpha).chanceToShow(ncp);
      // Eight cases stand for the whole distribution.
      expect(Math.abs(planned - power)).toBeLessThan(0.005);
    },
  );

  test.for(r.sizes)(
    "needs as many passes as R's power.t.test, or one more for not pooling: $delta SD, $alpha, $power",
    ({ delta, alpha, power, n }) => {
      let needed = 3;
      const chance = (units: number): number =>
        new PlannedTest(units, priorOfEqualGames(1, units), alpha).chanceToShow(delta * Math.sqrt(units / 2));
      while (chance(needed) < power) needed++;
      expect(needed).toBeGreaterThanOrEqual(n);
      expect(needed).toBeLessThanOrEqual(n + 1);
    },
  );
});

describe("either way of a difference", () => {
  test.for([
    { units: 3, games: 1, alpha: 0.05 },
    { units: 4, games: 6, alpha: 0.005 },
    { units: 12, games: 3, alpha: 0.05 },
  ])("is shown alike, and none as seldom as the p allows: $units units, $games games, p $alpha", (row) => {
    const planned = new PlannedTest(row.units, priorOfEqualGames(row.games, row.units), row.alpha);
    for (const errors of [0.5, 2, 4])
      expect(planned.chanceToShow(-errors)).toBeCloseTo(planned.chanceToShow(errors), 12);
    // Welch's test keeps below its p where values are few (Welch 1947); the prior's share moves it a little.
    expect(planned.chanceToShow(0)).toBeGreaterThan(0.5 * row.alpha);
    expect(planned.chanceToShow(0)).toBeLessThan(1.2 * row.alpha);
  });
});

describe("a planned test that draws on other games", () => {
  // Simulated in R by an engine of its own (test/reference/planned-test.R): the first game's chances, its noise being
  // sds[0] and the others' the rest.
  const { rows } = readReference<{
    rows: {
      units: number;
      sds: number[];
      alpha: number;
      standardErrors: number;
      shows: number;
      showsError: number;
      same: number;
      sameError: number;
      logPrior: number;
    }[];
  }>("test/reference/planned-test.json");
  // What the approximation promises: 2 points, 3 for two games of 3 units; and 3 standard errors of the simulation.
  const limit = (units: number, games: number, error: number): number =>
    (units === 3 && games === 2 ? 0.03 : 0.02) + 3 * error;
  const priorOf = (sds: readonly number[], units: number) => {
    const logs = sds.map((sd) => 2 * Math.log(sd));
    return priorOfGames(logs, logs[0] as number, units);
  };

  test.for(rows)(
    "shows a difference as often as an engine of its own in R does: $units units, noise $sds, p $alpha, $standardErrors standard errors",
    ({ units, sds, alpha, standardErrors, shows, showsError, same, sameError }) => {
      const planned = new PlannedTest(units, priorOf(sds, units), alpha);
      const off = Math.abs(planned.chanceToShow(standardErrors) - shows);
      expect(off).toBeLessThan(limit(units, sds.length, showsError));
      // What both sides have in common is left out (Bonferroni's inequality): never too much, and little once it is likely.
      const short = same - planned.chanceOfSame(standardErrors);
      expect(short).toBeGreaterThan(-limit(units, sds.length, sameError));
      if (same > 0.3) expect(short).toBeLessThan(2 * limit(units, sds.length, sameError));
    },
  );

  test.for(rows)("expects the prior's variance where R finds it: $units units, noise $sds", (row) => {
    const { games, priorDf, ratio } = priorOf(row.sds, row.units);
    expect(games).toBe(row.sds.length);
    expect(priorDf).toBeGreaterThan(0);
    expect(Math.abs(Math.log(ratio) - row.logPrior)).toBeLessThan(0.03);
  });

  test("equal games are games of any one noise", () => {
    for (const sd of [0.01, 1, 7]) {
      const equal = priorOfEqualGames(4, 5);
      const { games, priorDf, ratio } = priorOf([sd, sd, sd, sd], 5);
      expect([games, priorDf]).toEqual([equal.games, equal.priorDf]);
      expect(ratio).toBeCloseTo(equal.ratio, 12);
    }
  });

  test.for([0, 1])("%s games are one that draws on nothing", (games) => {
    expect(priorOfEqualGames(games, 5)).toEqual({ games: 1, priorDf: 0, ratio: 1 });
  });
});

describe("the smallest difference shown", () => {
  test.for([
    { units: 3, games: 1 },
    { units: 5, games: 6 },
    { units: 20, games: 16 },
  ])("is shown with its chance and no more: $units units, $games games", ({ units, games }) => {
    const planned = new PlannedTest(units, priorOfEqualGames(games, units), 0.05 / games);
    const smallest = planned.smallestShown(0.8) as number;
    expect(planned.chanceToShow(smallest)).toBeCloseTo(0.8, 6);
  });

  test("does not exist where nothing within reason is shown", () => {
    expect(new PlannedTest(2, priorOfEqualGames(1, 2), 0.0001).smallestShown(0.8)).toBeNull();
  });
});

describe("what stated noise needs", () => {
  const settings = {
    games: Array.from({ length: 16 }, (_, i) => `game-${i}`),
    configs: ["baseline", "first", "second"],
    differencePct: 3,
    mattersPct: 3,
    confidencePct: 95,
    chancePct: 80,
  };
  // Passes for a lone difference of 3% among 96 by the approximation that a judgement uses (R's qt and qnorm, prior of
  // 4 degrees of freedom). The exact power never needs more than it, and not much less: the prior of 16 equally noisy
  // games has 6.3.
  test.for([
    { sdPct: 0.6, approximate: 4 },
    { sdPct: 1.0, approximate: 8 },
    { sdPct: 1.8, approximate: 18 },
    { sdPct: 4.5, approximate: 91 },
  ])("is at most what the approximation needs: $sdPct%", ({ sdPct, approximate }) => {
    const noise = noiseAsStated(
      [{ game: null, metric: "low1Fps", passPct: sdPct, bootPct: null }],
      settings.games,
    );
    const outlook = new Outlook("low1Fps", noise("game-0", "first", "low1Fps")!, settings);
    const needed = outlook.needed(1) as number;
    expect(needed).toBeLessThanOrEqual(approximate);
    expect(needed).toBeGreaterThanOrEqual(Math.floor(0.75 * approximate));
  });

  test("is more than 100 passes for a noise of 20%", () => {
    const noise = noiseAsStated(
      [{ game: null, metric: "avgFps", passPct: 20, bootPct: null }],
      settings.games,
    );
    expect(new Outlook("avgFps", noise("game-0", "first", "avgFps")!, settings).needed(1)).toBeNull();
  });
});
