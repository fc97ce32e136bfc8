import { describe, expect, test } from "vitest";
import {
  type FollowEvent,
  type FollowState,
  follow,
  type Happening,
  startFollowing,
} from "../../src/judge/follow-session.ts";
import type { StandingSettings } from "../../src/judge/session-standing.ts";
import { defaultStopRule } from "../../src/judge/stop-rule.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "../support/make-pass.ts";
import { seededRandom } from "../support/seeded-random.ts";

const settings: StandingSettings = {
  baseline: null,
  lows: "percentile",
  mattersPct: 3,
  confidencePct: 95,
  falseAlarmControl: "columns",
  keepAll: false,
  setAside: [],
  games: [],
  configs: [],
  metrics: ["avgFps", "low1Fps"],
  rule: defaultStopRule,
  costs: { passMinutes: null, switchMinutes: 0 },
};

const random = seededRandom(5);
const noisy = (fps: number): number => fps * Math.exp(0.004 * random.normal());
const summaryOf = (game: string, config: string, pass: number, fps = 100): PassSummary =>
  makePass({ game, config, pass: `pass-${pass}` }, { avgFps: noisy(fps), low1Fps: noisy(0.7 * fps) });
const captureOf = (summary: PassSummary) => ({ file: summary.file, summary, problems: [] });
const read = (summary: PassSummary): FollowEvent => ({
  kind: "read",
  capture: captureOf(summary),
  again: null,
});
const grid = (passes: number, games = ["kestrel-cup", "saltworks", "tide-runner"]): PassSummary[] =>
  games.flatMap((game) =>
    ["stock", "parked"].flatMap((config) =>
      Array.from({ length: passes }, (_, i) => summaryOf(game, config, i + 1)),
    ),
  );
const start = (passes: readonly PassSummary[], change: Partial<StandingSettings> = {}) =>
  startFollowing(passes.map(captureOf), { ...settings, ...change });
const run = (state: FollowState, events: readonly FollowEvent[]) => follow(state, events);
const briefly = (happenings: readonly Happening[]): string[] =>
  happenings.map((happening) => {
    switch (happening.event) {
      case "pass":
      case "recounted":
        return `${happening.event} ${happening.pass.file} ${happening.answer}`;
      case "left-out":
      case "gone":
        return `${happening.event} ${happening.file}`;
      case "next":
        return `next ${happening.next.game}/${happening.next.config}/${happening.next.number}`;
      case "settled":
      case "reopened":
        return `${happening.event} ${happening.comparison.game} ${happening.comparison.metric} ${happening.comparison.verdict}`;
      default:
        return happening.event;
    }
  });

describe("a session while it is captured", () => {
  test("an empty folder has nothing to tell but that", () => {
    const { state, happenings } = start([]);
    expect(briefly(happenings)).toEqual(["start"]);
    expect(state.standing).toMatchObject({ baseline: null, next: null, isEnough: false, passesLeft: 0 });
  });

  test("the games and configs that the session lists are asked for before anything is there", () => {
    const { state, happenings } = start([], { games: ["saltworks"], configs: ["stock", "parked"] });
    expect(briefly(happenings)).toEqual(["start", "next saltworks/stock/1"]);
    expect(state.standing.passesLeft).toBe(6);
  });

  test("a pass is good or to be repeated, and a later one can turn an earlier one out", () => {
    const passes = grid(4).filter(
      ({ game, config, pass }) => game !== "saltworks" || config !== "parked" || pass < "pass-3",
    );
    const spoiled = {
      ...passes.find(({ file }) => file === "saltworks/parked/pass-1.csv")!,
      avgFps: 80,
      low1Fps: 50,
    };
    const others = passes.filter(({ file }) => file !== spoiled.file);
    const { state } = start([...others, spoiled]);
    // With two passes nobody can tell which is wrong.
    expect(state.standing.passes.filter(({ counted }) => !counted)).toEqual([]);
    const later = run(state, [read(summaryOf("saltworks", "parked", 3))]);
    expect(briefly(later.happenings).slice(0, 2)).toEqual([
      "pass saltworks/parked/pass-3.csv good",
      "recounted saltworks/parked/pass-1.csv repeat",
    ]);
    const bad = run(later.state, [
      read({ ...summaryOf("kestrel-cup", "stock", 5), avgFps: 70, low1Fps: 40 }),
    ]);
    expect(briefly(bad.happenings)[0]).toBe("pass kestrel-cup/stock/pass-5.csv repeat");
  });

  test("a pass that is captured again in place of a bad one counts", () => {
    const passes = grid(4);
    const { state } = start([...passes.slice(1), { ...passes[0]!, avgFps: 70, low1Fps: 40 }]);
    expect(state.standing.passes.find(({ pass }) => pass.file === passes[0]!.file)?.counted).toBe(false);
    const again = run(state, [{ kind: "read", capture: captureOf(passes[0]!), again: "rewritten" }]);
    expect(again.happenings[0]).toMatchObject({ event: "pass", answer: "good", again: "rewritten" });
  });

  test("a deleted pass is gone from the session", () => {
    const passes = grid(3);
    const { state } = start(passes);
    const { state: after, happenings } = run(state, [{ kind: "gone", file: passes[0]!.file }]);
    expect(happenings[0]).toMatchObject({ event: "gone", name: "kestrel-cup/stock/pass-1" });
    expect(after.standing.passes).toHaveLength(passes.length - 1);
    expect(after.standing.cells.find(({ isComplete }) => !isComplete)).toMatchObject({
      counted: 2,
      needed: 3,
    });
  });

  test("a log that cannot be read is left out, and comes in when it can", () => {
    const { state } = start(grid(3));
    const problems = [{ code: "log-binary", severity: "error", at: { file: "x.csv" } }] as const;
    const out = run(state, [
      { kind: "read", capture: { file: "x.csv", summary: null, problems }, again: null },
    ]);
    expect(briefly(out.happenings)).toEqual(["left-out x.csv"]);
    const summary = { ...summaryOf("saltworks", "stock", 9), file: "x.csv" };
    const inAgain = run(out.state, [read(summary)]);
    expect(briefly(inAgain.happenings)[0]).toBe("pass x.csv good");
  });

  test("of a pass that is filed twice the first file counts; without it, the other", () => {
    const passes = grid(3);
    const { state } = start(passes);
    const twin = { ...passes[0]!, file: "kestrel-cup/stock/pass-1.csv.gz" };
    const twice = run(state, [read(twin)]);
    expect(twice.happenings[0]).toMatchObject({
      event: "left-out",
      file: twin.file,
      problems: [{ code: "pass-filed-twice", other: passes[0]!.file }],
    });
    const one = run(twice.state, [{ kind: "gone", file: passes[0]!.file }]);
    expect(briefly(one.happenings).slice(0, 2)).toEqual([
      `gone ${passes[0]!.file}`,
      `recounted ${twin.file} good`,
    ]);
    const before = { ...passes[0]!, file: "kestrel-cup/stock/pass-1.CSV" };
    const pushed = run(one.state, [read(before)]);
    expect(briefly(pushed.happenings).slice(0, 2)).toEqual([
      `pass ${before.file} good`,
      `left-out ${twin.file}`,
    ]);
  });

  test("an edited session changes what counts at once", () => {
    const passes = grid(4);
    const { state } = start(passes);
    const setAside = [
      { game: "saltworks", config: "stock", boot: null, pass: "pass-2", why: "updated itself" },
    ];
    const edited = run(state, [{ kind: "session", settings: { ...settings, setAside }, captures: null }]);
    expect(briefly(edited.happenings).slice(0, 2)).toEqual([
      "session",
      "recounted saltworks/stock/pass-2.csv repeat",
    ]);
  });

  test("a verdict is settled once both its cells ask for no more, and can be opened again", () => {
    const { state } = start(grid(2));
    expect(state.standing.comparisons.every(({ isSettled }) => !isSettled)).toBe(true);
    const more = grid(3).filter(({ pass }) => pass === "pass-3");
    const half = run(state, more.filter(({ config }) => config === "stock").map(read));
    expect(half.happenings.filter(({ event }) => event === "settled")).toEqual([]);
    const all = run(half.state, more.filter(({ config }) => config === "parked").map(read));
    const settled = briefly(all.happenings).filter((text) => text.startsWith("settled"));
    expect(settled).toHaveLength(6);
    expect(briefly(all.happenings).at(-1)).toBe("enough");
    const gone = run(all.state, [{ kind: "gone", file: more[0]!.file }]);
    expect(briefly(gone.happenings).filter((text) => text.startsWith("reopened kestrel-cup"))).toHaveLength(
      2,
    );
    expect(briefly(gone.happenings).at(-1)).toBe("next kestrel-cup/stock/3");
  });

  test("following what is asked for comes to an end", () => {
    let { state } = start([], { games: ["kestrel-cup", "saltworks"], configs: ["stock", "parked"] });
    let captured = 0;
    for (; state.standing.next !== null; captured++) {
      expect(captured).toBeLessThan(2 * 2 * defaultStopRule.mostPasses);
      const { game, config } = state.standing.next;
      ({ state } = run(state, [read(summaryOf(game, config, captured))]));
    }
    expect(state.standing.isEnough).toBe(true);
    expect(captured).toBeGreaterThanOrEqual(2 * 2 * defaultStopRule.leastPasses);
  });

  test("once every cell has its first passes, nothing that comes later changes how many are asked for", () => {
    const own = {
      games: ["kestrel-cup", "saltworks"],
      configs: ["stock", "parked"],
      keepAll: true,
      mattersPct: 1.3,
    };
    const asked = (state: FollowState) => state.standing.cells.map(({ needed }) => needed);
    let { state } = start(grid(3, own.games), own);
    const first = asked(state);
    expect(Math.max(...first)).toBeGreaterThan(3);
    for (let pass = 4; state.standing.next !== null; pass++) {
      const { game, config } = state.standing.next;
      // Ever faster: a difference in plain sight, and far noisier than the first.
      ({ state } = run(state, [
        read(summaryOf(game, config, pass, config === "stock" ? 100 : 100 + 5 * pass)),
      ]));
      expect(asked(state)).toEqual(first);
    }
    expect(state.standing.isEnough).toBe(true);
    // Nobody who starts again is asked for more.
    const again = startFollowing([...state.captures.values()], state.settings).state;
    expect(asked(again)).toEqual(first);
  });
});
