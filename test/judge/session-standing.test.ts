import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import { findStanding, type StandingSettings } from "../../src/judge/session-standing.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "../support/make-pass.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { settingsFor } from "../support/session-fixtures.ts";
import { simulateSession } from "../support/simulate-session.ts";

const settings: StandingSettings = {
  ...{
    baseline: "stock",
    lows: "percentile",
    mattersPct: 3,
    confidencePct: 95,
    falseAlarmControl: "columns",
  },
  ...{ keepAll: false, setAside: [], games: [], configs: [], metrics: ["low1Fps"] },
  ...{ rule: { leastPasses: 3, mostPasses: 10 }, costs: { passMinutes: 2, switchMinutes: 5 } },
};
/** A cell whose 1% low has these natural logs. */
const cell = (at: string, logs: readonly number[]): PassSummary[] => {
  const [game, config] = at.split("/") as [string, string];
  return logs.map((log, i) =>
    makePass({ game, config, pass: `pass-${i}` }, { avgFps: 100, low1Fps: 70 * Math.exp(log) }),
  );
};
// Three passes of each ask for five: R 4.2.2, t.test(parked, stock): stderr 0.007024, df 3.56;
// ceiling((stderr qt(0.975, df) / (0.6 log(1.03)))^2 3) = 5.
const stock = [0, 0.01, 0.02, 0.01, 0.01];
const parked = [0.05, 0.05, 0.062, 0.054, 0.054];
const standing = (
  ofStock: number,
  ofParked: number,
  change: Partial<StandingSettings> = {},
  more: PassSummary[] = [],
) =>
  findStanding(
    [
      ...cell("saltworks/stock", stock.slice(0, ofStock)),
      ...cell("saltworks/parked", parked.slice(0, ofParked)),
      ...more,
    ],
    { ...settings, ...change },
    "stock",
  );

describe("a session of one comparison", () => {
  test("shows nothing of its noise with one pass each", () => {
    const { comparisons, cells, isEnough, next } = standing(1, 1);
    expect(comparisons).toMatchObject([
      {
        ...{ passes: 1, againstPasses: 1, changePct: expect.closeTo(100 * Math.expm1(0.05), 10) },
        ...{ lowPct: null, highPct: null, halfWidth: null, verdict: "unclear" },
        ...{ stop: null, isSettled: false, passesNeeded: null },
      },
    ]);
    expect(cells.map(({ needed, isComplete }) => [needed, isComplete])).toEqual([
      [3, false],
      [3, false],
    ]);
    expect(isEnough).toBe(false);
    expect(next).toMatchObject({ config: "stock", number: 2, because: "too-few" });
  });

  test.for([
    { ofStock: 3, ofParked: 3, left: 4, minutes: 4 * 2 + 5, next: { config: "stock", number: 4 } },
    { ofStock: 5, ofParked: 4, left: 1, minutes: 2 + 5, next: { config: "parked", number: 5 } },
    { ofStock: 4, ofParked: 5, left: 1, minutes: 2, next: { config: "stock", number: 5 } },
  ])(
    "asks for five passes of each: $ofStock and $ofParked are there",
    ({ ofStock, ofParked, ...expected }) => {
      const found = standing(ofStock, ofParked);
      expect(found.comparisons).toMatchObject([
        { passes: ofParked, againstPasses: ofStock, stop: null, isSettled: false, passesNeeded: 5 },
      ]);
      expect(found.cells).toMatchObject([
        { config: "stock", counted: ofStock, notCounted: 0, needed: 5, isComplete: ofStock === 5 },
        { config: "parked", counted: ofParked, notCounted: 0, needed: 5, isComplete: ofParked === 5 },
      ]);
      expect(found.next).toMatchObject({ ...expected.next, because: "narrows-most" });
      expect([found.passesLeft, found.minutesLeft]).toEqual([expected.left, expected.minutes]);
      expect(found.isEnough).toBe(false);
    },
  );

  test("is settled with five of each, whatever the verdict", () => {
    const found = standing(5, 5);
    expect(found.comparisons).toMatchObject([{ stop: "narrow", isSettled: true, passesNeeded: null }]);
    expect(found).toMatchObject({ isEnough: true, next: null, passesLeft: 0, minutesLeft: 0 });
  });

  test("is not settled while another cell of the session lacks its first passes", () => {
    const found = standing(5, 5, { games: ["kestrel-cup", "saltworks"] });
    expect(found.comparisons).toMatchObject([{ stop: "narrow", isSettled: false }]);
    expect(found.isEnough).toBe(false);
    // Two cells of three passes, and one switch.
    expect([found.passesLeft, found.minutesLeft]).toEqual([6, 6 * 2 + 5]);
    const first = ["stock", "parked"].flatMap((config) => cell(`kestrel-cup/${config}`, [0, 0, 0]));
    expect(standing(5, 5, {}, first).comparisons.map(({ isSettled }) => isSettled)).toEqual([true, true]);
  });

  test("is not settled while another metric of its game and config asks for more", () => {
    const noisy = [0, 0.02, 0.04];
    const wide = (pass: PassSummary, i: number): PassSummary => ({
      ...pass,
      avgFps: 100 * Math.exp(noisy[i % 3] as number),
    });
    const passes = [...cell("saltworks/stock", [0, 0, 0]), ...cell("saltworks/parked", [0, 0, 0])].map(wide);
    const found = findStanding(passes, { ...settings, metrics: ["avgFps", "low1Fps"] }, null);
    expect(found.comparisons.map(({ metric, stop, isSettled }) => [metric, stop, isSettled])).toEqual([
      ["avgFps", null, false],
      ["low1Fps", "narrow", false],
    ]);
  });

  test("gives up what is out of reach and asks for no more than the first passes", () => {
    const far = [0, 0.1, 0.2];
    const found = findStanding(
      [...cell("saltworks/stock", far), ...cell("saltworks/parked", far)],
      settings,
      null,
    );
    expect(found.comparisons).toMatchObject([{ stop: "out-of-reach", isSettled: true, passesNeeded: null }]);
    expect(found.isEnough).toBe(true);
  });

  test("costs no known time where nobody said what a pass takes", () => {
    expect(standing(3, 3, { costs: { passMinutes: null, switchMinutes: 5 } }).minutesLeft).toBeNull();
  });
});

describe("passes that do not count", () => {
  const setAside = [
    { game: "saltworks", config: "stock", boot: null, pass: "pass-4", why: "updated itself" },
  ];

  test("are counted as such, and asked for again", () => {
    const found = standing(5, 5, { setAside });
    expect(found.cells[0]).toMatchObject({ counted: 4, notCounted: 1, needed: 5, isComplete: false });
    expect(found.comparisons).toMatchObject([{ againstPasses: 4, stop: null }]);
    expect(found.next).toMatchObject({ config: "stock", number: 5 });
  });

  test("count where all are kept", () => {
    expect(standing(5, 5, { setAside, keepAll: true }).cells[0]).toMatchObject({ counted: 5, notCounted: 0 });
    const slow = cell("saltworks/stock", [0, 0.001, -0.5, 0.001]);
    const others = ["saltworks/parked", "kestrel-cup/stock", "kestrel-cup/parked"].flatMap((at) =>
      cell(at, [0, 0.001, 0.0005, 0.001]),
    );
    const screened = (keepAll: boolean) =>
      findStanding([...slow, ...others], { ...settings, keepAll }, null).passes.filter(
        ({ counted }) => !counted,
      );
    expect(screened(false).map(({ pass }) => pass.pass)).toEqual(["pass-2"]);
    expect(screened(true)).toEqual([]);
  });

  test("more passes than needed do not owe others any", () => {
    const found = findStanding(
      [...cell("saltworks/stock", [0, 0, 0, 0, 0]), ...cell("saltworks/parked", [0])],
      settings,
      null,
    );
    expect(found.cells).toMatchObject([
      { counted: 5, needed: 5, isComplete: true },
      { counted: 1, needed: 3, isComplete: false },
    ]);
    expect(found.passesLeft).toBe(2);
  });
});

describe("games and configs", () => {
  const captured = ["saltworks/parked", "saltworks/stock", "kestrel-cup/full"].flatMap((at) => cell(at, [0]));
  const of = (change: Partial<StandingSettings>) => findStanding(captured, { ...settings, ...change }, null);

  test("are those listed, in their order, then those captured, by name; the baseline first", () => {
    expect(of({})).toMatchObject({
      games: ["kestrel-cup", "saltworks"],
      configs: ["stock", "full", "parked"],
    });
    const listed = of({ games: ["tide-runner", "saltworks"], configs: ["quiet", "parked", "stock"] });
    expect(listed.games).toEqual(["tide-runner", "saltworks", "kestrel-cup"]);
    expect(listed.configs).toEqual(["stock", "quiet", "parked", "full"]);
    expect(listed.cells.map(({ game, config }) => `${game}/${config}`)).toEqual(
      listed.games.flatMap((game) => listed.configs.map((config) => `${game}/${config}`)),
    );
  });

  test.for([
    { title: "the one given", baseline: "parked", expected: "parked" },
    { title: "else the one with a usual name", baseline: null, expected: "stock" },
  ])("the baseline is $title", ({ baseline, expected }) => {
    expect(of({ baseline })).toMatchObject({
      baseline: expected,
      configs: expect.arrayContaining([expected]),
    });
    expect(of({ baseline }).configs[0]).toBe(expected);
    expect(of({ baseline }).comparisons.length).toBeGreaterThan(0);
  });

  test("a baseline that nobody can tell, or that was not captured, compares nothing", () => {
    const odd = captured.map((pass) => (pass.config === "stock" ? { ...pass, config: "quiet" } : pass));
    const unknown = findStanding(odd, { ...settings, baseline: null }, null);
    expect(unknown).toMatchObject({ baseline: null, comparisons: [], isEnough: false, passesLeft: 15 });
    expect(unknown.next?.because).toBe("too-few");
    expect(findStanding(odd, { ...settings, configs: ["stock"] }, null)).toMatchObject({
      ...{ baseline: "stock", comparisons: [], isEnough: false },
    });
  });
});

describe("comparisons", () => {
  const { passes } = simulateSession(
    { games: 3, passes: 4, truth: ({ config }) => (config === "first" ? 0.03 : 0) },
    seededRandom(7),
  );

  test.for(["pass", "boot"] as const)(
    "are the judgement's own, of the metrics watched, by the noise of a %s",
    (level) => {
      const own =
        level === "pass"
          ? passes
          : passes.map((pass) => ({ ...pass, boot: pass.pass < "pass-2" ? "boot-1" : "boot-2" }));
      const metrics = ["avgFps", "low1Fps"] as const;
      const found = findStanding(own, { ...settings, baseline: "baseline", metrics }, null);
      const judged = judgeSession(own, settingsFor("baseline")).verdicts.filter((row) =>
        metrics.some((metric) => metric === row.metric),
      );
      expect(found.noiseLevel).toBe(level);
      expect(found.mattersPct).toBe(3);
      expect(found.comparisons).toHaveLength(judged.length);
      for (const row of judged) {
        const same = found.comparisons.find(
          ({ game, config, metric }) => game === row.game && config === row.config && metric === row.metric,
        );
        expect(same?.verdict).toBe(row.verdict);
        for (const key of ["changePct", "lowPct", "highPct"] as const)
          expect(same?.[key]).toBeCloseTo(row[key] as number, 9);
        const [low, high] = [row.lowPct, row.highPct].map((pct) => Math.log1p((pct as number) / 100)) as [
          number,
          number,
        ];
        expect(same?.halfWidth).toBeCloseTo((high - low) / 2, 11);
      }
    },
  );

  test("do not depend on the order in which passes came", () => {
    const all = { ...settings, baseline: "baseline" };
    expect(findStanding([...passes].reverse(), all, null)).toEqual(findStanding(passes, all, null));
  });
});
