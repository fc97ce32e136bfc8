import { expect, test } from "vitest";
import { noiseAsStated } from "../../src/judge/planned-noise.ts";

test.for([
  { pct: 0.6, sd: 0.006 },
  { pct: 1.8, sd: 0.018 },
  { pct: 4.5, sd: 0.045 },
])("a stated noise of $pct% is a standard deviation of $sd on natural logs", ({ pct, sd }) => {
  // By definition: noise is spoken of as the SD of ln(metric) in percent, in the method's simulations as well.
  const noise = noiseAsStated([{ metric: "low1Fps", passPct: pct, bootPct: pct / 2 }], 6);
  expect(noise("saltworks", "parked", "low1Fps")?.passVariance).toBeCloseTo(sd ** 2, 15);
  expect(noise("saltworks", "parked", "low1Fps")?.bootVariance).toBeCloseTo((sd / 2) ** 2, 15);
  expect(noise("saltworks", "parked", "avgFps")).toBeNull();
});
