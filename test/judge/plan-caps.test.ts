import { describe, expect, test } from "vitest";
import { type ConfigCap, planCaps } from "../../src/judge/plan-caps.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "../support/make-pass.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { settingsFor } from "../support/session-fixtures.ts";

const random = seededRandom(3);
const noise = (sd: number) => Math.exp(sd * random.normal());

/** Four passes of each config with these true values. */
function cell(game: string, config: string, avgFps: number, low1Fps: number, stepMs: number): PassSummary[] {
  return ["1", "2", "3", "4"].map((pass) => ({
    ...makePass({ game, config, pass }, { avgFps: avgFps * noise(0.001), low1Fps: low1Fps * noise(0.004) }),
    meanStepMs: stepMs * noise(0.02),
  }));
}
const plan = (passes: PassSummary[], caps: ConfigCap[] = [], games: [string, number][] = []) =>
  planCaps(passes, caps, new Map(games), settingsFor(""));

describe("the frame cap to try", () => {
  const passes = [
    ...cell("saltworks", "quiet-35w", 100.5, 70, 0.4),
    ...cell("saltworks", "full-65w", 131, 80, 0.4),
    ...cell("kestrel-cup", "quiet-35w", 143, 130, 0.1),
  ];

  test("is the uncapped average less a tenth in whole FPS, and the slowest config's for all of a game", () => {
    // Common practice, no source: 0.9 x 100.5 = 90.45 and 0.9 x 131 = 117.9.
    const { caps, shared, notPlanned } = plan(passes, [], [["kestrel-cup", 144]]);
    expect(caps.map(({ game, config, capFps }) => [game, config, capFps])).toEqual([
      ["saltworks", "full-65w", 117],
      ["saltworks", "quiet-35w", 90],
    ]);
    expect(shared).toEqual([{ game: "saltworks", capFps: 90, config: "quiet-35w" }]);
    expect(notPlanned).toEqual([{ game: "kestrel-cup", config: "quiet-35w", because: "told", capFps: 144 }]);
  });

  test("is not planned where frame times are held to one rate already", () => {
    const pinned = { rateFps: 144, timePct: 95, kind: "value" } as const;
    const held = passes.map((pass) =>
      pass.game === "kestrel-cup"
        ? { ...pass, pace: { pinned, gpuBusyPct: null, heldPower: null, drops: null } }
        : pass,
    );
    expect(plan(held).notPlanned).toEqual([
      { game: "kestrel-cup", config: "quiet-35w", because: "seen", capFps: 144 },
    ]);
  });
});

describe("what a cap did", () => {
  const passes = [
    ...cell("saltworks", "quiet-35w", 100, 60, 0.4),
    ...cell("saltworks", "quiet-35w-cap-90", 89.9, 80, 0.1),
    ...cell("tide-runner", "quiet-35w", 190, 120, 0.3),
    ...cell("tide-runner", "quiet-35w-cap-90", 171, 120, 0.3),
  ];
  const cap = { config: "quiet-35w-cap-90", fps: 90, of: "quiet-35w" };

  test("is told per game with verdicts on average, low and the step between frames", () => {
    const { effects, caps } = plan(passes, [cap]);
    const words = effects.map(({ game, changes }) => [
      game,
      ...changes.map(({ metric, verdict }) => `${metric} ${verdict}`),
    ]);
    expect(words).toEqual([
      ["saltworks", "avgFps lower", "low1Fps higher", "meanStepMs lower"],
      ["tide-runner", "avgFps lower", "low1Fps same", expect.stringMatching(/^meanStepMs (same|unclear)$/)],
    ]);
    // Truth: 80 / 60 is +33%, 0.1 / 0.4 is -75%.
    const [, low, step] = effects[0]?.changes ?? [];
    expect(low?.changePct).toBeCloseTo(33.3, 0);
    expect(Math.abs((step?.changePct ?? 0) + 75)).toBeLessThan(2);
    expect(caps.map(({ config }) => config)).toEqual(["quiet-35w", "quiet-35w"]);
  });

  test("is not told where nobody says what the config is without its cap", () => {
    const { effects, unpaired } = plan(passes, [{ ...cap, of: null }]);
    expect(effects).toEqual([]);
    expect(unpaired).toEqual(["quiet-35w-cap-90"]);
  });
});
