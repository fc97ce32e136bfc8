import { expect, test } from "vitest";
import { noiseAsStated } from "../../src/judge/planned-noise.ts";
import { fitVariancePrior } from "../../src/judge/variance-prior.ts";

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
