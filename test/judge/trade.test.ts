import { beforeEach, describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import type { Metric } from "../../src/shared/metrics.ts";
import { makePass } from "../support/make-pass.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { settingsFor } from "../support/session-fixtures.ts";

let random = seededRandom(12);
// No test depends on what the others have drawn before it.
beforeEach(() => {
  random = seededRandom(12);
});
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

  test("nor does power that noise leaves open, in a config that is no slower", () => {
    // Watts that scatter by a third: whether they differ cannot be told.
    const passes = session([baseline, ["quiet-35w", 1.1, 1.1, 1]]).map((pass) => ({
      ...pass,
      cpuPowerW: 54 * Math.exp(0.3 * random.normal()),
      ...{ fpsPerWatt: null, joulesPerFrame: null },
    }));
    const table = tradeOf(passes)[0];
    expect(table?.rows[1]?.changes.find(({ metric }) => metric === "cpuPowerW")?.verdict).toBe("unclear");
    expect(table?.rows.map(({ isChoice }) => isChoice)).toEqual([true, true]);
  });

  test("a config that a game was not captured under has no row there", () => {
    const passes = session([baseline, ["quiet-35w", 1, 1, 0.7], ["full-65w", 1, 1, 1.2]]);
    const some = passes.filter(({ game, config }) => game !== "saltworks" || config !== "full-65w");
    const rowsOf = (game: string | null) =>
      tradeOf(some)
        .find((table) => table.game === game)
        ?.rows.map(({ config }) => config);
    expect(rowsOf("saltworks")).toEqual(["balanced-54w", "quiet-35w"]);
    expect(rowsOf("kestrel-cup")).toEqual(["balanced-54w", "full-65w", "quiet-35w"]);
    expect(rowsOf(null)).toEqual(["balanced-54w", "full-65w", "quiet-35w"]);
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

describe("which config beats which", () => {
  const watts = ["cpuPowerW", "gpuPowerW"] as const;
  /** Four passes of two configs in one game, hardly any noise; `over` as shares of the baseline's figures. */
  const pair = (over: Partial<Record<Metric, number>>, leave: readonly Metric[] = []) => {
    const base = { avgFps: 120, low1Fps: 90, low01Fps: 60, cpuPowerW: 54, gpuPowerW: 150, fpsPerWatt: 2 };
    return ["balanced-54w", "quiet-35w"].flatMap((config) =>
      [1, 2, 3, 4].map((i) => {
        const values = Object.entries(base)
          .filter(([metric]) => !leave.includes(metric as Metric))
          .map(([metric, value]) => {
            const share = config === "quiet-35w" ? (over[metric as Metric] ?? 1) : 1;
            return [metric, value * share * (1 + 0.001 * ((i * 3) % 4))];
          });
        return makePass({ game: "saltworks", config, pass: `pass-${i}` }, Object.fromEntries(values));
      }),
    );
  };
  const beatersOf = (passes: readonly PassSummary[]) =>
    Object.fromEntries((tradeOf(passes)[0]?.rows ?? []).map(({ config, beatenBy }) => [config, beatenBy]));
  const none = { "balanced-54w": [], "quiet-35w": [] };
  const quietWins = { "balanced-54w": ["quiet-35w"], "quiet-35w": [] };

  // By the definition of the Pareto set; a difference of 20% is far beyond the noise.
  test.for([
    {
      title: "less power of the graphics processor, all else the same",
      over: { gpuPowerW: 0.8 },
      expected: quietWins,
    },
    {
      title: "more power of the graphics processor for less of the processor",
      over: { gpuPowerW: 1.2, cpuPowerW: 0.8 },
      expected: none,
    },
    { title: "a better low, all else the same", over: { low1Fps: 1.2 }, expected: quietWins },
    { title: "all the same", over: {}, expected: none },
    {
      title: "a worse 0.1% low, which rules nothing out",
      over: { low01Fps: 0.8, cpuPowerW: 0.8 },
      expected: quietWins,
    },
    { title: "a better 0.1% low alone, which decides nothing", over: { low01Fps: 1.2 }, expected: none },
    {
      title: "power of the graphics processor alone",
      over: { gpuPowerW: 0.8 },
      leave: ["cpuPowerW"],
      expected: quietWins,
    },
    {
      title: "power of the processor alone",
      over: { cpuPowerW: 0.8 },
      leave: ["gpuPowerW"],
      expected: quietWins,
    },
    {
      title: "power and nothing of frame rates",
      over: { cpuPowerW: 0.8 },
      leave: ["low1Fps", "low01Fps", "gpuPowerW"],
      expected: quietWins,
    },
  ] as { title: string; over: Partial<Record<Metric, number>>; leave?: Metric[]; expected: object }[])(
    "$title",
    ({ over, leave = [], expected }) => {
      expect(beatersOf(pair(over, leave))).toEqual(expected);
    },
  );

  test("a config that lacks one of the figures neither beats nor is beaten", () => {
    const three = [
      ...pair({ cpuPowerW: 0.8 }),
      ...pair({})
        .filter(({ config }) => config === "balanced-54w")
        .map((own) => ({ ...own, config: "full-65w", fingerprint: "", cpuPowerW: 90, gpuPowerW: null })),
    ];
    expect(beatersOf(three)).toEqual({ ...quietWins, "full-65w": [] });
  });

  test("changes are shown in their order, only where they are known, and none of the baseline", () => {
    const [table] = tradeOf(pair({ cpuPowerW: 0.8 }, ["gpuPowerW"]));
    expect(table?.against).toBe("balanced-54w");
    expect(table?.rows.map(({ config, changes }) => [config, changes.map(({ metric }) => metric)])).toEqual([
      ["balanced-54w", []],
      ["quiet-35w", ["avgFps", "low1Fps", "low01Fps", "cpuPowerW", "fpsPerWatt"]],
    ]);
    for (const change of table?.rows[1]?.changes ?? []) {
      expect(Object.keys(change).sort()).toEqual(["changePct", "highPct", "lowPct", "metric", "verdict"]);
    }
  });

  test.for(watts)("a game has a table where %s is known, and none without", (metric) => {
    const other = watts.find((own) => own !== metric) as Metric;
    expect(tradeOf(pair({}, [other])).map(({ game }) => game)).toEqual(["saltworks"]);
    const blind = pair({}, [...watts]).map((own) => ({ ...own, game: "kestrel-cup", fingerprint: "" }));
    expect(tradeOf([...pair({}, [other]), ...blind]).map(({ game }) => game)).toEqual(["saltworks"]);
    expect(tradeOf(blind)).toEqual([]);
  });
});
