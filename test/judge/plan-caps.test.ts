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

describe("which cells get a cap to try", () => {
  /** Passes of these averages exactly; `held` ones at one rate. */
  const exact = (at: string, fps: readonly number[], heldFps: readonly number[] = []): PassSummary[] => {
    const [game, config] = at.split("/") as [string, string];
    return fps.map((avgFps, i) => {
      const rateFps = heldFps[i];
      const pinned = rateFps === undefined ? null : { rateFps, timePct: 95, kind: "value" as const };
      return {
        ...makePass({ game, config, pass: `pass-${i}` }, { avgFps, low1Fps: 0.7 * avgFps }),
        // A busy graphics card beside it is another flag, and no cap.
        pace: { pinned, gpuBusyPct: 90, heldPower: null, drops: null },
      };
    });
  };
  const briefly = ({ caps, notPlanned }: ReturnType<typeof plan>) => [
    ...caps.map(({ game, config, capFps }) => `${game}/${config} ${capFps}`),
    ...notPlanned.map(({ game, config, because, capFps }) => `${game}/${config} ${because} ${capFps}`),
  ];

  test("says how far below the average the cap lies, and by which definition lows are", () => {
    expect(plan(exact("saltworks/stock", [100]))).toMatchObject({
      ...{ format: "runjury.cap/1", marginPct: 10, lows: "percentile", unpaired: [], effects: [] },
    });
  });

  test("the average is the geometric mean of the counted passes, as verdicts have it", () => {
    const passes = exact("saltworks/stock", [80, 125, 50]);
    const settings = settingsFor("", {
      setAside: [{ game: "saltworks", config: "stock", boot: null, pass: "pass-2", why: "updated itself" }],
    });
    const [cap] = planCaps(passes, [], new Map(), settings).caps;
    expect(cap).toMatchObject({ passes: 2, avgFps: expect.closeTo(100, 10), capFps: 90 });
    const [all] = planCaps(passes, [], new Map(), { ...settings, keepAll: true }).caps;
    // (80 x 125 x 50)^(1/3) = 79.37, of which 90% are 71.4.
    expect(all).toMatchObject({ passes: 3, avgFps: expect.closeTo(500_000 ** (1 / 3), 10), capFps: 71 });
  });

  test("a slow pass that the screen finds does not count, unless all are kept", () => {
    const passes = ["a", "b", "c"].flatMap((game) =>
      exact(`${game}/stock`, [100, 100.1, game === "a" ? 50 : 100.2, 100.3]),
    );
    const passesOf = (keepAll: boolean) =>
      planCaps(passes, [], new Map(), settingsFor("", { keepAll })).caps.map(({ passes: count }) => count);
    expect(passesOf(false)).toEqual([3, 4, 4]);
    expect(passesOf(true)).toEqual([4, 4, 4]);
  });

  test("no cap is less than 1 FPS", () => {
    expect(plan(exact("saltworks/stock", [1.05])).caps[0]?.capFps).toBe(1);
  });

  test("what ran under a cap gets none, and what the session says comes before what is seen", () => {
    const passes = [
      ...exact("saltworks/stock", [60, 60, 60], [60, 60.06]),
      ...exact("saltworks/stock-cap-50", [50]),
      ...exact("kestrel-cup/stock", [60, 60], [60, 60]),
      ...exact("tide-runner/stock", [60, 60, 60], [60]),
    ];
    const found = plan(passes, [{ config: "stock-cap-50", fps: 50, of: null }], [["kestrel-cup", 61]]);
    expect(briefly(found)).toEqual([
      "tide-runner/stock 54",
      "kestrel-cup/stock told 61",
      // The mean of the rates at which its passes are held.
      "saltworks/stock seen 60.03",
    ]);
  });

  test("one cap for a game is that of its slowest config, and needs two configs", () => {
    const passes = [
      ...exact("saltworks/a", [120]),
      ...exact("saltworks/b", [100]),
      ...exact("saltworks/c", [110]),
      ...exact("kestrel-cup/a", [90]),
      ...exact("tide-runner/a", [50]),
      ...exact("tide-runner/b", [60], [60]),
    ];
    expect(plan(passes).shared).toEqual([{ game: "saltworks", capFps: 90, config: "b" }]);
  });

  test.for([
    { watts: {}, codes: [] },
    { watts: { cpuPowerW: 50 }, codes: ["power-limits"] },
    { watts: { gpuPowerW: 50 }, codes: ["power-limits"] },
  ])("with $watts the cautions are $codes", ({ watts, codes }) => {
    // One pass that knows it is enough.
    const [first, ...rest] = exact("saltworks/stock", [100, 100]) as [PassSummary, ...PassSummary[]];
    const { cautions } = plan([...rest, { ...first, ...watts }]);
    expect(cautions.map(({ code }) => code)).toEqual(codes);
  });
});

describe("which caps are compared with what", () => {
  const passes = [
    ...cell("saltworks", "stock", 100, 60, 0.4),
    ...cell("saltworks", "stock-cap-90", 89.9, 80, 0.1),
    ...cell("saltworks", "stock-cap-60", 59.9, 58, 0.1),
    ...cell("kestrel-cup", "stock-cap-60", 59.9, 58, 0.1),
    ...cell("kestrel-cup", "quiet", 80, 50, 0.4),
    ...cell("kestrel-cup", "quiet-cap-60", 59.9, 55, 0.1),
    ...cell("tide-runner", "stock", 100, 60, 0.4),
    ...cell("tide-runner", "stock-cap-90", 89.9, 80, 0.1),
  ];
  const caps: ConfigCap[] = [
    { config: "stock-cap-60", fps: 60, of: "stock" },
    { config: "quiet-cap-60", fps: 60, of: "quiet" },
    { config: "stock-cap-90", fps: 90, of: "stock" },
    { config: "odd-cap-30", fps: 30, of: null },
  ];
  const { effects, unpaired } = plan(passes, caps);

  test("each with its own config without the cap, where a game has both", () => {
    expect(effects.map(({ game, config, against, capFps }) => [game, config, against, capFps])).toEqual([
      ["saltworks", "stock-cap-60", "stock", 60],
      ["saltworks", "stock-cap-90", "stock", 90],
      ["tide-runner", "stock-cap-90", "stock", 90],
      ["kestrel-cup", "quiet-cap-60", "quiet", 60],
    ]);
    expect(unpaired).toEqual(["odd-cap-30"]);
  });

  test("with the figures of both, their change and its interval", () => {
    for (const { changes } of effects) {
      expect(changes.map(({ metric }) => metric)).toEqual(["avgFps", "low1Fps", "meanStepMs"]);
      for (const { value, againstValue, changePct, lowPct, highPct, pAdjusted } of changes) {
        expect(changePct).toBeCloseTo(100 * (value / againstValue - 1), 8);
        expect(lowPct as number).toBeLessThan(changePct);
        expect(highPct as number).toBeGreaterThan(changePct);
        expect(pAdjusted).not.toBeNull();
      }
    }
    const [fps, low, step] = effects[0]?.changes ?? [];
    expect(fps?.value).toBeCloseTo(59.9, 0);
    expect(fps?.againstValue).toBeCloseTo(100, 0);
    expect(low?.againstValue).toBeCloseTo(60, 0);
    expect(step?.againstValue).toBeCloseTo(0.4, 1);
  });

  test("the configs of one are judged together, those of another apart", () => {
    const alone = plan(passes, caps.slice(1, 2)).effects;
    expect(alone).toEqual(effects.filter(({ against }) => against === "quiet"));
    // Without the other cap fewer false alarms are held together, and intervals draw on fewer games.
    const [one] = plan(passes, [{ config: "stock-cap-90", fps: 90, of: "stock" }]).effects;
    expect(one?.changes.map(({ metric, changePct }) => [metric, changePct])).toEqual(
      effects[1]?.changes.map(({ metric, changePct }) => [metric, changePct]),
    );
  });

  test("frame rates alone: power is no part of it, and steps only where they are known", () => {
    const known = passes.map((pass) => ({
      ...pass,
      cpuPowerW: 50,
      fpsPerWatt: 2,
      meanStepMs: null,
      low01Fps: 30,
    }));
    expect(plan(known, caps).effects[0]?.changes.map(({ metric }) => metric)).toEqual([
      ...["avgFps", "low1Fps", "low01Fps"],
    ]);
  });

  test("a pass that does not count has no part in it", () => {
    const odd = {
      ...cell("saltworks", "stock-cap-90", 10, 10, 5)[0],
      pass: "5",
      fingerprint: "",
    } as PassSummary;
    const setAside = [
      { game: "saltworks", config: "stock-cap-90", boot: null, pass: "5", why: "updated itself" },
    ];
    expect(planCaps([...passes, odd], caps, new Map(), settingsFor("", { setAside })).effects).toEqual(
      effects,
    );
  });
});
