import { describe, expect, test } from "vitest";
import { listPasses } from "../../src/judge/list-passes.ts";
import { summarisePass } from "../../src/measure/summarise-pass.ts";
import { measureDetection, scenarios } from "./detection-rates.js";

/*
 * What is true of invented sessions, and what the flags on the pace of passes say of them. A seeded few here; many more,
 * with the rates printed, by `npm run detection`. Goals: 95% of clear effects found, under 1% of clean passes flagged.
 */
const sessions = 8;

describe("flags on what set the pace of a pass", () => {
  test.for(scenarios)("$name", (scenario) => {
    const rate = measureDetection({ listPasses, summarisePass }, scenario, sessions, 21);
    if (scenario.code !== null) expect(rate.cells).toBe(2 * sessions);
    // R 4.x qbinom(0.001, 16, 0.95) = 12: fewer found of 16 cells would deny a rate of 95%.
    expect(rate.found).toBeGreaterThanOrEqual(scenario.code === null ? 0 : 12);
    // R 4.x qbinom(0.999, 96, 0.01) = 5, and passes of one cell err together.
    expect(rate.falsePasses).toBeLessThanOrEqual(5);
  });
});
