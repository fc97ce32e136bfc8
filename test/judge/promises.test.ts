import { mean, sampleVariance } from "simple-statistics";
import { describe, expect, test } from "vitest";
import { type CellPair, type Comparison, compareColumn } from "../../src/judge/compare-cells.ts";
import { controlColumns } from "../../src/judge/control-false-alarms.ts";
import { chiSquareUpperTail } from "../../src/judge/distributions.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import { screenPasses } from "../../src/judge/screen-passes.ts";
import { estimateSuite } from "../../src/judge/suite.ts";
import { decideVerdict, type VerdictWord } from "../../src/judge/verdict.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { settingsFor } from "../support/session-fixtures.ts";
import {
  configs,
  type Scenario,
  type SimulatedMetric,
  simulatedMetrics,
  simulateSession,
} from "../support/simulate-session.ts";

// Sessions of 16 games, 3 configs and 3 passes unless a scenario says otherwise. Every limit below is the promise itself
// plus what chance adds to a simulation of this size: three standard errors, or the upper 99.9% binomial bound. With a
// fixed seed the figures never move; another seed would pass as well, save once in a thousand.

interface JudgedColumn {
  readonly config: string;
  readonly metric: SimulatedMetric;
  readonly rows: readonly (Comparison & { verdict: VerdictWord })[];
  readonly suite: NonNullable<ReturnType<typeof estimateSuite>>;
}

const keyOf = ({ game, config, pass }: Pick<PassSummary, "game" | "config" | "pass">) =>
  `${game}/${config}/${pass}`;
const alpha = 0.05;

/** The judgement's steps without planning and wording, which take most of its time; compared with judgeSession below. */
function judgeQuickly(passes: readonly PassSummary[]): { columns: JudgedColumn[]; out: Set<string> } {
  const cells = new Map<string, PassSummary[]>();
  for (const pass of passes) {
    const key = `${pass.game}/${pass.config}`;
    const cell = cells.get(key);
    if (cell) cell.push(pass);
    else cells.set(key, [pass]);
  }
  const { setAside } = screenPasses(
    [...cells.values()].map((cell) =>
      cell.map(({ avgFps, low1Fps }) => ({ avgFps: Math.log(avgFps!), low1Fps: Math.log(low1Fps!) })),
    ),
  );
  const out = new Set(
    [...cells.values()].flatMap((cell, c) => cell.filter((_, i) => setAside[c]![i]).map(keyOf)),
  );
  const games = [...new Set(passes.map(({ game }) => game))];
  const statistics = (game: string, config: string, metric: SimulatedMetric) => {
    const logs = cells
      .get(`${game}/${config}`)!
      .filter((pass) => !out.has(keyOf(pass)))
      .map((pass) => Math.log(pass[metric]!));
    return { n: logs.length, mean: mean(logs), variance: logs.length > 1 ? sampleVariance(logs) : null };
  };
  const compared = simulatedMetrics.flatMap((metric) =>
    configs.slice(1).map((config) => {
      const pairs: CellPair[] = games.map((game) => ({
        game,
        config: statistics(game, config, metric),
        against: statistics(game, "baseline", metric),
      }));
      return { config, metric, comparisons: compareColumn(pairs, 0.95) };
    }),
  );
  const { adjusted } = controlColumns(
    compared.map(({ comparisons }) => comparisons.map(({ p }) => p!)),
    alpha,
  );
  const columns = compared.map(({ config, metric, comparisons }, c) => ({
    config,
    metric,
    rows: comparisons.map((row, i) => ({
      ...row,
      verdict: decideVerdict({ ...row, pAdjusted: adjusted[c]![i]!, alpha, mattersPct: 3 }).verdict,
    })),
    suite: estimateSuite(
      comparisons.map(({ logDiff, pair }) => ({ d: logDiff, v: pair.u! * pair.h, f: pair.nu })),
      0.95,
    )!,
  }));
  return { columns, out };
}

/** Share of successes with its standard error, sessions being the units: comparisons of one session share passes. */
class Tally {
  readonly #shares: number[] = [];
  add(hits: number, of = 1) {
    if (of > 0) this.#shares.push(hits / of);
  }
  get share() {
    return mean(this.#shares);
  }
  get error() {
    return Math.sqrt(sampleVariance(this.#shares) / this.#shares.length);
  }
  toString() {
    return `${(100 * this.share).toFixed(2)}% (standard error ${(100 * this.error).toFixed(2)})`;
  }
}

const count = <T>(items: readonly T[], is: (item: T) => boolean) => items.filter(is).length;
const isCalled = ({ verdict }: { verdict: VerdictWord }) => verdict === "higher" || verdict === "lower";
const covers = ({ low, high }: { low: number | null; high: number | null }, truth: number) =>
  low! <= truth && truth <= high!;

/** The p of Cochran's Q (Cochran 1954, Biometrics 10:101), which takes each game's own variance for the true one. */
function cochranP(rows: JudgedColumn["rows"]): number {
  const weights = rows.map(({ pair }) => 1 / (pair.u! * pair.h));
  const common = mean(rows.map(({ logDiff }, i) => logDiff * weights[i]!)) / mean(weights);
  const q = rows.reduce((sum, { logDiff }, i) => sum + weights[i]! * (logDiff - common) ** 2, 0);
  return chiSquareUpperTail(q, rows.length - 1);
}

function simulate(
  seed: number,
  sessions: number,
  scenario: Scenario,
  visit: (session: ReturnType<typeof judgeQuickly> & { spoiled: Set<string>; passes: PassSummary[] }) => void,
) {
  const random = seededRandom(seed);
  for (let i = 0; i < sessions; i++) {
    const { passes, spoiled } = simulateSession(scenario, random);
    visit({ ...judgeQuickly(passes), spoiled, passes });
  }
}

describe("what the method promises, simulated", () => {
  test("the short way taken here is the judgement's own", () => {
    const random = seededRandom(1);
    for (const spoiledShare of [0, 0.05]) {
      const { passes } = simulateSession({ games: 6, passes: 3, spoiledShare, truth: () => 0.03 }, random);
      const { columns, out } = judgeQuickly(passes);
      const judgement = judgeSession(passes, settingsFor("baseline"));
      expect(new Set(judgement.passes.filter(({ counted }) => !counted).map(keyOf))).toEqual(out);
      for (const { config, metric, rows, suite } of columns) {
        for (const row of rows) {
          const full = judgement.verdicts.find(
            (verdict) => verdict.game === row.game && verdict.config === config && verdict.metric === metric,
          )!;
          expect(full.verdict).toBe(row.verdict);
          expect(full.p).toBe(row.p);
        }
        const full = judgement.suite.find(
          (row) => row.tag === null && row.config === config && row.metric === metric,
        )!;
        expect(full.gamesDiffer.p).toBe(suite.gamesDiffer.p);
        expect(full.p).toBe(suite.main.p);
      }
    }
  });

  test("nothing differs: few false alarms, honest intervals, few good passes lost", () => {
    const sessions = 1500;
    const anyAlarm = new Tally();
    const perComparison = new Tally();
    const coverage = new Tally();
    const suiteCoverage = new Tally();
    const theseCoverage = new Tally();
    const differ = new Tally();
    const differByQ = new Tally();
    const losesAny = new Tally();
    const lost = new Tally();
    simulate(20240614, sessions, { games: 16, passes: 3 }, ({ columns, out }) => {
      const rows = columns.flatMap((column) => column.rows);
      anyAlarm.add(rows.some(isCalled) ? 1 : 0);
      perComparison.add(
        count(rows, ({ p }) => p! <= alpha),
        rows.length,
      );
      coverage.add(
        count(rows, (row) => covers(row, 0)),
        rows.length,
      );
      suiteCoverage.add(
        count(columns, ({ suite }) => covers(suite.main, 0)),
        columns.length,
      );
      theseCoverage.add(
        count(columns, ({ suite }) => covers(suite.theseGames, 0)),
        columns.length,
      );
      differ.add(
        count(columns, ({ suite }) => suite.gamesDiffer.verdict),
        columns.length,
      );
      differByQ.add(
        count(columns, ({ rows }) => cochranP(rows) <= alpha),
        columns.length,
      );
      losesAny.add(out.size > 0 ? 1 : 0);
      lost.add(out.size);
    });
    console.info(
      `no difference: any false alarm ${anyAlarm}, single p <= 5% ${perComparison}, interval coverage ${coverage}, ` +
        `suite ${suiteCoverage}, these games ${theseCoverage}, games differ ${differ} ` +
        `(by Cochran's Q ${differByQ}), ` +
        `sessions losing a good pass ${losesAny}, good passes lost per session ${lost.share.toFixed(3)}`,
    );
    // Promise 5%; 5% + 3.09 sqrt(0.05 0.95 / 1500) = 6.7%.
    expect(anyAlarm.share).toBeLessThanOrEqual(0.067);
    // A control that never calls anything would pass the line above: it must use what it is allowed.
    expect(anyAlarm.share).toBeGreaterThan(0.02);
    // Promise 5% and 95%, to half a point for the approximations (measured for the design: 5.0% and 95.1%).
    expect(Math.abs(perComparison.share - 0.05)).toBeLessThan(0.006);
    expect(Math.abs(coverage.share - 0.95)).toBeLessThan(0.006);
    // Promise 94.5% at least for the suite, 94 to 98% for these games; three standard errors are 0.7 of a point.
    expect(suiteCoverage.share).toBeGreaterThan(0.945 - 0.007);
    expect(theseCoverage.share).toBeGreaterThan(0.94 - 0.007);
    expect(theseCoverage.share).toBeLessThan(0.98);
    // Promise 2 to 7%.
    expect(differ.share).toBeGreaterThan(0.02);
    expect(differ.share).toBeLessThan(0.07);
    // What the method page says of Q: it finds games that differ in half of the columns in which none do.
    expect(differByQ.share).toBeGreaterThan(0.45);
    expect(differByQ.share).toBeLessThan(0.55);
    // Promise: one clean session in twenty at most; at most 0.05 good passes a session.
    expect(losesAny.share).toBeLessThanOrEqual(0.067);
    expect(lost.share).toBeLessThan(0.067);
  });

  // What the method page says of small sessions. Simulated elsewhere by other code (2,000 sessions each): 10.2, 6.6 and
  // 5.9%; holding 5% would take a level of 2.5%, and find 31% of changes of 7% in one of two games where this finds 37%.
  test.for([
    { games: 2, most: 0.1 },
    { games: 4, most: 0.07 },
    { games: 8, most: 0.06 },
  ])(
    "nothing differs between $games games that are very unequally noisy: a false alarm in $most at most",
    (row) => {
      const sessions = 2400 / row.games;
      const anyAlarm = new Tally();
      simulate(20240620, sessions, { games: row.games, passes: 3 }, ({ columns }) => {
        anyAlarm.add(columns.some(({ rows }) => rows.some(isCalled)) ? 1 : 0);
      });
      console.info(`no difference, ${row.games} games: any false alarm ${anyAlarm}`);
      expect(anyAlarm.share).toBeLessThan(
        row.most + 3.09 * Math.sqrt((row.most * (1 - row.most)) / sessions),
      );
      expect(anyAlarm.share).toBeGreaterThan(0.02);
    },
  );

  // What the page of the caution uneven-passes says; simulated elsewhere by other code (300 to 1,000 sessions each): 2, 13
  // and 20%.
  test.for([
    { what: "two passes of all configs", passes: 2, least: 0, most: 0.05 },
    {
      what: "two passes of one config against five",
      passes: 5,
      passesOf: { first: 2 },
      least: 0.08,
      most: 0.13,
    },
    {
      what: "two passes of a noisier config against five",
      ...{ passes: 5, passesOf: { first: 2 }, noisier: { first: 3 }, least: 0.14, most: 0.24 },
    },
  ])("nothing differs, $what: a false alarm in $most at most", ({ what, least, most, ...scenario }) => {
    const sessions = 400;
    const anyAlarm = new Tally();
    simulate(20240621, sessions, { games: 8, ...scenario }, ({ columns }) => {
      anyAlarm.add(columns.some(({ rows }) => rows.some(isCalled)) ? 1 : 0);
    });
    console.info(`no difference, ${what}: any false alarm ${anyAlarm}`);
    const chance = (share: number) => 3.09 * Math.sqrt((share * (1 - share)) / sessions);
    expect(anyAlarm.share).toBeLessThan(most + chance(most));
    expect(anyAlarm.share).toBeGreaterThanOrEqual(least - chance(least));
  });

  test("a difference of exactly 3% is rarely called the same, either way round", () => {
    const margin = Math.log(1.03);
    const falseSame = new Map(simulatedMetrics.map((metric) => [metric, new Tally()]));
    const coverage = new Tally();
    const truth = ({ config }: { config: string }) => (config === "first" ? margin : -margin);
    simulate(20240615, 400, { games: 16, passes: 3, truth }, ({ columns }) => {
      for (const metric of simulatedMetrics) {
        const rows = columns.filter((column) => column.metric === metric).flatMap((column) => column.rows);
        falseSame.get(metric)!.add(
          count(rows, ({ verdict }) => verdict === "same"),
          rows.length,
        );
      }
      const all = columns.flatMap(({ config, rows }) => rows.map((row) => covers(row, truth({ config }))));
      coverage.add(count(all, Boolean), all.length);
    });
    console.info(
      `exactly 3%: false "same" ${[...falseSame].map(([metric, tally]) => `${metric} ${tally}`).join(", ")}; ` +
        `coverage ${coverage}`,
    );
    // Promise 2.5% (two one-sided tests at 2.5%), measured for the design at most 2.6%; 3% with its chance error.
    for (const tally of falseSame.values()) expect(tally.share).toBeLessThan(0.03);
    expect(Math.abs(coverage.share - 0.95)).toBeLessThan(0.008);
  });

  test("games that truly differ: the suite's interval covers the average over such games", () => {
    const spread = 0.03;
    const main = new Tally();
    const theseGames = new Tally();
    const noticed = new Tally();
    const random = seededRandom(3);
    for (let i = 0; i < 400; i++) {
      const effects = new Map<string, number>();
      // A game's true difference is the same in all passes and metrics, and drawn afresh in every session.
      const truth = ({ game, config }: { game: number; config: string }) => {
        const key = `${game}/${config}`;
        const known = effects.get(key) ?? 0.01 + spread * random.normal();
        effects.set(key, known);
        return known;
      };
      simulate(20240700 + i, 1, { games: 16, passes: 3, truth }, ({ columns }) => {
        const avg = columns.filter(({ metric }) => metric === "avgFps");
        main.add(
          count(columns, ({ suite }) => covers(suite.main, 0.01)),
          columns.length,
        );
        noticed.add(
          count(avg, ({ suite }) => suite.gamesDiffer.verdict),
          avg.length,
        );
        theseGames.add(
          count(columns, ({ config, rows, suite }) => {
            const truths = rows.map(({ game }) => truth({ game: Number(game.slice(5)), config }));
            return covers(suite.theseGames, mean(truths));
          }),
          columns.length,
        );
      });
    }
    console.info(
      `games differ by 3%: suite ${main}, these games ${theseGames}, noticed in averages ${noticed}`,
    );
    // Promise 94.5% and 94%; the three columns of a config share their games, so a standard error is about 0.7 of a point.
    expect(main.share).toBeGreaterThan(0.945 - 3 * 0.007);
    expect(theseGames.share).toBeGreaterThan(0.94 - 3 * 0.005);
    expect(theseGames.share).toBeLessThan(0.98);
    // Measured for the design: 92% of spreads of 3% are noticed over 16 games (all metrics); averages are the quietest.
    expect(noticed.share).toBeGreaterThan(0.92);
  });

  test("a real change of the averages buys few false alarms in the lows", () => {
    const falseLow = new Tally();
    const found = new Tally();
    const truth = ({ metric }: { metric: SimulatedMetric }) => (metric === "avgFps" ? Math.log(1.05) : 0);
    simulate(20240616, 400, { games: 16, passes: 3, truth }, ({ columns }) => {
      const lows = columns.filter(({ metric }) => metric !== "avgFps").flatMap((column) => column.rows);
      const averages = columns.filter(({ metric }) => metric === "avgFps").flatMap((column) => column.rows);
      falseLow.add(lows.some(isCalled) ? 1 : 0);
      found.add(
        count(averages, ({ verdict }) => verdict === "higher"),
        averages.length,
      );
    });
    console.info(`averages +5%: any false alarm in the lows ${falseLow}, averages called higher ${found}`);
    // Measured for the design: 11% (plain Benjamini-Hochberg over everything: 64%); 11% + 3.09 sqrt(0.11 0.89 / 400).
    expect(falseLow.share).toBeLessThan(0.16);
    // 5% is 8 noise SDs of an average: nearly always seen.
    expect(found.share).toBeGreaterThan(0.9);
  });

  test.for([
    // Measured for the design: 57%; less three standard errors of 2.3 points.
    { noise: "equally noisy cells", sdFactor: 1, foundAtLeast: 0.5 },
    // 36% here: where cells differ in noise the noisier ones hide such a change; less three standard errors.
    { noise: "unequally noisy cells", sdFactor: 1.65, foundAtLeast: 0.3 },
  ])(
    "of two games among 16 that lose 7% of their 1% low, $foundAtLeast at least are found in $noise",
    (row) => {
      const found = new Tally();
      const truth = ({ game, config, metric }: { game: number; config: string; metric: SimulatedMetric }) =>
        game < 2 && config === "first" && metric === "low1Fps" ? Math.log(0.93) : 0;
      simulate(20240617, 400, { games: 16, passes: 3, truth, sdFactor: row.sdFactor }, ({ columns }) => {
        const column = columns.find(({ config, metric }) => config === "first" && metric === "low1Fps")!;
        found.add(
          count(column.rows.slice(0, 2), ({ verdict }) => verdict === "lower"),
          2,
        );
      });
      console.info(`1% low -7% in 2 of 16 games, ${row.noise}: found ${found}`);
      expect(found.share).toBeGreaterThan(row.foundAtLeast);
    },
  );

  // What the caution on called 0.1% lows and the method page say: 7% shows as 10 to 18%, 15% about right.
  test.for([
    { passes: 3, pct: 7, least: 1.4, most: 3 },
    { passes: 5, pct: 7, least: 1.3, most: 1.8 },
    { passes: 3, pct: 15, least: 1, most: 1.25 },
    { passes: 5, pct: 15, least: 1, most: 1.15 },
  ])(
    "after $passes passes, a 0.1% low called where it truly lost $pct% shows $least to $most times that",
    (row) => {
      const truth = Math.log(1 - row.pct / 100);
      const told: number[] = [];
      const scenario: Scenario = {
        games: 6,
        passes: row.passes,
        truth: ({ game, config, metric }) =>
          game < 3 && config === "first" && metric === "low01Fps" ? truth : 0,
      };
      simulate(20240619, 400, scenario, ({ columns }) => {
        const column = columns.find(({ config, metric }) => config === "first" && metric === "low01Fps")!;
        told.push(
          ...column.rows
            .slice(0, 8)
            .filter(isCalled)
            .map(({ logDiff }) => logDiff / truth),
        );
      });
      console.info(
        `0.1% low -${row.pct}% in half of 6 games, ${row.passes} passes: ` +
          `${((100 * told.length) / (400 * 3)).toFixed(0)}% called, at ${mean(told).toFixed(2)} times the truth`,
      );
      expect(told.length).toBeGreaterThan(10);
      expect(mean(told)).toBeGreaterThan(row.least);
      expect(mean(told)).toBeLessThan(row.most);
    },
  );

  test.for([
    // Measured for the design with 5% bad passes: caught 75% at 3 passes, 91% at 5.
    { passes: 3, sessions: 300, caughtAtLeast: 0.7 },
    { passes: 5, sessions: 150, caughtAtLeast: 0.87 },
  ])("of $passes passes a cell, most spoiled ones are set aside and hardly a good one", (row) => {
    const caught = new Tally();
    const goodLost = new Tally();
    const perComparison = new Tally();
    const scenario = { games: 16, passes: row.passes, spoiledShare: 0.05 };
    simulate(20240618 + row.passes, row.sessions, scenario, ({ columns, out, spoiled }) => {
      caught.add(
        count([...spoiled], (key) => out.has(key)),
        spoiled.size,
      );
      goodLost.add(count([...out], (key) => !spoiled.has(key)));
      const rows = columns.flatMap((column) => column.rows).filter(({ p }) => p !== null);
      perComparison.add(
        count(rows, ({ p }) => p! <= alpha),
        rows.length,
      );
    });
    console.info(
      `5% of ${row.passes} passes spoiled: caught ${caught}, good passes lost per session ` +
        `${goodLost.share.toFixed(3)}, single p <= 5% ${perComparison}`,
    );
    expect(caught.share).toBeGreaterThan(row.caughtAtLeast);
    // 0.01 to 0.05 for the design; a session has 144 or 240 passes.
    expect(goodLost.share).toBeLessThan(0.08);
    // Measured for the design: 4.9%.
    expect(perComparison.share).toBeLessThan(0.06);
  });
});
