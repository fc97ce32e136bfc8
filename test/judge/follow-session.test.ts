import { beforeEach, describe, expect, test } from "vitest";
import {
  endFollowing,
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

let random = seededRandom(5);
// No test depends on what the others have drawn before it.
beforeEach(() => {
  random = seededRandom(5);
});
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

describe("what is told at each step", () => {
  const kinds = (happenings: readonly Happening[]): string[] => happenings.map(({ event }) => event);
  const unreadable = (file: string) => ({
    ...{ file, summary: null, problems: [{ code: "log-binary", severity: "error", at: { file } }] as const },
  });

  test("at the start: how many captures there are, and which of them cannot be used", () => {
    const [first, second] = grid(1) as [PassSummary, PassSummary];
    const twin = { ...first, file: `${first.file}.gz` };
    const broken = unreadable("x.csv");
    const { happenings } = startFollowing(
      [captureOf(twin), captureOf(second), broken, captureOf(first)],
      settings,
    );
    expect(happenings[0]).toEqual({
      ...{ event: "start", captures: 4 },
      leftOut: [
        {
          file: twin.file,
          problems: [
            { code: "pass-filed-twice", severity: "error", at: { file: twin.file }, other: first.file },
          ],
        },
        { file: broken.file, problems: broken.problems },
      ],
    });
  });

  test("passes of other boots and of names that run into each other are not filed twice", () => {
    const places = [
      { game: "a", config: "bc", pass: "1", boot: null },
      { game: "ab", config: "c", pass: "1", boot: null },
      { game: "a", config: "b", pass: "c1", boot: null },
      { game: "a", config: "bc", pass: "1", boot: "2" },
      { game: "a", config: "bc", pass: "21", boot: null },
      { game: "a", config: "bc", pass: "1", boot: "" },
    ];
    const passes = places.map((place, i) => ({ ...makePass(place, { avgFps: 100 + i }), file: `${i}.csv` }));
    expect(start(passes).happenings[0]).toMatchObject({ captures: 6, leftOut: [] });
  });

  test("the machine is in the config of the pass that was written last", () => {
    const written = (config: string, pass: number, writtenAtMs: number | null) => ({
      ...summaryOf("saltworks", config, pass),
      writtenAtMs,
    });
    const last = (...passes: PassSummary[]) => start(passes).state.lastConfig;
    expect(last()).toBe(null);
    expect(last(written("stock", 1, 5), written("parked", 1, 9), written("stock", 2, 7))).toBe("parked");
    expect(last(written("parked", 1, 9), written("stock", 1, 9))).toBe("stock");
    expect(last(written("stock", 1, 5), written("parked", 1, null))).toBe("stock");
    expect(last(written("stock", 1, null), written("parked", 1, null))).toBe("parked");
    const { state } = start([written("stock", 1, 5)]);
    const parked = run(state, [read(summaryOf("saltworks", "parked", 1))]).state;
    expect(parked.lastConfig).toBe("parked");
    expect(run(parked, [{ kind: "read", capture: unreadable("x.csv"), again: null }]).state.lastConfig).toBe(
      "parked",
    );
    expect(run(parked, [{ kind: "gone", file: "saltworks/parked/pass-1.csv" }]).state.lastConfig).toBe(
      "parked",
    );
  });

  test("staying in that config costs no switch", () => {
    const costs = { passMinutes: 2, switchMinutes: 30 };
    // Without noise three passes of each are enough.
    const even = (config: string, pass: number) =>
      makePass({ game: "saltworks", config, pass: `pass-${pass}` }, { avgFps: 100 });
    const one = start([even("stock", 1), even("parked", 1)], { costs });
    expect(one.state.standing.next?.config).toBe("parked");
    const back = run(one.state, [read(even("stock", 2))]);
    expect(back.state.standing.next?.config).toBe("stock");
    expect(back.happenings.at(-1)).toMatchObject({ event: "next", passesLeft: 3, minutesLeft: 3 * 2 + 30 });
  });

  test("what to do next is told again only where it has changed", () => {
    const listed = { games: ["saltworks"], configs: ["stock", "parked"] };
    const { state } = start([], listed);
    const other = run(state, [{ kind: "read", capture: unreadable("x.csv"), again: null }]);
    expect(kinds(other.happenings)).toEqual(["left-out"]);
    // Another game is asked for as well: the next pass is the same, the passes left are more.
    const more = run(state, [
      {
        kind: "session",
        settings: { ...settings, ...listed, games: ["saltworks", "tide-runner"] },
        captures: null,
      },
    ]);
    expect(more.happenings).toMatchObject([
      { event: "session", isUsed: true, problems: [], readAgain: 0 },
      { event: "next", next: { game: "saltworks", config: "stock", number: 1 }, passesLeft: 12 },
    ]);
    const first = run(state, [read(summaryOf("saltworks", "stock", 1))]);
    expect(briefly(first.happenings)).toEqual([
      "pass saltworks/stock/pass-1.csv good",
      "next saltworks/parked/1",
    ]);
  });

  test("that it is enough is told once", () => {
    const passes = grid(3);
    expect(briefly(start(passes).happenings)).toEqual(["start", "enough"]);
    const { state } = start(passes);
    const extra = run(state, [read(summaryOf("saltworks", "stock", 4))]);
    expect(kinds(extra.happenings)).toEqual(["pass"]);
    expect(extra.state.standing.isEnough).toBe(true);
  });

  test("of one read pass the answer and why it was read again, and nothing of it besides", () => {
    const passes = grid(4);
    const spoiled = { ...passes[0]!, avgFps: 70, low1Fps: 40 };
    const { state } = start(passes);
    const worse = run(state, [{ kind: "read", capture: captureOf(spoiled), again: "sensors" }]);
    expect(worse.happenings[0]).toMatchObject({ event: "pass", answer: "repeat", again: "sensors" });
    expect(kinds(worse.happenings)).not.toContain("recounted");
    const gone = run(worse.state, [{ kind: "gone", file: spoiled.file }]);
    expect(kinds(gone.happenings)).not.toContain("recounted");
    expect(kinds(gone.happenings).filter((kind) => kind === "gone")).toHaveLength(1);
  });

  test("a file that is gone without having been a pass has no name but its own", () => {
    const { state } = start(grid(3));
    const out = run(state, [{ kind: "read", capture: unreadable("x.csv"), again: null }]);
    const gone = run(out.state, [{ kind: "gone", file: "x.csv" }]);
    expect(gone.happenings).toEqual([{ event: "gone", file: "x.csv", name: "x.csv" }]);
    expect(gone.state.captures.size).toBe(state.captures.size);
    expect(run(gone.state, [{ kind: "gone", file: "never.csv" }]).happenings).toEqual([
      { event: "gone", file: "never.csv", name: "never.csv" },
    ]);
  });

  test("a file that came and went within one step is told as gone alone", () => {
    const { state } = start(grid(3));
    const summary = summaryOf("saltworks", "stock", 9);
    const both = run(state, [read(summary), { kind: "gone", file: summary.file }]);
    expect(both.happenings).toEqual([{ event: "gone", file: summary.file, name: summary.file }]);
  });

  test("a pass that can no longer be read is left out, once", () => {
    const passes = grid(3);
    const { state } = start(passes);
    const file = passes[0]!.file;
    const out = run(state, [{ kind: "read", capture: unreadable(file), again: "rewritten" }]);
    expect(briefly(out.happenings).filter((text) => text.startsWith("left-out"))).toEqual([
      `left-out ${file}`,
    ]);
    expect(out.state.standing.passes).toHaveLength(passes.length - 1);
    expect(run(out.state, []).happenings).toEqual([]);
  });

  test("a session that reads captures anew tells how many, and what no longer counts", () => {
    const passes = grid(3);
    const { state } = start(passes);
    const captures = [unreadable(passes[0]!.file), captureOf(passes[1]!)];
    const changed = { ...settings, mattersPct: 5 };
    const again = run(state, [{ kind: "session", settings: changed, captures }]);
    expect(again.happenings[0]).toEqual({ event: "session", isUsed: true, problems: [], readAgain: 2 });
    expect(briefly(again.happenings)).toContain(`left-out ${passes[0]!.file}`);
    expect(again.state.settings).toBe(changed);
    expect(again.state.standing.passes).toHaveLength(passes.length - 1);
  });

  test("a session file that cannot be used changes nothing", () => {
    const { state } = start(grid(3));
    const problems = [{ code: "log-binary", severity: "error", at: { file: "session.yaml" } }] as const;
    const unusable = run(state, [{ kind: "session-unusable", problems }]);
    expect(unusable.happenings).toEqual([{ event: "session", isUsed: false, problems, readAgain: 0 }]);
    expect(unusable.state).toEqual(state);
  });

  test("a settled verdict that turns into another is told anew, one that stays is not", () => {
    const { state } = start(grid(3));
    expect(
      state.standing.comparisons.every(({ isSettled, verdict }) => isSettled && verdict === "same"),
    ).toBe(true);
    // What matters becomes so little that nothing is shown to be the same; as many passes as there are suffice.
    const strict = { ...settings, mattersPct: 0.1, rule: { leastPasses: 3, mostPasses: 3 } };
    const turned = run(state, [{ kind: "session", settings: strict, captures: null }]);
    const told = briefly(turned.happenings).filter((text) => text.startsWith("settled"));
    expect(told).toHaveLength(
      turned.state.standing.comparisons.filter(({ verdict }) => verdict !== "same").length,
    );
    expect(told.length).toBeGreaterThan(0);
    expect(
      run(turned.state, [{ kind: "session", settings: strict, captures: null }]).happenings,
    ).toHaveLength(1);
  });

  test("at the end: how many captures, which are not whole yet, and where the session stands", () => {
    const { state } = start(grid(3));
    const { passes, ...standing } = state.standing;
    expect(passes).toHaveLength(18);
    expect(endFollowing(state, ["y.csv"])).toEqual({
      event: "end",
      captures: 18,
      growing: ["y.csv"],
      standing,
    });
  });
});
