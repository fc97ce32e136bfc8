import { describe, expect, test } from "vitest";
import { type Finding, findingsOf } from "../../src/judge/find-findings.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Judgement, SuiteRow, Verdict } from "../../src/judge/judgement.ts";
import type { Metric } from "../../src/shared/metrics.ts";
import { makeSuiteRow, makeVerdict } from "../support/make-verdict.ts";
import { passesOf, settingsFor } from "../support/session-fixtures.ts";

const empty = judgeSession(
  passesOf(["stock", "parked"].map((config) => ({ game: "saltworks", config, pass: "1", avgFps: 100 }))),
  settingsFor("stock"),
);
const find = (verdicts: readonly Verdict[], suite: readonly SuiteRow[] = []) =>
  findingsOf({ ...empty, verdicts, suite } satisfies Judgement);

/** A called change of so many percent, its interval half a point to either side. */
const change = (game: string, changePct: number, more: Partial<Verdict> = {}): Verdict =>
  makeVerdict({
    ...{ game, changePct, lowPct: changePct - 0.5, highPct: changePct + 0.5 },
    ...{ verdict: changePct > 0 ? "higher" : "lower", size: "notable", ...more },
  });
const same = (game: string, metric: Metric, config = "parked"): Verdict =>
  makeVerdict({ game, metric, config });
const briefly = ({
  kind,
  rows,
}: {
  kind: Finding["kind"];
  rows: readonly Finding["rows"][number][];
}): string =>
  `${kind} ${rows.map(({ game }) => game ?? "all").join(",")} ${rows[0]?.config} ${rows[0]?.metric}`;

describe("the order of findings", () => {
  test("FPS before watts, all games before one, what changes by its size, then what stays the same, slight last", () => {
    const verdicts = [
      change("saltworks", -4),
      change("kestrel-cup", 9, { metric: "low1Fps" }),
      change("tide-runner", 30, { metric: "low01Fps" }),
      change("saltworks", -40, { metric: "cpuPowerW" }),
      change("saltworks", 12, { metric: "fpsPerWatt" }),
      change("ninth-lantern", 1, { size: "slight" }),
      same("moss-and-marrow", "cpuPowerW"),
      same("moss-and-marrow", "low01Fps"),
      same("moss-and-marrow", "low1Fps"),
      same("tide-runner", "avgFps"),
      same("kestrel-cup", "avgFps"),
    ];
    const suite = [
      makeSuiteRow({ verdict: "lower", changePct: -2, lowPct: -3, highPct: -1 }),
      makeSuiteRow({ metric: "low01Fps", verdict: "lower", changePct: -9, lowPct: -12, highPct: -6 }),
      makeSuiteRow({ metric: "cpuPowerW", verdict: "lower", changePct: -1, lowPct: -2, highPct: -0.5 }),
      makeSuiteRow({ metric: "low1Fps", verdict: "same" }),
    ];
    const { said } = find(verdicts, suite);
    expect(said.map(briefly)).toEqual([
      "suite all parked avgFps",
      "suite all parked low1Fps",
      "change kestrel-cup parked low1Fps",
      "change saltworks parked avgFps",
      "suite all parked low01Fps",
      "change tide-runner parked low01Fps",
      "same tide-runner,kestrel-cup parked avgFps",
      "same moss-and-marrow parked low1Fps",
      "same moss-and-marrow parked low01Fps",
      "suite all parked cpuPowerW",
      "change saltworks parked cpuPowerW",
      "change saltworks parked fpsPerWatt",
      "same moss-and-marrow parked cpuPowerW",
      "small ninth-lantern parked avgFps",
    ]);
    // Whatever order they came in; games that say the same keep theirs.
    const turned = find([...verdicts].reverse(), [...suite].reverse());
    expect(turned.said.map(briefly)).toEqual(
      said.map((one) => briefly({ ...one, rows: [...one.rows].reverse() })),
    );
  });

  test("halving is as much as doubling", () => {
    const { said } = find([change("saltworks", 90), change("kestrel-cup", -49), change("tide-runner", 99)]);
    // |ln 1.99| > |ln 0.51| > |ln 1.9|.
    expect(said.map(({ rows }) => rows[0]?.game)).toEqual(["tide-runner", "kestrel-cup", "saltworks"]);
  });

  test("what stays the same comes by metric, then by the number of games", () => {
    const { said } = find([
      same("saltworks", "low1Fps"),
      same("saltworks", "avgFps", "full"),
      same("saltworks", "avgFps"),
      same("kestrel-cup", "avgFps"),
    ]);
    expect(said.map(briefly)).toEqual([
      "same saltworks,kestrel-cup parked avgFps",
      "same saltworks full avgFps",
      "same saltworks parked low1Fps",
    ]);
  });

  test("slight changes are sorted by size among themselves", () => {
    const { said } = find([
      change("saltworks", 1, { size: "slight" }),
      change("kestrel-cup", -2, { size: "slight" }),
    ]);
    expect(said.map(briefly)).toEqual(["small kestrel-cup parked avgFps", "small saltworks parked avgFps"]);
  });
});

describe("what is no finding", () => {
  test.for([
    {
      title: "energy per frame, which is FPS per watt upside down",
      verdicts: [change("saltworks", 9, { metric: "joulesPerFrame" })],
      suite: [],
    },
    { title: "the same over all games", verdicts: [], suite: [makeSuiteRow({ metric: "joulesPerFrame" })] },
    { title: "what is unclear", verdicts: [makeVerdict({ verdict: "unclear", changePct: 9 })], suite: [] },
    { title: "what is unclear over all games", verdicts: [], suite: [makeSuiteRow({ verdict: "unclear" })] },
    {
      title: "a row over a tag's games",
      verdicts: [],
      suite: [makeSuiteRow({ tag: "racing", verdict: "lower" })],
    },
  ])("$title", ({ verdicts, suite }) => {
    expect(find(verdicts, suite).said).toEqual([]);
  });
});

describe("the size that may be told", () => {
  test.for([
    { title: "in whole percents", changePct: -8.7, low: -9.9, high: -7.5, size: -9 },
    { title: "with a decimal where it is below 2%", changePct: 1.74, low: 0.9, high: 2.6, size: 1.7 },
    { title: "in whole percents from 2%", changePct: 2, low: 0.9, high: 3.1, size: 2 },
    {
      title: "with a decimal where the whole percent lies above the interval",
      changePct: 5.6,
      low: 5.3,
      high: 5.9,
      size: 5.6,
    },
    {
      title: "with a decimal where it lies below the interval",
      changePct: 5.4,
      low: 5.2,
      high: 5.6,
      size: 5.4,
    },
    { title: "in whole percents at the end of the interval", changePct: 5.6, low: 5.2, high: 6, size: 6 },
    { title: "in whole percents at the other end", changePct: 5.4, low: 5, high: 5.9, size: 5 },
    { title: "not at all where the noise is unknown", changePct: 5.4, low: null, high: null, size: null },
  ])("$title", ({ changePct, low, high, size }) => {
    const verdict = change("saltworks", changePct, { lowPct: low, highPct: high });
    const [finding] = find([verdict]).said;
    expect(finding?.sizePct).toBe(size);
    expect(finding?.claims).toMatchObject([
      { game: "saltworks", is: verdict.verdict, byPct: size, about: null },
    ]);
  });

  test("is not that of a 0.1% low, nor of what stays the same", () => {
    const [low, still] = find([
      change("saltworks", 30, { metric: "low01Fps" }),
      same("saltworks", "avgFps"),
    ]).said;
    expect([low?.sizePct, low?.claims[0]?.byPct]).toEqual([null, null]);
    expect(still?.claims).toMatchObject([{ is: "same", byPct: null }]);
  });
});

describe("hedges", () => {
  const other = (verdict: "lower" | "same") => ({ lows: "tail-average" as const, verdict });
  test.for([
    { title: "none", more: {}, hedges: [] },
    {
      title: "without what was set aside it would be another word",
      more: { holdsWithAllPasses: false },
      hedges: ["screened"],
    },
    { title: "it hangs on one pass", more: { hangsOnPass: "saltworks/parked/pass-1" }, hedges: ["one-pass"] },
    {
      title: "another definition says another word",
      more: { otherLows: [other("lower"), other("same")] },
      hedges: ["lows-definition"],
    },
    { title: "all definitions agree", more: { otherLows: [other("lower"), other("lower")] }, hedges: [] },
    {
      title: "all at once",
      more: { holdsWithAllPasses: false, hangsOnPass: "a", otherLows: [other("same")] },
      hedges: ["screened", "one-pass", "lows-definition"],
    },
  ])("$title: $hedges", ({ more, hedges }) => {
    expect(find([change("saltworks", -9, { metric: "low1Fps", ...more })]).said[0]?.hedges).toEqual(hedges);
  });
});

describe("what stays the same is told apart by its doubts", () => {
  const still = (game: string, more: Partial<Verdict>) => ({ ...same(game, "avgFps"), ...more });
  test.for([
    { title: "where a cap holds it", more: { limitedBy: "capped" as const }, hedges: ["capped"] },
    {
      title: "where the graphics card set the pace",
      more: { limitedBy: "gpu-bound" as const },
      hedges: ["gpu-bound"],
    },
    {
      title: "where it would be another word with what was set aside",
      more: { holdsWithAllPasses: false },
      hedges: ["screened"],
    },
  ])("$title", ({ more, hedges }) => {
    const { said } = find([still("saltworks", {}), still("kestrel-cup", more), still("tide-runner", {})]);
    expect(said.map(({ rows, hedges }) => [rows.map(({ game }) => game), hedges])).toEqual([
      [["saltworks", "tide-runner"], []],
      [["kestrel-cup"], hedges],
    ]);
  });
});

describe("an average that stays beside a 1% low that changes", () => {
  const low = change("saltworks", -9, { metric: "low1Fps" });
  test.for([
    { title: "is told with it, claim and all", verdicts: [low, same("saltworks", "avgFps")], isTold: true },
    { title: "of another game is not", verdicts: [low, same("kestrel-cup", "avgFps")], isTold: false },
    {
      title: "of another config is not",
      verdicts: [low, same("saltworks", "avgFps", "full")],
      isTold: false,
    },
    { title: "that changes as well is not", verdicts: [low, change("saltworks", -5)], isTold: false },
    {
      title: "is not told with a 0.1% low",
      verdicts: [{ ...low, metric: "low01Fps" as const }, same("saltworks", "avgFps")],
      isTold: false,
    },
    {
      title: "is not another figure that stays",
      verdicts: [low, same("saltworks", "low01Fps")],
      isTold: false,
    },
  ])("$title", ({ verdicts, isTold }) => {
    const { said } = find(verdicts);
    const told = said.find(({ rows }) => rows[0]?.metric === verdicts[0]?.metric);
    expect(told?.beside?.metric).toBe(isTold ? "avgFps" : undefined);
    expect(told?.claims.map(({ metric, is }) => `${metric} ${is}`)).toEqual([
      `${verdicts[0]?.metric} lower`,
      ...(isTold ? ["avgFps same"] : []),
    ]);
  });
});

describe("what must not be said", () => {
  const open = (game: string, changePct: number, more: Partial<Verdict> = {}): Verdict =>
    makeVerdict({ game, changePct, lowPct: -20, highPct: 20, verdict: "unclear", ...more });

  // Smaller ones tempt nobody: common practice, no source.
  test.for([
    { title: "1% up", verdict: open("saltworks", 1), told: 1 },
    { title: "1% down", verdict: open("saltworks", -1), told: 1 },
    { title: "less", verdict: open("saltworks", 0.99), told: 0 },
    { title: "what is shown", verdict: change("saltworks", 9), told: 0 },
    { title: "energy per frame", verdict: open("saltworks", 9, { metric: "joulesPerFrame" }), told: 0 },
  ])("$title: $told", ({ verdict, told }) => {
    expect(find([verdict]).notSaid).toHaveLength(told);
  });

  test("comes by metric, then by size, all games among the others", () => {
    const { notSaid } = find(
      [
        open("saltworks", 9, { metric: "low01Fps" }),
        open("saltworks", 9, { metric: "cpuPowerW" }),
        open("saltworks", 9, { metric: "low1Fps" }),
        open("saltworks", 2, { config: "full" }),
        open("kestrel-cup", -5),
      ],
      [
        makeSuiteRow({ verdict: "unclear", changePct: 3 }),
        makeSuiteRow({ tag: "racing", verdict: "unclear", changePct: 9 }),
      ],
    );
    expect(notSaid.map(({ rows: [row] }) => `${row?.game} ${row?.metric}`)).toEqual([
      ...["kestrel-cup avgFps", "null avgFps", "saltworks avgFps", "saltworks low1Fps"],
      ...["saltworks cpuPowerW", "saltworks low01Fps"],
    ]);
  });

  test("names the size with a decimal, and none where the noise is unknown", () => {
    const { notSaid } = find([
      open("saltworks", 4.56),
      open("kestrel-cup", 3.21, { lowPct: null, highPct: null }),
    ]);
    expect(notSaid.flatMap(({ claims }) => claims)).toEqual([
      expect.objectContaining({ game: "saltworks", is: "unclear", byPct: 4.6 }),
      expect.objectContaining({ game: "kestrel-cup", is: "unclear", byPct: null }),
    ]);
  });
});

describe("games that share a sentence", () => {
  const power = (game: string, changePct: number, more: Partial<Verdict> = {}): Verdict =>
    change(game, changePct, { metric: "cpuPowerW", ...more });

  test("power that falls in several games is one finding, whose claims hold every game to the range", () => {
    const [finding, ...others] = find([power("saltworks", -35.2), power("kestrel-cup", -16.4)]).said;
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ sizePct: null, range: { leastPct: 16, mostPct: 36 } });
    expect(finding?.claims).toMatchObject([
      { game: "kestrel-cup", is: "lower", byPct: -26, giveOrTakePct: 10 },
      { game: "saltworks", is: "lower", byPct: -26, giveOrTakePct: 10 },
    ]);
  });

  test.for([
    { title: "outwards to whole percents", sizes: [5.1, 9.9], range: [5, 10] },
    { title: "to one decimal where the least is below 2%", sizes: [1.63, 4.21], range: [1.6, 4.3] },
    { title: "never to nothing", sizes: [7, 7], range: [7, 8] },
  ])("the range is rounded $title", ({ sizes: [a = 0, b = 0], range }) => {
    const { said } = find([power("saltworks", a), power("kestrel-cup", b)]);
    expect(said.map(({ range: own }) => [own?.leastPct, own?.mostPct])).toEqual([range]);
  });

  test.for([
    { title: "other directions", verdicts: [power("saltworks", -9), power("kestrel-cup", 9)] },
    {
      title: "other configs",
      verdicts: [power("saltworks", 9), power("kestrel-cup", 9, { config: "full" })],
    },
    {
      title: "other doubts",
      verdicts: [power("saltworks", 9), power("kestrel-cup", 9, { hangsOnPass: "a" })],
    },
    {
      title: "a size that may not be told",
      verdicts: [power("saltworks", 9), power("kestrel-cup", 9, { lowPct: null, highPct: null })],
    },
    { title: "frame rates", verdicts: [change("saltworks", 9), change("kestrel-cup", 9)] },
  ])("$title stay apart", ({ verdicts }) => {
    const { said } = find(verdicts);
    expect(said.map(({ rows }) => rows.length)).toEqual([1, 1]);
    expect(said.map(({ range }) => range)).toEqual([null, null]);
  });

  const open = (game: string, changePct: number, more: Partial<Verdict> = {}): Verdict =>
    makeVerdict({ game, changePct, lowPct: -20, highPct: 20, verdict: "unclear", ...more });
  test("what is open in several games is told once, each with its size", () => {
    const { notSaid } = find([
      open("saltworks", 4),
      open("kestrel-cup", -9),
      open("tide-runner", 3, { config: "full" }),
      open("ninth-lantern", 3, { passes: 1 }),
    ]);
    expect(notSaid.map(({ claims }) => claims.map(({ game, byPct }) => `${game} ${byPct}`))).toEqual([
      ["kestrel-cup -9", "saltworks 4"],
      ["tide-runner 3"],
      ["ninth-lantern 3"],
    ]);
  });
});

test("the judgement is handed on with what was found in it", () => {
  expect(findingsOf(empty).judgement).toBe(empty);
});
