import { describe, expect, test } from "vitest";
import { judgeColumns } from "../../src/judge/judge-columns.ts";
import { Outlook } from "../../src/judge/outlook.ts";
import { noiseAsStated } from "../../src/judge/planned-noise.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "../support/make-pass.ts";
import { type SeededRandom, seededRandom } from "../support/seeded-random.ts";

/*
 * Whether planned passes do what the plan says: sessions are simulated with one difference, judged by the engine with
 * its false-alarm control, and the share that calls it is held against the chance planned. `npm run simulate:plans`
 * plays many more sessions over a grid of noise and prints the table.
 */
const isLong = (import.meta as { env?: { MODE?: string } }).env?.MODE === "simulation";

interface Planned {
  readonly noisePct: number;
  /** Noise of the games that do not differ, where it is another. */
  readonly othersPct?: number;
  readonly bootPct?: number;
  readonly boots?: number;
  readonly games: number;
  readonly differencePct: number;
}

const fpsMetrics = ["avgFps", "low1Fps", "low01Fps"] as const;

function planAndPlay(
  { noisePct, othersPct = noisePct, bootPct, boots = 1, games, differencePct }: Planned,
  sessions: number,
  random: SeededRandom,
) {
  const names = Array.from({ length: games }, (_, i) => `game-${i}`);
  const configs = ["baseline", "other"];
  const settings = {
    games: names,
    configs,
    differencePct,
    mattersPct: 3,
    confidencePct: 95,
    chancePct: 80,
  };
  const noise = noiseAsStated(
    [
      { game: null, metric: "low1Fps", passPct: othersPct, bootPct: bootPct ?? null },
      { game: "game-0", metric: "low1Fps", passPct: noisePct, bootPct: bootPct ?? null },
    ],
    names,
  );
  const outlook = new Outlook("low1Fps", noise("game-0", "other", "low1Fps")!, settings);
  const perBoot = outlook.needed(boots);
  if (perBoot === null) throw new Error("out of reach: no plan to hold to");
  const planned = outlook.shown(boots, perBoot).chancePct / 100;
  const bootSd = (bootPct ?? 0) / 100;
  let called = 0;
  for (let session = 0; session < sessions; session++) {
    const passes: PassSummary[] = [];
    for (const game of names) {
      // A stated percent is 100 standard deviations of natural logs (planned-noise.ts).
      const passSd = (game === "game-0" ? noisePct : othersPct) / 100;
      for (const config of configs) {
        const truth = game === "game-0" && config === "other" ? Math.log1p(differencePct / 100) : 0;
        for (let boot = 0; boot < boots; boot++) {
          const ofBoot = bootSd * random.normal();
          for (let pass = 0; pass < perBoot; pass++) {
            const values = fpsMetrics.map((metric) => [
              metric,
              70 * Math.exp((metric === "low1Fps" ? truth + ofBoot : 0) + passSd * random.normal()),
            ]);
            const place = { game, config, pass: `pass-${pass}`, boot: boots === 1 ? null : `boot-${boot}` };
            passes.push(makePass(place, Object.fromEntries(values)));
          }
        }
      }
    }
    const columns = judgeColumns(passes, { games: names, configs }, judging, false);
    const row = columns
      .find(({ metric }) => metric === "low1Fps")
      ?.rows.find(({ comparison }) => comparison.game === "game-0");
    if (row?.controlled?.called === true) called++;
  }
  const share = called / sessions;
  const error = Math.sqrt((share * (1 - share)) / sessions);
  return { passes: boots * perBoot, planned, share, error };
}

const judging = {
  title: null,
  baseline: "baseline",
  lows: "percentile",
  mattersPct: 3,
  confidencePct: 95,
  falseAlarmControl: "columns",
  keepAll: true,
  setAside: [],
} as const;

const grid: readonly Planned[] = [1, 2, 4, 8].flatMap((games) => [
  { noisePct: 0.6, games, differencePct: 3 },
  { noisePct: 1, games, differencePct: 3 },
  { noisePct: 1.8, games, differencePct: 3 },
  { noisePct: 3, games, differencePct: 5 },
  { noisePct: 4.5, games, differencePct: 10 },
]);
const mixedGrid: readonly Planned[] = [2, 4, 8].flatMap((games) => [
  { noisePct: 1.8, othersPct: 0.6, games, differencePct: 4 },
  { noisePct: 0.9, othersPct: 1.8, games, differencePct: 3 },
]);
const bootGrid: readonly Planned[] = [1, 2, 4, 8].flatMap((games) => [
  { noisePct: 1.8, bootPct: 0.5, boots: 4, games, differencePct: 5 },
  { noisePct: 1.8, bootPct: 1, boots: 5, games, differencePct: 6 },
  { noisePct: 1, bootPct: 1, boots: 6, games, differencePct: 4 },
  { noisePct: 3, bootPct: 1, boots: 6, games, differencePct: 5 },
  { noisePct: 1, bootPct: 2, boots: 10, games, differencePct: 5 },
]);

describe("planned passes", () => {
  test.for([
    { noisePct: 1.8, games: 2, differencePct: 5 },
    { noisePct: 1, games: 4, differencePct: 3 },
    { noisePct: 1.8, bootPct: 1, boots: 5, games: 2, differencePct: 6 },
  ])("show the difference about as often as planned: %o", (plan) => {
    const { planned, share, error } = planAndPlay(plan, 500, seededRandom(16));
    expect(planned).toBeGreaterThanOrEqual(0.8);
    // 2 points, and 3 standard errors of 500 sessions.
    expect(Math.abs(share - planned)).toBeLessThan(0.02 + 3 * error);
  });

  test.runIf(isLong).for([...grid, ...mixedGrid, ...bootGrid])(
    "show it within 2 points of what was planned: %o",
    { timeout: 3_600_000 },
    (plan) => {
      const { passes, planned, share, error } = planAndPlay(plan, 8000, seededRandom(2013));
      const pct = (value: number): string => (100 * value).toFixed(1);
      console.info(
        `${JSON.stringify(plan)}: ${passes} passes, planned ${pct(planned)}%, simulated ${pct(share)}% (${pct(error)})`,
      );
      expect(Math.abs(share - planned)).toBeLessThan(0.02 + 2 * error);
    },
  );
});
