import { describe, expect, test } from "vitest";
import type { CautionFact } from "../../src/judge/describe-caution.ts";
import type { Judgement } from "../../src/judge/judgement.ts";
import { narrowCaution } from "../../src/judge/narrow-caution.ts";
import { makeSuiteRow, makeVerdict } from "../support/make-verdict.ts";

/** Saltworks under stock and "park" is shown; left out are another game and "park 4c", whose name begins alike. */
const shown = {
  session: { games: ["saltworks"], configs: ["stock", "park"] },
  verdicts: [
    makeVerdict({ game: "saltworks", config: "park", metric: "low01Fps", verdict: "lower" }),
    makeVerdict({ game: "saltworks", config: "park", metric: "avgFps", verdict: "lower" }),
  ],
  suite: [],
} as unknown as Judgement;
const cells = ["saltworks/park", "saltworks/park 4c", "kestrel-cup/park", "kestrel-cup/stock"];
const passes = cells.map((cell) => `${cell}/pass-1`);
const turning = cells.map((cell) => ({ cell, turns: "1% low (lower; tail-average: unclear)" }));
const hanging = cells.map((cell) => ({ cell, metric: "1% low", pass: `${cell}/pass-1` }));
const dropping = cells.map((cell) => ({ cell, throttled: 2, passes: 3 }));
const held = cells.map((cell) => ({
  ...{ cell, slower: [], sensor: "CPU power", belowPct: 20, watts: null },
}));
const games = ["saltworks", "kestrel-cup"].map((game) => ({
  ...{ game, configs: null, lowest: 60, highest: 60 },
}));
const ofConfigs = (configs: readonly string[]) => games.slice(0, 1).map((game) => ({ ...game, configs }));
const files = [...cells, null].map((cell) => ({ file: "a.csv", cell }));
const change = { changePct: -2, lowPct: -3, highPct: -1 };

describe("a caution where a part of the session is shown", () => {
  test.for([
    ...(["single-pass", "missing-cell", "passes-disagree", "uneven-passes"] as const).map((code) => ({
      fact: { code, cells },
      kept: { code, cells: ["saltworks/park"] },
    })),
    // A game whose cells all lack a low stands by itself.
    {
      fact: { code: "missing-lows", metric: "1% low", needed: 1000, cells: ["kestrel-cup", "saltworks"] },
      kept: { code: "missing-lows", metric: "1% low", needed: 1000, cells: ["saltworks"] },
    },
    ...(["time-missing", "coarse-times", "length-differs", "sensor-gap"] as const).map((code) => ({
      fact: { code, passes },
      kept: { code, passes: ["saltworks/park/pass-1"] },
    })),
    {
      fact: { code: "lows-definition", verdicts: turning },
      kept: { code: "lows-definition", verdicts: turning.slice(0, 1) },
    },
    {
      fact: { code: "hangs-on-one-pass", verdicts: hanging },
      kept: { code: "hangs-on-one-pass", verdicts: hanging.slice(0, 1) },
    },
    {
      fact: { code: "throttled", cells: dropping },
      kept: { code: "throttled", cells: dropping.slice(0, 1) },
    },
    { fact: { code: "held-back", cells: held }, kept: { code: "held-back", cells: held.slice(0, 1) } },
    { fact: { code: "capped", games }, kept: { code: "capped", games: games.slice(0, 1) } },
    {
      fact: { code: "gpu-bound", games: ofConfigs(["park", "park 4c"]) },
      kept: { code: "gpu-bound", games: ofConfigs(["park"]) },
    },
    {
      fact: { code: "pace-unknown", games: ["saltworks", "kestrel-cup"] },
      kept: { code: "pace-unknown", games: ["saltworks"] },
    },
    // Nobody knows what an unread log with no place is about: it is told.
    {
      fact: { code: "not-read", files },
      kept: {
        code: "not-read",
        files: files.filter(({ cell }) => cell === "saltworks/park" || cell === null),
      },
    },
  ] as { fact: CautionFact; kept: CautionFact }[])("$fact.code names what is shown", ({ fact, kept }) => {
    expect(narrowCaution(fact, shown)).toEqual([kept]);
  });

  test.for([
    { code: "missing-cell", cells: ["saltworks/park 4c"] },
    { code: "time-missing", passes: ["kestrel-cup/park/pass-1"] },
    { code: "no-noise-seen", config: "park 4c", metric: "1% low" },
    { code: "capped", games: ofConfigs(["park 4c"]) },
    { code: "pace-unknown", games: ["kestrel-cup"] },
    { code: "not-read", files: [{ file: "a.csv", cell: "kestrel-cup/park" }] },
    // It is about averages over games, and none is shown.
    { code: "few-games", games: 4 },
  ] as CautionFact[])("$code about nothing that is shown is left out", (fact) => {
    expect(narrowCaution(fact, shown)).toEqual([]);
  });

  test.for([
    { code: "no-noise-seen", config: "park", metric: "1% low" },
    { code: "one-boot", isBaselineRepeated: false },
    { code: "baseline-boots", metric: "1% low", first: "boot-1", last: "boot-2", games: 2, ...change },
    { code: "shared-boots" },
    { code: "order" },
    { code: "first-pass", changes: [{ metric: "1% low", ...change }] },
    { code: "drift", changes: [{ metric: "1% low", ...change }] },
    { code: "first-pass-or-drift", metric: "1% low", firstPassPct: -2, perHourPct: 0.5 },
    { code: "called-lows-overstate" },
    { code: "power-limits" },
  ] as CautionFact[])("$code holds for any part of the session", (fact) => {
    expect(narrowCaution(fact, shown)).toEqual([fact]);
  });

  test("of averages stays with them, that of a 0.1% low with its verdict", () => {
    const suite = [makeSuiteRow({ games: 4 })];
    expect(narrowCaution({ code: "few-games", games: 4 }, { ...shown, suite })).toHaveLength(1);
    const verdicts = [
      makeVerdict({ metric: "low01Fps", verdict: "unclear" }),
      makeVerdict({ verdict: "lower" }),
    ];
    expect(narrowCaution({ code: "called-lows-overstate" }, { ...shown, verdicts })).toEqual([]);
  });
});
