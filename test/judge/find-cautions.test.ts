import { describe, expect, test } from "vitest";
import type { CautionFact } from "../../src/judge/describe-caution.ts";
import type { PassFlag } from "../../src/judge/describe-flag.ts";
import { findCautions, type JudgedSoFar } from "../../src/judge/find-cautions.ts";
import { judgeColumns } from "../../src/judge/judge-columns.ts";
import type { MarkedPass } from "../../src/judge/mark-passes.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makeSuiteRow, makeVerdict, markPass } from "../support/make-verdict.ts";
import { settingsFor } from "../support/session-fixtures.ts";

const names = { games: ["kestrel-cup", "saltworks"], configs: ["stock", "parked"] };
const cellNames = names.games.flatMap((game) => names.configs.map((config) => `${game}/${config}`));
const lows = { low1Fps: 70, low01Fps: 50 };
/** Two passes of every cell. */
const everyCell = (change: Partial<PassSummary> = {}): MarkedPass[] =>
  cellNames.flatMap((at) => [1, 2].map((number) => markPass(at, number, [], { ...lows, ...change })));
const find = (change: Partial<JudgedSoFar> = {}) =>
  findCautions({
    ...{ marked: everyCell(), names, settings: settingsFor("stock"), columns: [], verdicts: [], suite: [] },
    ...change,
  });
const facts = (code: string, change: Partial<JudgedSoFar>) =>
  find(change).filter((fact) => fact.code === code);
/** A session with one cell changed. */
const withCell = (at: string, cell: readonly MarkedPass[]): MarkedPass[] => [
  ...everyCell().filter(({ pass }) => `${pass.game}/${pass.config}` !== at),
  ...cell,
];

test("a session without faults has the one caution that its boots are unknown", () => {
  expect(find()).toEqual([{ code: "one-boot", isBaselineRepeated: false }]);
});

describe("cells", () => {
  const at = "saltworks/parked";
  const pass = (number: number, flags: readonly PassFlag[] = [], change = {}) =>
    markPass(at, number, flags, { ...lows, ...change });

  test.for([
    { title: "without passes", cell: [], code: "missing-cell" },
    { title: "without passes that count", cell: [pass(1, [], { counted: false })], code: "missing-cell" },
    { title: "with one pass", cell: [pass(1)], code: "single-pass" },
    {
      title: "with one pass that counts",
      cell: [pass(1), pass(2, [], { counted: false })],
      code: "single-pass",
    },
    {
      title: "whose passes disagree",
      cell: [pass(1), pass(2, [{ code: "passes-disagree", passes: 2 }])],
      code: "passes-disagree",
    },
  ])("$title: $code", ({ cell, code }) => {
    expect(find({ marked: withCell(at, cell) })).toEqual([
      { code, cells: [at] },
      { code: "one-boot", isBaselineRepeated: false },
    ]);
  });

  test("without a low are told once per low, with the frames that it needs", () => {
    // Frames needed: common practice, no source.
    const marked = withCell(at, [pass(1), pass(2, [], { low1Fps: null, low01Fps: null })]);
    expect(facts("missing-lows", { marked })).toEqual([
      { code: "missing-lows", metric: "1% low", needed: 1000, cells: [at] },
      { code: "missing-lows", metric: "0.1% low", needed: 10_000, cells: [at] },
    ]);
    const few = everyCell({ low01Fps: null });
    const games = [...new Set(cellNames.map((name) => name.split("/")[0]))];
    expect(facts("missing-lows", { marked: few })).toMatchObject([{ metric: "0.1% low", cells: games }]);
  });
});

test("counted passes whose frame times do not add up to the clock are named", () => {
  const flags: PassFlag[] = [{ code: "time-missing", frameSumS: 50, clockSpanS: 60 }];
  const at = "saltworks/stock";
  const marked = withCell(at, [
    markPass(at, 1, flags, lows),
    markPass(at, 2, [], lows),
    markPass(at, 3, flags, { ...lows, counted: false }),
  ]);
  expect(facts("time-missing", { marked })).toEqual([{ code: "time-missing", passes: [`${at}/pass-1`] }]);
});

test("counted passes whose digits are too few for lows are named", () => {
  const flags: PassFlag[] = [{ code: "coarse-times", stepMs: 1, usualMs: 9 }];
  const at = "saltworks/stock";
  const marked = withCell(at, [
    markPass(at, 1, flags, lows),
    markPass(at, 2, [], lows),
    markPass(at, 3, flags, { ...lows, counted: false }),
  ]);
  expect(facts("coarse-times", { marked })).toEqual([{ code: "coarse-times", passes: [`${at}/pass-1`] }]);
});

test("counted passes with a sensor that was left out are named, not those with a gap that matters little", () => {
  const gap = (isCounted: boolean): PassFlag[] => [
    { code: "sensor-gap", roles: ["cpu-power"], heardPct: 50, isCounted },
  ];
  const at = "saltworks/stock";
  const marked = withCell(at, [
    markPass(at, 1, gap(false), lows),
    markPass(at, 2, gap(true), lows),
    markPass(at, 3, gap(false), { ...lows, counted: false }),
  ]);
  expect(facts("sensor-gap", { marked })).toEqual([{ code: "sensor-gap", passes: [`${at}/pass-1`] }]);
});

test.for([
  { flag: { code: "coarse-times", stepMs: 1, usualMs: 8 }, told: true },
  { flag: { code: "sensor-gap", roles: ["cpu-power"], heardPct: 30, isCounted: false }, told: true },
  // What was read for most of a pass speaks for it.
  { flag: { code: "sensor-gap", roles: ["cpu-power"], heardPct: 90, isCounted: true }, told: false },
] as { flag: PassFlag; told: boolean }[])(
  "counted passes with the flag $flag are named: $told",
  ({ flag, told }) => {
    const at = "saltworks/stock";
    const marked = withCell(at, [
      markPass(at, 1, [flag], lows),
      markPass(at, 2, [], lows),
      markPass(at, 3, [flag], { ...lows, counted: false }),
    ]);
    const expected = told ? [{ code: flag.code, passes: [`${at}/pass-1`] }] : [];
    expect(facts(flag.code, { marked })).toEqual(expected);
  },
);

const nowhere = { file: "a.csv", place: null };

describe("logs that were not read", () => {
  test.for([
    { notRead: [nowhere], expected: [{ code: "not-read", files: [{ file: "a.csv", cell: null }] }] },
    {
      notRead: [{ file: "a.csv", place: { game: "saltworks", config: "stock" } }],
      expected: [{ code: "not-read", files: [{ file: "a.csv", cell: "saltworks/stock" }] }],
    },
    { notRead: [], expected: [] },
  ])("$notRead", ({ notRead, expected }) => {
    expect(facts("not-read", { settings: settingsFor("stock", { notRead }) })).toEqual(expected);
  });
});

describe("power", () => {
  test.for([
    { cpuPowerW: 50, gpuPowerW: null, told: 1 },
    { cpuPowerW: null, gpuPowerW: 50, told: 1 },
    { cpuPowerW: null, gpuPowerW: null, told: 0 },
  ])(
    "of the processor $cpuPowerW W, of the graphics card $gpuPowerW W: $told caution",
    ({ told, ...watts }) => {
      expect(facts("power-limits", { marked: everyCell(watts) })).toHaveLength(told);
    },
  );

  test("of one pass alone is told as well, last of all", () => {
    const marked = [...everyCell(), markPass("saltworks/stock", 3, [], { ...lows, cpuPowerW: 50 })];
    expect(find({ marked }).map(({ code }) => code)).toEqual(["one-boot", "power-limits"]);
  });
});

describe("the order of passes", () => {
  /** Cells one after the other, or mixed; a pass a minute. */
  const inOrder = (isMixed: boolean, fps = (_minute: number) => 100): MarkedPass[] => {
    const turns = isMixed
      ? [1, 2, 3].flatMap((number) => cellNames.map((at) => ({ at, number })))
      : cellNames.flatMap((at) => [1, 2, 3].map((number) => ({ at, number })));
    return turns.map(({ at, number }, minute) => {
      const startedAt = new Date(Date.UTC(2026, 0, 1, 20, minute)).toISOString();
      return markPass(at, number, [], { ...lows, startedAt, avgFps: fps(minute), seconds: 30 });
    });
  };

  test("config after config looks like the configs, mixed it does not", () => {
    expect(facts("order", { marked: inOrder(false) })).toEqual([{ code: "order" }]);
    expect(facts("order", { marked: inOrder(true) })).toEqual([]);
  });

  test("passes that do not count have no order", () => {
    const marked = inOrder(false).map((mark) => ({ ...mark, counted: mark.pass.pass === "pass-1" }));
    expect(facts("order", { marked })).toEqual([]);
  });

  test("a drift from pass to pass is told in percent per hour, and only where it is beyond chance", () => {
    // 0.5% a minute: a factor of 1.005^60 an hour, by definition; the noise is a thousandth of that.
    const drifting = inOrder(true, (minute) => 100 * 1.005 ** minute * (1 + 1e-6 * ((minute * 7) % 5)));
    const [told] = facts("drift", { marked: drifting });
    const [change] = (told as Extract<CautionFact, { readonly code: "first-pass" | "drift" }>).changes;
    expect(change).toMatchObject({ metric: "average FPS" });
    const { changePct, lowPct, highPct } = change as { changePct: number; lowPct: number; highPct: number };
    expect(changePct).toBeCloseTo(100 * (1.005 ** 60 - 1), 0);
    expect(lowPct).toBeLessThan(changePct);
    expect(highPct).toBeGreaterThan(changePct);
    const still = inOrder(true, (minute) => 100 * (1 + 0.001 * ((minute * 7) % 5)));
    expect(facts("drift", { marked: still })).toEqual([]);
  });
});

describe("boots", () => {
  /** Two passes per boot in every cell, or only in the baseline's. */
  const inBoots = (boots: (config: string) => readonly string[]): MarkedPass[] =>
    cellNames.flatMap((at) =>
      boots(at.split("/")[1] as string).flatMap((boot) =>
        [1, 2].map((number) =>
          markPass(at, number, [], { ...lows, boot, avgFps: (boot === "boot-2" ? 90 : 100) + 0.1 * number }),
        ),
      ),
    );

  test("that games share are told where there is an average over games", () => {
    const marked = inBoots(() => ["boot-1", "boot-2"]);
    expect(find({ marked, suite: [makeSuiteRow()] })).toEqual([{ code: "shared-boots" }]);
    expect(find({ marked })).toEqual([]);
    const apart = marked.map((mark) => ({
      ...mark,
      pass: { ...mark.pass, boot: `${mark.pass.game} ${mark.pass.boot}` },
    }));
    expect(find({ marked: apart, suite: [makeSuiteRow()] })).toEqual([]);
  });

  test("of a baseline that was captured at both ends are compared, beside that the configs' are one each", () => {
    const marked = inBoots((config) => (config === "stock" ? ["boot-1", "boot-2"] : ["boot-1"]));
    const [fps, ...rest] = find({ marked });
    expect(fps).toMatchObject({ code: "baseline-boots", metric: "average FPS", first: "boot-1", games: 2 });
    // 90.15 over 100.15 of the geometric means, all but the last digits.
    expect((fps as { changePct: number }).changePct).toBeCloseTo(-9.985, 2);
    expect(rest.at(-1)).toEqual({ code: "one-boot", isBaselineRepeated: true });
  });

  test("of passes that do not count are no boots", () => {
    const marked = inBoots((config) => (config === "stock" ? ["boot-1", "boot-2"] : ["boot-1"])).map(
      (mark) => ({
        ...mark,
        counted: mark.pass.boot === "boot-1",
      }),
    );
    expect(find({ marked })).toEqual([{ code: "one-boot", isBaselineRepeated: false }]);
  });
});

describe("verdicts", () => {
  const called = { verdict: "lower", size: "notable" } as const;

  test("that hang on one pass are named with it", () => {
    const verdicts = [
      makeVerdict({ ...called, hangsOnPass: "saltworks/parked/pass-2" }),
      makeVerdict({ ...called, metric: "low1Fps" }),
    ];
    expect(facts("hangs-on-one-pass", { verdicts })).toEqual([
      {
        code: "hangs-on-one-pass",
        verdicts: [{ cell: "saltworks/parked", metric: "average FPS", pass: "saltworks/parked/pass-2" }],
      },
    ]);
  });

  test.for([
    { passes: 2, againstPasses: 4, cells: ["saltworks/parked"] },
    { passes: 5, againstPasses: 2, cells: ["saltworks/stock"] },
    { passes: 2, againstPasses: 3, cells: null },
    { passes: 3, againstPasses: 9, cells: null },
    { passes: 2, againstPasses: 2, cells: null },
  ])(
    "of $passes passes against $againstPasses: more are asked for of $cells",
    ({ passes, againstPasses, cells }) => {
      const uneven = { passes, againstPasses, against: "stock" };
      const verdicts = [
        makeVerdict({ ...called, ...uneven }),
        makeVerdict({ ...called, ...uneven, metric: "low1Fps" }),
        makeVerdict({ ...uneven, game: "kestrel-cup", verdict: "unclear" }),
      ];
      expect(facts("uneven-passes", { verdicts })).toEqual(
        cells === null ? [] : [{ code: "uneven-passes", cells }],
      );
    },
  );

  const other = (verdict: "same" | "unclear" | "higher" | "lower") => ({
    lows: "tail-average" as const,
    verdict,
  });
  test.for([
    { title: "called by one definition, and not by another", verdict: "lower", others: ["same"], told: true },
    { title: "not called, but called by another", verdict: "unclear", others: ["higher"], told: true },
    { title: "called the other way", verdict: "lower", others: ["higher"], told: true },
    { title: "called alike", verdict: "lower", others: ["lower"], told: false },
    { title: "called by neither", verdict: "same", others: ["unclear"], told: false },
    { title: "no other definition known", verdict: "lower", others: [], told: false },
  ] as const)("under another definition of the lows, $title: $told", ({ verdict, others, told }) => {
    const verdicts = [makeVerdict({ metric: "low1Fps", verdict, otherLows: others.map(other) })];
    const expected = [
      {
        code: "lows-definition",
        verdicts: [{ cell: "saltworks/parked", turns: `1% low (${verdict}; tail-average: ${others[0]})` }],
      },
    ];
    expect(facts("lows-definition", { verdicts })).toEqual(told ? expected : []);
  });

  test.for([
    { metric: "low01Fps", verdict: "lower", told: 1 },
    { metric: "low01Fps", verdict: "higher", told: 1 },
    { metric: "low01Fps", verdict: "unclear", told: 0 },
    { metric: "low01Fps", verdict: "same", told: 0 },
    { metric: "low1Fps", verdict: "lower", told: 0 },
  ] as const)("$metric $verdict: $told caution on the size of 0.1% lows", ({ told, ...change }) => {
    // Beside one that is not called, so that one is enough.
    const verdicts = [makeVerdict(), makeVerdict(change)];
    expect(facts("called-lows-overstate", { verdicts })).toHaveLength(told);
  });

  test("of columns that show no noise at all are told", () => {
    const passes = ["stock", "parked"].flatMap((config) =>
      [1, 2].map((number) => markPass(`saltworks/${config}`, number, [], { low1Fps: 70 + number }).pass),
    );
    const columns = judgeColumns(passes, names, settingsFor("stock"));
    expect(facts("no-noise-seen", { columns })).toEqual([
      { code: "no-noise-seen", config: "parked", metric: "average FPS" },
    ]);
  });
});

describe("the number of games", () => {
  // Five or more are advised: common practice, no source.
  test.for([
    { games: [5, 6], told: null },
    { games: [5, 4], told: 4 },
    { games: [2], told: 2 },
    { games: [], told: null },
  ])("$games games: $told", ({ games, told }) => {
    const suite = games.map((count) => makeSuiteRow({ games: count }));
    expect(facts("few-games", { suite })).toEqual(told === null ? [] : [{ code: "few-games", games: told }]);
  });

  test("of a tag does not matter", () => {
    const suite = [makeSuiteRow({ games: 5 }), makeSuiteRow({ tag: "racing", games: 2 })];
    expect(facts("few-games", { suite })).toEqual([]);
  });
});

test("come in their order: logs and passes, cells, order and boots, verdicts, games, pace, power", () => {
  const marked = [
    ...everyCell({ cpuPowerW: 50 }).filter(
      ({ pass }) => pass.game !== "saltworks" || pass.config !== "parked",
    ),
    markPass("saltworks/stock", 3, [{ code: "time-missing", frameSumS: 50, clockSpanS: 60 }], lows),
    ...["1", "2"].map((number) =>
      markPass("tide-runner/stock", Number(number), [{ code: "gpu-bound", timePct: 90 }], lows),
    ),
  ];
  const codes = find({
    marked,
    settings: settingsFor("stock", { notRead: [nowhere] }),
    verdicts: [makeVerdict({ verdict: "lower", hangsOnPass: "saltworks/stock/pass-1" })],
    suite: [makeSuiteRow({ games: 2 })],
  }).map(({ code }) => code);
  expect(codes).toEqual([
    ...["not-read", "missing-cell", "time-missing", "one-boot", "hangs-on-one-pass", "few-games"],
    ...["gpu-bound", "power-limits"],
  ]);
});
