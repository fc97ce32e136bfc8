import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Judgement, JudgeSettings } from "../../src/judge/judgement.ts";
import {
  cellsInOrder,
  findOrderEffects,
  isBlocked,
  testOrderEffects,
  timePasses,
} from "../../src/judge/order-effects.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { expectClose } from "../support/expect-close.ts";
import { makePass } from "../support/make-pass.ts";
import { seededRandom } from "../support/seeded-random.ts";

// Source of every reference value: base R 4.x (aov, t.test, lm) and clubSandwich, test/reference/session-effects.R.
const reference = JSON.parse(readFileSync("test/reference/session-effects.json", "utf8"));

const settings: JudgeSettings = {
  title: null,
  baseline: "stock",
  lows: "percentile",
  mattersPct: 3,
  confidencePct: 95,
  falseAlarmControl: "columns",
  keepAll: true,
  setAside: [],
};
const pct = (log: number): number => 100 * Math.expm1(log);
const codes = (judgement: Judgement): string[] => judgement.cautions.map(({ code }) => code);

describe("boots are the level at which noise lives", () => {
  interface Row {
    readonly config: string;
    readonly boot: number;
    readonly pass: number;
    readonly avgFps: number;
  }
  const rows: readonly Row[] = reference.boots.passes;
  const passOf = ({ config, boot, pass, avgFps }: Row, withBoot = true): PassSummary =>
    makePass(
      { game: "saltworks", config, pass: `${boot}-${pass}`, boot: withBoot ? `boot-${boot}` : null },
      { avgFps },
    );

  test("the difference, its interval and p are those of boot means in R", () => {
    const judgement = judgeSession(
      rows.map((row) => passOf(row)),
      settings,
    );
    const [verdict] = judgement.verdicts;
    const { logDiff, low, high, p, t, df } = reference.boots;
    expectClose(verdict?.logDiff, logDiff, 1e-10, "difference");
    expectClose(verdict?.lowPct, pct(low), 1e-8, "low");
    expectClose(verdict?.highPct, pct(high), 1e-8, "high");
    expectClose(verdict?.p, p, 1e-8, "p");
    expectClose(verdict?.degreesOfFreedom, df, 1e-8, "df");
    expectClose((verdict?.logDiff ?? 0) / (verdict?.standardError ?? 1), t, 1e-8, "t");
    expect(judgement.session.noiseLevel).toBe("boot");
    expect(codes(judgement)).not.toContain("one-boot");
  });

  test("the squared t is the F of the nested analysis of variance", () => {
    const [verdict] = judgeSession(
      rows.map((row) => passOf(row)),
      settings,
    ).verdicts;
    expectClose(
      ((verdict?.logDiff ?? 0) / (verdict?.standardError ?? 1)) ** 2,
      reference.boots.nestedF,
      1e-8,
      "F",
    );
  });

  test("without the boots' names the passes look far surer than they are, and a caution says so", () => {
    const blind = judgeSession(
      rows.map((row) => passOf(row, false)),
      settings,
    );
    expect(blind.session.noiseLevel).toBe("pass");
    expect(codes(blind)).toContain("one-boot");
    expect(blind.verdicts[0]?.p ?? 1).toBeLessThan(reference.boots.p / 10);
  });

  test("one cell with a single boot: noise is taken from pass to pass, with the caution", () => {
    const some = rows.filter(({ config, boot }) => config === "stock" || boot === 1);
    const judgement = judgeSession(
      some.map((row) => passOf(row)),
      settings,
    );
    expect(judgement.session.noiseLevel).toBe("pass");
    expect(codes(judgement)).toContain("one-boot");
  });

  test("games that share boots: the average over games carries a caution, one game alone does not", () => {
    const two = ["saltworks", "kestrel-cup"].flatMap((game) =>
      rows.map((row) => ({ ...passOf(row), game, fingerprint: "" })),
    );
    expect(codes(judgeSession(two, settings))).toContain("shared-boots");
    expect(
      codes(
        judgeSession(
          rows.map((row) => passOf(row)),
          settings,
        ),
      ),
    ).not.toContain("shared-boots");
    const apart = two.map((pass) => ({ ...pass, boot: `${pass.game}-${pass.boot}` }));
    expect(codes(judgeSession(apart, settings))).not.toContain("shared-boots");
  });

  test("a baseline captured at both ends is compared with itself", () => {
    const some = rows.filter(({ config, boot }) =>
      config === "stock" ? boot === 1 || boot === 4 : boot === 1,
    );
    const judgement = judgeSession(
      some.map((row) => passOf(row)),
      settings,
    );
    const caution = judgement.cautions.find(({ code }) => code === "baseline-boots");
    const mean = (boot: number) => {
      const logs = rows
        .filter((row) => row.config === "stock" && row.boot === boot)
        .map((row) => Math.log(row.avgFps));
      return logs.reduce((sum, log) => sum + log, 0) / logs.length;
    };
    const change = pct(mean(4) - mean(1));
    expect(caution?.text).toContain(`${change > 0 ? "+" : ""}${change.toFixed(1)}%`);
    expect(caution?.text).toContain("boot boot-4");
  });
});

describe("a crossing of two factors", () => {
  interface Row {
    readonly game: string;
    readonly threads: string;
    readonly cores: string;
    readonly pass: number;
    readonly avgFps: number;
  }
  const rows: readonly Row[] = reference.factors.passes;
  const nameOf = (threads: string, cores: string): string =>
    threads === "on" && cores === "all" ? "stock" : `${threads}-${cores}`;
  const passes = rows.map(({ game, threads, cores, pass, avgFps }) =>
    makePass({ game, config: nameOf(threads, cores), pass: `pass-${pass}` }, { avgFps }),
  );
  const levels = ["on", "off"].flatMap((threads) =>
    ["all", "parked"].map((cores) => ({ config: nameOf(threads, cores), levels: { threads, cores } })),
  );

  test.for([
    { factors: ["threads"], key: "threads" },
    { factors: ["cores"], key: "cores" },
    { factors: ["threads", "cores"], key: "interaction" },
  ])("$key: estimate, interval and p are R's lm per game and t.test over games", ({ factors, key }) => {
    const { factors: effects } = judgeSession(passes, { ...settings, levels });
    const effect = effects.find((row) => row.metric === "avgFps" && row.factors.join() === factors.join());
    const expected = reference.factors[key];
    expect(effect?.games).toBe(5);
    expectClose(effect?.changePct, pct(expected.estimate), 1e-8, "estimate");
    expectClose(effect?.lowPct, pct(expected.low), 1e-8, "low");
    expectClose(effect?.highPct, pct(expected.high), 1e-8, "high");
    expectClose(effect?.p, expected.p, 1e-8, "p");
  });

  test("says which level against which, the baseline's being the other", () => {
    const { factors: effects } = judgeSession(passes, { ...settings, levels });
    expect(effects.map(({ level, againstLevel }) => [level, againstLevel])).toEqual([
      ["off", "on"],
      ["parked", "all"],
      [null, null],
    ]);
  });

  test.for([
    { situation: "nothing is said", levels: [] },
    { situation: "a corner is missing", levels: levels.slice(0, 3) },
    {
      situation: "a third level",
      levels: levels.map((entry, i) =>
        i === 3 ? { ...entry, levels: { threads: "off", cores: "half" } } : entry,
      ),
    },
    {
      situation: "a third factor",
      levels: levels.map((entry, i) => ({
        ...entry,
        levels: { ...entry.levels, memory: i === 2 ? "fast" : "slow" },
      })),
    },
  ])("none where $situation", ({ levels: said }) => {
    expect(judgeSession(passes, { ...settings, levels: said }).factors).toEqual([]);
  });
});

describe("effects of order", () => {
  interface Row {
    readonly game: string;
    readonly config: string;
    readonly pass: number;
    readonly hours: number;
    readonly avgFps: number;
  }
  const start = Date.UTC(2026, 2, 14, 18);
  const at = (hours: number): string => new Date(start + Math.round(hours * 3_600_000)).toISOString();
  const rows: readonly Row[] = reference.order.passes;
  const passes = rows.map(({ game, config, pass, hours, avgFps }) => ({
    ...makePass({ game, config, pass: `pass-${pass}` }, { avgFps }),
    startedAt: at(hours),
  }));

  test.for([
    { kind: "first-pass", key: "firstPass" },
    { kind: "drift", key: "drift" },
  ])("$kind: estimate, interval and p are R's", ({ kind, key }) => {
    const times = timePasses(passes);
    const effects = testOrderEffects(cellsInOrder(passes, times), times, 0.95);
    const effect = effects.find((found) => found.kind === kind);
    const expected = reference.order[key];
    // Start times are whole milliseconds in the log and four decimals of an hour in R.
    expectClose(effect?.changePct, pct(expected.estimate), 1e-5, "estimate");
    expectClose(effect?.lowPct, pct(expected.low), 1e-5, "low");
    expectClose(effect?.highPct, pct(expected.high), 1e-5, "high");
    expectClose(effect?.p, expected.p, 1e-4, "p");
  });

  test("a drift and slow first passes that are there are told, with what to do", () => {
    const random = seededRandom(5);
    const slow = ["a", "b", "c", "d"].flatMap((game) =>
      ["stock", "parked"].flatMap((config) =>
        [1, 2, 3, 4].map((pass) =>
          makePass(
            { game, config, pass: `pass-${pass}` },
            {
              avgFps: 100 * Math.exp((pass === 1 ? -0.03 : 0) + 0.004 * random.normal()),
            },
          ),
        ),
      ),
    );
    const { cautions } = judgeSession(slow, settings);
    expect(cautions.find(({ code }) => code === "first-pass")?.text).toMatch(
      /average FPS -\d\.\d%.*not logged/,
    );
  });

  test("times come from the logs, else from files that lie apart as passes must, else from nowhere", () => {
    const bare = passes.map((pass) => ({ ...pass, startedAt: null, seconds: 60 }));
    expect(timePasses(bare)).toBeNull();
    const written = bare.map((pass, i) => ({ ...pass, writtenAtMs: start + i * 90_000 }));
    expect([...(timePasses(written)?.values() ?? [])].slice(0, 3)).toEqual([0, 0.025, 0.05]);
    const copied = bare.map((pass, i) => ({ ...pass, writtenAtMs: start + i }));
    expect(timePasses(copied)).toBeNull();
  });

  test("all passes of a config before the next one's are told apart from a mixed order", () => {
    const inOrder = (order: readonly string[]) =>
      order.map((config, i) => ({
        ...makePass({ game: "saltworks", config, pass: `pass-${i}` }, { avgFps: 100 + i }),
        startedAt: at(i / 10),
      }));
    const blocked = inOrder(["stock", "stock", "parked", "parked"]);
    const mixed = inOrder(["stock", "parked", "parked", "stock"]);
    expect(isBlocked(blocked, timePasses(blocked))).toBe(true);
    expect(isBlocked(mixed, timePasses(mixed))).toBe(false);
    expect(codes(judgeSession(blocked, settings))).toContain("order");
    expect(codes(judgeSession(mixed, settings))).not.toContain("order");
  });

  test("where nothing is the matter, a session in twenty at most is warned of order", () => {
    const random = seededRandom(20_260_314);
    const sessions = 600;
    for (const passesPerCell of [3, 5]) {
      let warned = 0;
      for (let s = 0; s < sessions; s++) {
        const session = Array.from({ length: 8 }, (_, game) => game).flatMap((game) =>
          ["stock", "parked", "no-threads"].flatMap((config) => {
            const noise = 0.006 * Math.exp(0.5 * random.normal());
            return Array.from({ length: passesPerCell }, (_, pass) => ({
              ...makePass(
                { game: `game-${game}`, config, pass: `pass-${pass}` },
                {
                  avgFps: 100 * Math.exp(noise * random.normal()),
                  low1Fps: 70 * Math.exp(3 * noise * random.normal()),
                },
              ),
              startedAt: at(4 * random.uniform()),
            }));
          }),
        );
        const found = findOrderEffects(session, timePasses(session), 0.95);
        if (found.length > 0) warned++;
      }
      console.log(
        `order tests, ${passesPerCell} passes per cell: ${((100 * warned) / sessions).toFixed(1)}% of sessions warned`,
      );
      // 5% of 600 is 30; more than 47 come by chance once in a thousand (R 4.x qbinom(0.999, 600, 0.05) = 48).
      expect(warned).toBeLessThanOrEqual(48);
      expect(warned).toBeGreaterThan(5);
    }
  });
});

describe("kinds of games", () => {
  const random = seededRandom(11);
  const games = ["a", "b", "c", "d", "e"];
  const passes = games.flatMap((game, g) =>
    ["stock", "parked"].flatMap((config) =>
      [1, 2, 3].map((pass) =>
        makePass(
          { game, config, pass: `pass-${pass}` },
          {
            avgFps: 100 * Math.exp((config === "parked" ? 0.02 * g : 0) + 0.005 * random.normal()),
          },
        ),
      ),
    ),
  );
  const tags = [
    { game: "a", tag: "racing" },
    { game: "b", tag: "racing" },
    { game: "c", tag: "racing" },
    { game: "d", tag: "strategy" },
  ];

  test("a tag's row is the suite of a session of its games alone", () => {
    const tagged = judgeSession(passes, { ...settings, tags }).suite.find(({ tag }) => tag === "racing");
    const alone = judgeSession(
      passes.filter(({ game }) => "abc".includes(game)),
      settings,
    ).suite[0];
    for (const key of [
      "games",
      "changePct",
      "lowPct",
      "highPct",
      "theseGamesLowPct",
      "theseGamesHighPct",
      "p",
    ] as const) {
      expectClose(tagged?.[key], alone?.[key] ?? null, 1e-12, key);
    }
    expectClose(tagged?.gamesDiffer.p, alone?.gamesDiffer.p ?? null, 1e-12, "games differ");
  });

  test("a tag of one game has no row, and the row over all games comes first", () => {
    expect(judgeSession(passes, { ...settings, tags }).suite.map(({ tag }) => tag)).toEqual([null, "racing"]);
  });
});

describe("what a verdict hangs on", () => {
  const values: Record<string, number[]> = {
    stock: [100, 100.4, 99.7],
    parked: [97.2, 97.4, 99.0],
    "no-threads": [90, 90.3, 90.1],
  };
  const passes = Object.entries(values).flatMap(([config, fps]) =>
    fps.map((avgFps, i) =>
      makePass(
        { game: "saltworks", config, pass: `pass-${i + 1}` },
        { avgFps, low1Fps: avgFps * (0.7 + 0.004 * i) },
      ),
    ),
  );

  test("the pass named is one without which the whole judgement says another word", () => {
    const judgement = judgeSession(passes, settings);
    const called = judgement.verdicts.filter(({ verdict }) => verdict === "higher" || verdict === "lower");
    expect(called.length).toBeGreaterThan(0);
    for (const row of called) {
      const turning = passes.filter(({ game, config, pass }) => {
        if (config !== row.config && config !== row.against) return false;
        const without = judgeSession(
          passes.filter((other) => other.game !== game || other.config !== config || other.pass !== pass),
          settings,
        );
        const same = without.verdicts.find(
          (other) => other.game === row.game && other.config === row.config && other.metric === row.metric,
        );
        return same?.verdict !== row.verdict;
      });
      const names = turning.map(({ game, config, pass }) => `${game}/${config}/${pass}`);
      if (row.hangsOnPass === null) expect(names).toEqual([]);
      else expect(names).toContain(row.hangsOnPass);
    }
  });

  test("the words under other definitions are those of a judgement by that definition", () => {
    const withLows = passes.map((pass, i) => {
      const low = (factor: number) => ({ low1Fps: (pass.low1Fps ?? 0) * factor, low01Fps: null });
      return {
        ...pass,
        lows: {
          percentile: low(1),
          "tail-average": low(1 + 0.05 * (i % 3)),
          "time-weighted": low(pass.config === "parked" ? 1.1 : 1),
        },
      };
    });
    const judgement = judgeSession(withLows, settings);
    for (const lows of ["tail-average", "time-weighted"] as const) {
      const other = judgeSession(
        withLows.map((pass) => ({ ...pass, ...pass.lows[lows] })),
        { ...settings, lows },
      );
      for (const row of judgement.verdicts.filter(({ metric }) => metric === "low1Fps")) {
        const expected = other.verdicts.find(
          (o) => o.config === row.config && o.metric === "low1Fps",
        )?.verdict;
        expect(row.otherLows.find((o) => o.lows === lows)?.verdict).toBe(expected);
      }
    }
    expect(judgement.cautions.map(({ code }) => code)).toContain("lows-definition");
  });
});
