import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "../support/make-pass.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { settingsFor } from "../support/session-fixtures.ts";

const random = seededRandom(12);
const games = [
  "tide-runner",
  "moss-and-marrow",
  "hollow-parliament",
  "kestrel-cup",
  "ninth-lantern",
  "saltworks",
];

/** Average FPS, 1% low and watts as shares of the baseline's. */
type Config = readonly [name: string, fps: number, low: number, watts: number];

function session(configs: readonly Config[], own = games): PassSummary[] {
  return own.flatMap((game) =>
    configs.flatMap(([config, fps, low, watts]) =>
      ["1", "2", "3", "4"].map((pass) => {
        const noise = () => Math.exp(0.003 * random.normal());
        const avgFps = 120 * fps * noise();
        const cpuPowerW = 54 * watts * noise();
        return makePass(
          { game, config, pass },
          {
            avgFps,
            low1Fps: 90 * low * noise(),
            cpuPowerW,
            fpsPerWatt: avgFps / cpuPowerW,
            joulesPerFrame: cpuPowerW / avgFps,
          },
        );
      }),
    ),
  );
}
const tradeOf = (passes: readonly PassSummary[]) => judgeSession(passes, settingsFor("balanced-54w")).trade;

describe("the trade of frame rate against power", () => {
  const baseline: Config = ["balanced-54w", 1, 1, 1];
  // Expected by the definition of the Pareto set, worked out by hand from the true shares.
  test.for([
    {
      what: "the same frames for less power beats all others",
      configs: [baseline, ["quiet-35w", 1, 1, 0.7], ["full-65w", 1, 1, 1.2]] as Config[],
      beaten: { "balanced-54w": ["quiet-35w"], "full-65w": ["balanced-54w", "quiet-35w"], "quiet-35w": [] },
    },
    {
      what: "frames bought with power leave the choice open",
      configs: [baseline, ["quiet-35w", 0.9, 0.9, 0.7], ["full-65w", 1.1, 1.1, 1.2]] as Config[],
      beaten: { "balanced-54w": [], "full-65w": [], "quiet-35w": [] },
    },
    {
      what: "a worse low keeps a frugal config from beating the baseline",
      configs: [baseline, ["quiet-35w", 1, 0.8, 0.7]] as Config[],
      beaten: { "balanced-54w": [], "quiet-35w": [] },
    },
    {
      what: "slower and hungrier is beaten",
      configs: [baseline, ["full-65w", 0.9, 0.9, 1.2]] as Config[],
      beaten: { "balanced-54w": [], "full-65w": ["balanced-54w"] },
    },
  ])("$what", ({ configs, beaten }) => {
    const [all, ...perGame] = tradeOf(session(configs));
    expect(all?.game).toBeNull();
    expect(perGame.map(({ game }) => game)).toEqual([...games].sort());
    const found = Object.fromEntries((all?.rows ?? []).map((row) => [row.config, row.beatenBy]));
    expect(found).toEqual(beaten);
    for (const row of all?.rows ?? []) expect(row.isChoice).toBe(row.beatenBy.length === 0);
  });

  test("what noise leaves open beats nothing", () => {
    const passes = session([baseline, ["quiet-35w", 1, 1, 0.7]]).map((pass) => ({
      ...pass,
      low1Fps: (pass.low1Fps ?? 0) * Math.exp(0.3 * random.normal()),
    }));
    expect(tradeOf(passes)[0]?.rows.map(({ isChoice }) => isChoice)).toEqual([true, true]);
  });

  test("one game has one table, and no power none", () => {
    const one = session([baseline, ["quiet-35w", 1, 1, 0.7]], ["saltworks"]);
    expect(tradeOf(one).map(({ game }) => game)).toEqual(["saltworks"]);
    const blind = one.map((pass) => ({ ...pass, cpuPowerW: null, fpsPerWatt: null, joulesPerFrame: null }));
    expect(tradeOf(blind)).toEqual([]);
  });

  test("the changes are the verdicts' own, and energy per frame is power over frame rate", () => {
    const judgement = judgeSession(
      session([baseline, ["quiet-35w", 1, 0.9, 0.7]]),
      settingsFor("balanced-54w"),
    );
    for (const { game, rows } of judgement.trade.filter((table) => table.game !== null)) {
      for (const { config, changes } of rows) {
        for (const change of changes)
          expect(judgement.verdicts).toContainEqual(expect.objectContaining({ game, config, ...change }));
      }
    }
    // 1 W = 1 J/s (BIPM, The International System of Units, 9th edition, table 4), so (J/s) / (1/s) = J.
    for (const pass of judgement.passes) {
      expect(pass.joulesPerFrame).toBeCloseTo((pass.cpuPowerW as number) / (pass.avgFps as number), 12);
      expect((pass.joulesPerFrame as number) * (pass.fpsPerWatt as number)).toBeCloseTo(1, 12);
    }
  });
});
