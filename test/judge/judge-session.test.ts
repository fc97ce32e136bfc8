import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Judgement, SuiteRow, Verdict } from "../../src/judge/judgement.ts";
import type { Metric } from "../../src/shared/metrics.ts";
import { expectClose, limitForP } from "../support/expect-close.ts";
import { readReference, readText } from "../support/read-reference.ts";
import {
  numbersIn,
  parsePassTable,
  passesOf,
  settingsFor,
  type TableRow,
} from "../support/session-fixtures.ts";

type Figure = number | null;
interface ExpectedVerdict {
  readonly game: string;
  readonly config: string;
  readonly metric: Metric;
  readonly value: number;
  readonly againstValue: number;
  readonly changePct: number;
  readonly lowPct: Figure;
  readonly highPct: Figure;
  readonly p: Figure;
  readonly pAdjusted: Figure;
  readonly verdict: string;
  readonly size: string | null;
  readonly resolvesPct: Figure;
  readonly passesNeeded: Figure;
  readonly passes: number;
  readonly againstPasses: number;
  readonly holdsWithAllPasses: boolean;
}
interface ExpectedSuite {
  readonly config: string;
  readonly metric: Metric;
  readonly games: number;
  readonly changePct: number;
  readonly lowPct: number;
  readonly highPct: number;
  readonly theseGamesLowPct: number;
  readonly theseGamesHighPct: number;
  readonly p: number;
  readonly pAdjusted: number;
  readonly verdict: string;
  readonly counts: Record<string, number>;
  readonly gamesDiffer: { verdict: boolean; p: number; spreadPct: number };
}
interface ExpectedPass {
  readonly game: string;
  readonly config: string;
  readonly pass: string;
  readonly counted: boolean;
  readonly screenP: Figure;
  readonly unusuallyFast: boolean | null;
  readonly passesDisagree: boolean | null;
}

/** Percentages near 0 are differences of nearly equal numbers: an absolute error of 1e-9 of a percent is allowed. */
const nearZeroPct = 1e-9;

function checkVerdict(actual: Verdict | undefined, expected: ExpectedVerdict) {
  const where = `${expected.game} ${expected.config} ${expected.metric}`;
  if (actual === undefined) expect.fail(`no verdict for ${where}`);
  const close = (key: keyof ExpectedVerdict & keyof Verdict, limit: number, zero = 0) => {
    expectClose(actual[key] as Figure, expected[key] as Figure, limit, `${where}: ${key}`, zero);
  };
  close("value", 1e-10);
  close("againstValue", 1e-10);
  for (const key of ["changePct", "lowPct", "highPct"] as const) close(key, 1e-8, nearZeroPct);
  close("p", limitForP(expected.p));
  close("pAdjusted", limitForP(expected.pAdjusted));
  const words = ({
    verdict,
    size,
    passes,
    againstPasses,
    holdsWithAllPasses,
  }: Verdict | ExpectedVerdict) => ({
    where,
    verdict,
    size,
    passes,
    againstPasses,
    holdsWithAllPasses,
  });
  expect(words(actual)).toEqual(words(expected));
  close("resolvesPct", 1e-8);
  expect(actual.passesNeeded, `${where}: passesNeeded`).toBe(expected.passesNeeded);
}

function checkSuite(actual: SuiteRow | undefined, expected: ExpectedSuite) {
  const where = `all games ${expected.config} ${expected.metric}`;
  if (actual === undefined) expect.fail(`no suite row for ${where}`);
  expect(actual.games).toBe(expected.games);
  for (const key of ["changePct", "lowPct", "highPct", "theseGamesLowPct", "theseGamesHighPct"] as const) {
    expectClose(actual[key], expected[key], 1e-8, `${where}: ${key}`, nearZeroPct);
  }
  expectClose(actual.p, expected.p, limitForP(expected.p), `${where}: p`);
  expectClose(actual.pAdjusted, expected.pAdjusted, limitForP(expected.pAdjusted), `${where}: pAdjusted`);
  expectClose(
    actual.gamesDiffer.p,
    expected.gamesDiffer.p,
    limitForP(expected.gamesDiffer.p),
    `${where}: differ`,
  );
  expectClose(
    actual.gamesDiffer.spreadPct,
    expected.gamesDiffer.spreadPct,
    1e-8,
    `${where}: spread`,
    nearZeroPct,
  );
  expect({
    where,
    verdict: actual.verdict,
    counts: actual.counts,
    differ: actual.gamesDiffer.verdict,
  }).toEqual({
    where,
    verdict: expected.verdict,
    counts: expected.counts,
    differ: expected.gamesDiffer.verdict,
  });
}

function checkPass(judgement: Judgement, expected: ExpectedPass, flags: boolean) {
  const is = (pass: { game: string; config: string; pass: string }) =>
    pass.game === expected.game && pass.config === expected.config && pass.pass === expected.pass;
  const actual = judgement.passes.find(is);
  const where = `${expected.game}/${expected.config}/${expected.pass}`;
  if (actual === undefined) expect.fail(`no row for ${where}`);
  expect({ where, counted: actual.counted }).toEqual({ where, counted: expected.counted });
  expect(actual.counted).toBe(actual.notCountedBecause === null || actual.notCountedBecause === undefined);
  if (!flags) return;
  expectClose(actual.screenP, expected.screenP, 1e-8, `${where}: screenP`);
  const has = (code: string) => actual.flags.some((flag) => flag.code === code);
  expect({ where, fast: has("unusually-fast"), disagree: has("passes-disagree") }).toEqual({
    where,
    // R has no value for a pass that the screen never saw.
    fast: expected.unusuallyFast ?? false,
    disagree: expected.passesDisagree ?? false,
  });
}

const findVerdict = (judgement: Judgement, { game, config, metric }: ExpectedVerdict) =>
  judgement.verdicts.find((row) => row.game === game && row.config === config && row.metric === metric);
const findSuite = (judgement: Judgement, { config, metric }: ExpectedSuite) =>
  judgement.suite.find((row) => row.tag === null && row.config === config && row.metric === metric);

describe("three sessions with a full reference judgement", () => {
  interface Reference {
    readonly settings: { baseline: string };
    readonly passes: ExpectedPass[];
    readonly verdicts: (ExpectedVerdict & { logDiff: number; se: Figure; df: Figure })[];
    readonly suite: (Omit<ExpectedSuite, "theseGamesLowPct" | "theseGamesHighPct"> & {
      theseGames: { lowPct: number; highPct: number };
    })[];
  }
  test.for(["six-games", "one-game", "two-games-two-passes"])("%s comes out as computed in R", (name) => {
    const reference = readReference<Reference>(`fixtures/reference/sessions/${name}.judgement.json`);
    const table = parsePassTable(readText(`fixtures/reference/sessions/${name}.passes.csv`));
    const judgement = judgeSession(passesOf(table), settingsFor(reference.settings.baseline));

    expect(judgement.passes).toHaveLength(table.length);
    for (const pass of reference.passes) checkPass(judgement, pass, true);
    expect(judgement.verdicts).toHaveLength(reference.verdicts.length);
    for (const expected of reference.verdicts) {
      const actual = findVerdict(judgement, expected);
      checkVerdict(actual, expected);
      expectClose(actual!.logDiff, expected.logDiff, 1e-8, "logDiff", 1e-11);
      expectClose(actual!.standardError, expected.se, 1e-8, "standard error");
      expectClose(actual!.degreesOfFreedom, expected.df, 1e-8, "degrees of freedom");
    }
    expect(judgement.suite.filter(({ tag }) => tag === null)).toHaveLength(reference.suite.length);
    for (const { theseGames, ...rest } of reference.suite) {
      const expected = {
        ...rest,
        theseGamesLowPct: theseGames.lowPct,
        theseGamesHighPct: theseGames.highPct,
      };
      checkSuite(findSuite(judgement, expected), expected);
    }
  });
});

describe("sessions with awkward corners, against an engine of its own in R (test/reference/judge-session.R)", () => {
  interface Reference {
    readonly about: string;
    readonly passTable: TableRow[];
    readonly settings: {
      baseline: string;
      mattersPct: number;
      confidencePct: number;
      falseAlarmControl: "columns" | "strict";
      keepAll: boolean;
      setAside: string[];
    };
    readonly passes: ExpectedPass[];
    readonly verdicts: ExpectedVerdict[];
    readonly suite: ExpectedSuite[];
  }
  const names = [
    "uneven",
    "uneven-strict",
    "uneven-keep-all",
    "three-hide-each-other",
    "half-the-cell",
    "frame-cap",
    "one-pass-each",
    "three-boots",
  ];
  test.for(
    names.map((name) => ({ name, ...readReference<Reference>(`test/reference/sessions/${name}.json`) })),
  )("$name: $about", (reference) => {
    const { setAside, ...settings } = reference.settings;
    const judgement = judgeSession(
      passesOf(reference.passTable),
      settingsFor(settings.baseline, {
        ...settings,
        setAside: setAside.map((place) => {
          const [game, config, pass] = place.split("/") as [string, string, string];
          return { game, config, pass, boot: null, why: "launcher updated itself" };
        }),
      }),
    );
    for (const pass of reference.passes) checkPass(judgement, pass, !settings.keepAll);
    expect(judgement.verdicts).toHaveLength(reference.verdicts.length);
    for (const expected of reference.verdicts) checkVerdict(findVerdict(judgement, expected), expected);
    expect(judgement.suite.filter(({ tag }) => tag === null)).toHaveLength(reference.suite.length);
    for (const expected of reference.suite) checkSuite(findSuite(judgement, expected), expected);
    for (const { path, number } of numbersIn(judgement)) expect(Number.isFinite(number), path).toBe(true);
  });
});
