import { describe, expect, test } from "vitest";
import { Outlook, type OutlookSettings } from "../../src/judge/outlook.ts";
import type { PlannedNoise } from "../../src/judge/planned-noise.ts";
import type { Metric } from "../../src/shared/metrics.ts";
import { readReference } from "../support/read-reference.ts";

// Power of Welch's test of two equally noisy samples, integrated in R (test/reference/planning.R).
const { welch } = readReference<{ welch: { n: number; ncp: number; alpha: number; power: number }[] }>(
  "test/reference/planning.json",
);
const settings: OutlookSettings = {
  ...{ games: ["saltworks"], configs: ["stock", "parked"], differencePct: 3, mattersPct: 3 },
  ...{ confidencePct: 95, chancePct: 80 },
};
/** No other game to draw on, so that Welch's test is what judging comes to. */
const alone = () => ({ games: 1, priorDf: 0, ratio: 1 });
const noiseOf = (passVariance: number, bootVariance: number | null = null): PlannedNoise => ({
  ...{ source: "stated", passVariance, bootVariance, prior: alone },
});
const outlookOf = (noise: PlannedNoise, change: Partial<OutlookSettings> = {}, metric: Metric = "avgFps") =>
  new Outlook(metric, noise, { ...settings, ...change });
const logDiff = Math.log(1.03);

describe("the chance to show a lone difference", () => {
  // Bonferroni's alpha: that of the session over the comparisons whose false alarms are held together, which are the
  // metrics of the group times configs times games (3 frame rates, 4 of power).
  const families = [
    { title: "a frame rate of one game", metric: "avgFps", games: 1, configs: 2, size: 3 },
    { title: "a frame rate of two games", metric: "low1Fps", games: 2, configs: 2, size: 6 },
    {
      title: "a frame rate of three configs beside the baseline",
      metric: "low01Fps",
      games: 1,
      configs: 4,
      size: 9,
    },
    { title: "a figure of power", metric: "cpuPowerW", games: 1, configs: 2, size: 4 },
    {
      title: "another one of three games, two configs beside the baseline",
      metric: "fpsPerWatt",
      games: 3,
      configs: 3,
      size: 24,
    },
  ] as const;
  test.for(
    families
      .flatMap((family) => welch.map((row) => ({ ...family, ...row })))
      .filter(({ size, alpha }) => size * alpha < 1),
  )(
    "is Welch's power, integrated in R: $title, $n passes, $ncp standard errors, p $alpha",
    ({ metric, games, configs, size, n, ncp, alpha, power }) => {
      const outlook = outlookOf(
        noiseOf((n / 2) * (logDiff / ncp) ** 2),
        {
          games: Array.from({ length: games }, (_, i) => `game-${i}`),
          configs: Array.from({ length: configs }, (_, i) => `config-${i}`),
          confidencePct: 100 * (1 - size * alpha),
        },
        metric,
      );
      // Eight cases stand for the whole distribution.
      expect(Math.abs(outlook.shown(1, n).chancePct - 100 * power)).toBeLessThan(0.5);
    },
  );
});

describe("the chance of `same`", () => {
  // Both sides must fall within the margin, each at the interval's own alpha. Beyond 5 standard errors the far tail is
  // nothing, so that R's power is that of one side.
  test.for(welch.filter(({ ncp }) => ncp >= 5))(
    "is what both sides of R's power leave: $n passes, $ncp standard errors, p $alpha",
    ({ n, ncp, alpha, power }) => {
      const noise = noiseOf((n / 2) * (logDiff / ncp) ** 2);
      // The difference to show is no part of it.
      const { chanceOfSamePct } = outlookOf(noise, {
        confidencePct: 100 * (1 - alpha),
        differencePct: 9,
      }).shown(1, n);
      expect(Math.abs(chanceOfSamePct - 100 * Math.max(0, 2 * power - 1))).toBeLessThan(1);
    },
  );
});

describe("boots and passes", () => {
  test("of several boots the means are the values: variance of boots, and that of passes over their number", () => {
    // 1e-4 + 2e-4 / 2 = 2e-4: four boots of two passes show as much as four passes of that variance.
    expect(outlookOf(noiseOf(2e-4, 1e-4)).shown(4, 2)).toEqual(outlookOf(noiseOf(2e-4)).shown(1, 4));
    expect(outlookOf(noiseOf(2e-4, null)).shown(4, 2)).toEqual(outlookOf(noiseOf(1e-4)).shown(1, 4));
  });

  test("of one boot the passes are the values, whatever boots differ by", () => {
    expect(outlookOf(noiseOf(2e-4, 1e-4)).shown(1, 4)).toEqual(outlookOf(noiseOf(2e-4)).shown(1, 4));
  });

  test("each has an answer of its own, however often it is asked", () => {
    const outlook = outlookOf(noiseOf(2e-4, 1e-4));
    const pairs = [
      [3, 12],
      [31, 2],
      [3, 1],
      [12, 3],
    ] as const;
    const first = pairs.map(([boots, perBoot]) => outlook.shown(boots, perBoot));
    expect(new Set(first.map(({ chancePct }) => chancePct)).size).toBe(4);
    expect(pairs.map(([boots, perBoot]) => outlook.shown(boots, perBoot))).toEqual(first);
    const needed = [1, 3, 5].map((boots) => outlook.needed(boots));
    expect([1, 3, 5].map((boots) => outlook.needed(boots))).toEqual(needed);
  });
});

describe("the passes needed", () => {
  const sds = [0.001, 0.005, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.07];
  const cases = sds.flatMap((sd) => [1, 3, 7].map((boots) => ({ sd, boots })));

  test.for(cases)(
    "per boot, noise $sd and $boots boots: the fewest that are enough, up to 100 in all",
    ({ sd, boots }) => {
      const outlook = outlookOf(noiseOf(sd * sd, boots === 1 ? null : 1e-6));
      // Three passes of one boot at least: with two, chances are too rough to plan by.
      const least = boots === 1 ? 3 : 1;
      const most = Math.floor(100 / boots);
      const fewest = (chanceOf: (perBoot: number) => number): number | null => {
        for (let perBoot = least; perBoot <= most; perBoot++) if (chanceOf(perBoot) >= 80) return perBoot;
        return null;
      };
      expect(outlook.needed(boots)).toBe(fewest((perBoot) => outlook.shown(boots, perBoot).chancePct));
      expect(outlook.neededForSame(boots)).toBe(
        fewest((perBoot) => outlook.shown(boots, perBoot).chanceOfSamePct),
      );
    },
  );

  test("the cases above hold all kinds: hardly any, some, and more than 100", () => {
    const needed = cases.map(({ sd, boots }) =>
      outlookOf(noiseOf(sd * sd, boots === 1 ? null : 1e-6)).needed(boots),
    );
    expect(needed).toContain(3);
    expect(needed).toContain(1);
    expect(needed).toContain(null);
    expect(needed.filter((count) => count !== null && count > 10).length).toBeGreaterThan(2);
  });
});

describe("the smallest difference shown", () => {
  test.for([3, 5, 20])("is shown with the chance wanted, with %s passes", (passes) => {
    const noise = noiseOf(1e-4);
    const { resolvesPct } = outlookOf(noise, { chancePct: 90 }).shown(1, passes);
    const again = outlookOf(noise, { differencePct: resolvesPct as number, chancePct: 90 }).shown(1, passes);
    expect(again.chancePct).toBeCloseTo(90, 5);
    expect(again.resolvesPct).toBeCloseTo(resolvesPct as number, 12);
  });

  test("does not exist where none within reason is shown", () => {
    expect(outlookOf(noiseOf(1e-4), { confidencePct: 99.97 }).shown(1, 2).resolvesPct).toBeNull();
  });
});
