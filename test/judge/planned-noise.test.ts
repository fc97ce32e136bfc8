import { describe, expect, test } from "vitest";
import { splitNoise } from "../../src/judge/boot-noise.ts";
import { noiseAsStated, noiseOfPilot } from "../../src/judge/planned-noise.ts";
import { priorOfEqualGames } from "../../src/judge/planned-test.ts";
import { fitVariancePrior } from "../../src/judge/variance-prior.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "../support/make-pass.ts";

const games = ["tide-runner", "saltworks", "kestrel-cup", "ninth-lantern"];

test.for([
  { pct: 0.6, sd: 0.006 },
  { pct: 1.8, sd: 0.018 },
  { pct: 4.5, sd: 0.045 },
])("a stated noise of $pct% is a standard deviation of $sd on natural logs", ({ pct, sd }) => {
  // By definition: noise is spoken of as the SD of ln(metric) in percent, in the method's simulations as well.
  const noise = noiseAsStated([{ game: null, metric: "low1Fps", passPct: pct, bootPct: pct / 2 }], games);
  expect(noise("saltworks", "parked", "low1Fps")?.passVariance).toBeCloseTo(sd ** 2, 15);
  expect(noise("saltworks", "parked", "low1Fps")?.bootVariance).toBeCloseTo((sd / 2) ** 2, 15);
  expect(noise("saltworks", "parked", "avgFps")).toBeNull();
});

test("noise of one game wins over that of all, and judging will draw it towards theirs", () => {
  const noise = noiseAsStated(
    [
      { game: null, metric: "low1Fps", passPct: 1, bootPct: null },
      { game: "saltworks", metric: "low1Fps", passPct: 4, bootPct: 2 },
    ],
    games,
  );
  const of = (game: string) => noise(game, "parked", "low1Fps")!;
  expect(of("tide-runner")).toMatchObject({ passVariance: 1e-4, bootVariance: null });
  expect(of("saltworks").passVariance).toBeCloseTo(16e-4, 15);
  expect(of("saltworks").bootVariance).toBeCloseTo(4e-4, 15);
  // With very many passes the engine's own fit sees these variances as they are.
  const fit = fitVariancePrior(games.map((game) => ({ u: of(game).passVariance, nu: 1e6 })))!;
  for (const game of games) {
    const { priorDf, ratio } = of(game).prior(5e5);
    expect(priorDf).toBeCloseTo(fit.priorDf, 4);
    expect(ratio * of(game).passVariance).toBeCloseTo(fit.priorVariance, 8);
  }
});

test("games of which nothing is stated are none to draw on", () => {
  const noise = noiseAsStated([{ game: "saltworks", metric: "low1Fps", passPct: 1, bootPct: null }], games);
  expect(noise("saltworks", "parked", "low1Fps")?.prior(5)).toEqual({ games: 1, priorDf: 0, ratio: 1 });
  expect(noise("tide-runner", "parked", "low1Fps")).toBeNull();
});

describe("the noise of a pilot", () => {
  /** Passes whose average FPS has these logs; with boots, so many passes in each. */
  const cell = (at: string, logs: readonly number[], perBoot = 0): PassSummary[] => {
    const [game, config] = at.split("/") as [string, string];
    return logs.map((log, i) =>
      makePass(
        { game, config, pass: `pass-${i}`, boot: perBoot === 0 ? null : `boot-${Math.floor(i / perBoot)}` },
        { avgFps: 100 * Math.exp(log) },
      ),
    );
  };
  // Sample variances 1e-4 and 4e-4 (R: var(c(0, .01, .02)), var(c(0, .02, .04))): Welch's degrees of freedom with 3 passes
  // each are 2 (1 + 4)^2 / (1 + 16) = 50 / 17.
  const calm = [0, 0.01, 0.02];
  const wild = [0, 0.02, 0.04];
  const pilotOf = (passes: readonly PassSummary[], plan: { games: string[]; configs: string[] }) =>
    noiseOfPilot(passes, { ...plan, baseline: "stock" });
  const two = { games: ["saltworks"], configs: ["stock", "parked"] };

  test("of one game is that of its two configs together, and draws on nothing", () => {
    const noiseOf = pilotOf([...cell("saltworks/stock", calm), ...cell("saltworks/parked", wild)], two);
    const noise = noiseOf("saltworks", "parked", "avgFps");
    expect(noise).toMatchObject({ source: "pilot", bootVariance: null });
    expect(noise?.passVariance).toBeCloseTo(2.5e-4, 15);
    expect(noise?.prior(5)).toEqual({ games: 1, priorDf: 0, ratio: 1 });
    expect(noiseOf("saltworks", "stock", "avgFps")).toBeNull();
    expect(noiseOf("saltworks", "parked", "low1Fps")).toBeNull();
  });

  test.for([
    { title: "config", passes: cell("saltworks/parked", wild), variance: 4e-4 },
    { title: "baseline", passes: cell("saltworks/stock", calm), variance: 1e-4 },
    {
      title: "side with more than one pass",
      passes: [...cell("saltworks/stock", [0]), ...cell("saltworks/parked", wild)],
      variance: 4e-4,
    },
  ])("of one $title is taken for both", ({ passes, variance }) => {
    expect(pilotOf(passes, two)("saltworks", "parked", "avgFps")?.passVariance).toBeCloseTo(variance, 15);
  });

  test("of several games is drawn towards theirs as a judgement draws it, and other games get that", () => {
    const games = ["kestrel-cup", "saltworks", "tide-runner", "ninth-lantern"];
    const noises = [calm, wild, [0, 0.001, 0.002]];
    const passes = noises.flatMap((logs, i) =>
      ["stock", "parked"].flatMap((config) => cell(`${games[i]}/${config}`, logs)),
    );
    const noiseOf = pilotOf(passes, { games, configs: two.configs });
    // Both configs alike: twice the degrees of freedom of one.
    const pairs = [1e-4, 4e-4, 1e-6].map((u) => ({ u, nu: 4 }));
    const fit = fitVariancePrior(pairs)!;
    for (const [i, { u, nu }] of pairs.entries()) {
      const { source, passVariance, prior } = noiseOf(games[i] as string, "parked", "avgFps")!;
      expect(source).toBe("pilot");
      expect(passVariance / ((nu * u + fit.priorDf * fit.priorVariance) / (nu + fit.priorDf))).toBeCloseTo(
        1,
        9,
      );
      expect(prior(7).games).toBe(4);
      expect(prior(7).priorDf).toBeCloseTo(fit.priorDf, 9);
      expect((prior(7).ratio * passVariance) / fit.priorVariance).toBeCloseTo(1, 9);
    }
    const other = noiseOf("ninth-lantern", "parked", "avgFps")!;
    expect(other.source).toBe("other-games");
    expect(other.passVariance / fit.priorVariance).toBeCloseTo(1, 9);
    expect(other.prior(7).ratio).toBeCloseTo(1, 12);
  });

  test("of two games is drawn towards both", () => {
    const own = ["kestrel-cup", "saltworks"];
    const passes = own.flatMap((game) =>
      ["stock", "parked"].flatMap((config) => cell(`${game}/${config}`, game === "saltworks" ? calm : wild)),
    );
    const fit = fitVariancePrior([1e-4, 4e-4].map((u) => ({ u, nu: 4 })))!;
    const noise = pilotOf(passes, { games: own, configs: two.configs })("saltworks", "parked", "avgFps")!;
    expect(noise.prior(5).priorDf).toBeCloseTo(fit.priorDf, 9);
    expect((noise.prior(5).ratio * noise.passVariance) / fit.priorVariance).toBeCloseTo(1, 9);
  });

  test("games that the plan leaves out still show what noise is usual", () => {
    const passes = ["kestrel-cup", "saltworks"].flatMap((game) =>
      ["stock", "parked"].flatMap((config) => cell(`${game}/${config}`, game === "saltworks" ? calm : wild)),
    );
    const fit = fitVariancePrior([1e-4, 4e-4].map((u) => ({ u, nu: 4 })))!;
    const noise = pilotOf(passes, two)("saltworks", "parked", "avgFps")!;
    expect(
      noise.passVariance / ((4 * 1e-4 + fit.priorDf * fit.priorVariance) / (4 + fit.priorDf)),
    ).toBeCloseTo(1, 9);
    // Judged will be one game, which has no others to draw on.
    expect(noise.prior(5)).toEqual({ games: 1, priorDf: 0, ratio: 1 });
  });

  test("one captured game is the best guess for the others, which are expected to be alike", () => {
    const games = ["saltworks", "kestrel-cup"];
    const passes = [...cell("saltworks/stock", calm), ...cell("saltworks/parked", calm)];
    const noiseOf = pilotOf(passes, { games, configs: two.configs });
    for (const game of games) {
      const noise = noiseOf(game, "parked", "avgFps");
      expect(noise?.passVariance).toBeCloseTo(1e-4, 15);
      expect(noise?.prior(5)).toEqual(priorOfEqualGames(2, 5));
    }
    expect(noiseOf("kestrel-cup", "parked", "avgFps")?.source).toBe("other-games");
  });

  test("of boots and passes adds up to what boots' means show, in the shares of the analysis of variance", () => {
    const logs = [0, 0.004, 0.02, 0.026, 0.011, 0.013];
    const passes = ["stock", "parked"].flatMap((config) => cell(`saltworks/${config}`, logs, 2));
    const noise = pilotOf(passes, two)("saltworks", "parked", "avgFps")!;
    // Boots' means 0.002, 0.023 and 0.012 on both sides: R, var(c(.002, .023, .012)) = 1.103333e-4.
    const { passVariance, bootVariance } = noise;
    expect(((bootVariance as number) + passVariance / 2) * 1e4).toBeCloseTo(1.103333, 6);
    const split = splitNoise(passes, "avgFps")!;
    expect(split.boot).toBeGreaterThan(0);
    expect((bootVariance as number) / passVariance).toBeCloseTo(split.boot / split.pass, 10);
  });

  test("of boots with one pass each is all the boots'", () => {
    const passes = ["stock", "parked"].flatMap((config) => cell(`saltworks/${config}`, calm, 1));
    const noise = pilotOf(passes, two)("saltworks", "parked", "avgFps")!;
    expect(noise.bootVariance).toBeCloseTo(1e-4, 15);
    expect(noise.passVariance).toBe(0);
  });

  test("of no passes is not known", () => {
    expect(pilotOf([], two)("saltworks", "parked", "avgFps")).toBeNull();
  });
});
