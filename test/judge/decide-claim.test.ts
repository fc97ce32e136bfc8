import { describe, expect, test } from "vitest";
import { Comparisons } from "../../src/judge/compared.ts";
import { type ClaimableNames, claimedFigures, decideClaim } from "../../src/judge/decide-claim.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Judgement, Verdict } from "../../src/judge/judgement.ts";
import type { Claim } from "../../src/read/claim.ts";
import { figuresIn } from "../../src/read/figures-in-text.ts";
import type { Metric } from "../../src/shared/metrics.ts";
import { makeSuiteRow, makeVerdict } from "../support/make-verdict.ts";
import { passesOf, settingsFor } from "../support/session-fixtures.ts";

const names: ClaimableNames = {
  games: ["kestrel-cup", "saltworks"],
  configs: ["stock", "full", "quiet"],
  tags: new Map([
    ["racing", ["kestrel-cup"]],
    ["both", ["kestrel-cup", "saltworks"]],
  ]),
};
const values: Partial<Record<Metric, number>> = {
  avgFps: 100.4,
  low1Fps: 60,
  cpuPowerW: 40,
  joulesPerFrame: 0.44,
};
const session = judgeSession(
  passesOf(
    ["stock", "quiet", "full"].flatMap((config) =>
      ["1", "2"].map((pass) => ({ game: "saltworks", config, pass, ...values })),
    ),
  ),
  settingsFor("stock"),
);

/** Verdicts on `quiet` and `full`, made up; values are those of the passes above. */
function decide(
  claim: Partial<Claim>,
  verdicts: readonly Verdict[] = [],
  sentence = "",
  suite: Judgement["suite"] = [],
) {
  const own: Judgement = {
    ...session,
    session: { ...session.session, games: [...names.games], configs: [...names.configs] },
    ...{ verdicts, suite },
  };
  const comparisons = new Comparisons({ own, judgeAgainst: () => null });
  return decideClaim(claimOf(claim), figuresIn(sentence), comparisons, names);
}
const claimOf = (claim: Partial<Claim>): Claim => ({
  scope: { kind: "game", game: "saltworks" },
  ...{ metric: "avgFps", config: null, against: null, is: null, byPct: null, giveOrTake: null, about: null },
  ...{ differsAtMostPct: null, order: null, best: null, worst: null },
  ...claim,
});
const quiet = (change: Partial<Verdict> = {}): Verdict => makeVerdict({ config: "quiet", ...change });
const full = (change: Partial<Verdict> = {}): Verdict => makeVerdict({ config: "full", ...change });

describe("a word that is not refuted", () => {
  // mattersPct is 3: a bound within it shows what the interval as a whole does not.
  test.for([
    { is: "not-higher", lowPct: -9, highPct: 3, doubt: false },
    { is: "not-higher", lowPct: -9, highPct: 3.1, doubt: true },
    { is: "not-higher", lowPct: -1, highPct: 4, doubt: true },
    { is: "not-higher", lowPct: null, highPct: null, doubt: true },
    { is: "not-lower", lowPct: -3, highPct: 9, doubt: false },
    { is: "not-lower", lowPct: -3.1, highPct: 9, doubt: true },
    { is: "not-lower", lowPct: -4, highPct: 1, doubt: true },
    { is: "not-lower", lowPct: null, highPct: null, doubt: true },
    { is: "within-noise", lowPct: -1, highPct: 4, doubt: true },
    { is: "unclear", lowPct: -9, highPct: 9, doubt: false },
  ] as const)("$is, interval from $lowPct to $highPct: doubt $doubt", ({ is, doubt, ...bounds }) => {
    const { parts, findings } = decide({ config: "quiet", is }, [quiet({ verdict: "unclear", ...bounds })]);
    expect(findings).toEqual([]);
    const isBoundShown = is.startsWith("not-") && !doubt;
    expect(parts).toEqual([
      expect.objectContaining({ about: "is", wanted: is, holds: true, doubt, isBoundShown }),
    ]);
  });

  test("leaves no doubt where the verdict itself shows it, nor where it fails", () => {
    const part = (verdict: Verdict["verdict"]) =>
      decide({ config: "quiet", is: "not-higher" }, [quiet({ verdict, lowPct: -9, highPct: 9 })]).parts[0];
    expect(part("lower")).toMatchObject({ holds: true, doubt: false });
    expect(part("same")).toMatchObject({ holds: true, doubt: false });
    expect(part("higher")).toMatchObject({ holds: false, doubt: false });
  });
});

describe("a value", () => {
  test.for([
    { title: "within 1% of what was measured", metric: "avgFps", value: 101.4, decimals: 1, holds: true },
    { title: "1% below", metric: "avgFps", value: 99.4, decimals: 1, holds: true },
    { title: "further", metric: "avgFps", value: 101.5, decimals: 1, holds: false },
    // What was measured rounds to it as it is written: 0.44 to 0.4 and not to 0.45.
    {
      title: "equal once rounded as written",
      metric: "joulesPerFrame",
      value: 0.4,
      decimals: 1,
      holds: true,
    },
    { title: "not equal as written", metric: "joulesPerFrame", value: 0.4, decimals: 2, holds: false },
    {
      title: "within its own margin",
      metric: "avgFps",
      value: 96,
      decimals: 0,
      give: [5, null],
      holds: true,
    },
    {
      title: "at the margin's end",
      metric: "low1Fps",
      value: 55,
      decimals: 0,
      give: [5, "FPS"],
      holds: true,
    },
    {
      title: "beyond its own margin",
      metric: "low1Fps",
      value: 54.9,
      decimals: 1,
      give: [5, "FPS"],
      holds: false,
    },
    {
      title: "a margin narrower than 1%",
      metric: "low1Fps",
      value: 60.5,
      decimals: 1,
      give: [0.4, "FPS"],
      holds: false,
    },
    // 20% of 50 is 10, of 60 it would be 12.
    {
      title: "a margin in percent, of the value claimed",
      metric: "low1Fps",
      value: 50,
      decimals: 0,
      give: [20, "%"],
      holds: true,
    },
    {
      title: "a margin in percent that is too narrow",
      metric: "low1Fps",
      value: 50,
      decimals: 0,
      give: [19, "%"],
      holds: false,
    },
  ] as {
    title: string;
    metric: Metric;
    value: number;
    decimals: number;
    give?: [number, "FPS" | "%" | null];
    holds: boolean;
  }[])("$title: $holds", ({ metric, value, decimals, give, holds }) => {
    const giveOrTake = give === undefined ? null : { value: give[0], unit: give[1] };
    const { parts } = decide({ config: "quiet", metric, about: { value, decimals }, giveOrTake });
    expect(parts).toEqual([expect.objectContaining({ about: "value", wanted: value, holds, doubt: false })]);
  });

  test("of the baseline needs no comparison", () => {
    const { parts, findings } = decide({ config: "stock", about: { value: 100, decimals: 0 } });
    expect(findings).toEqual([]);
    expect(parts).toMatchObject([{ about: "value", unit: "FPS", cell: { passes: 2 }, holds: true }]);
  });

  test("of a cell without passes is an error", () => {
    const { parts, findings } = decide({
      scope: { kind: "game", game: "kestrel-cup" },
      ...{ config: "quiet", about: { value: 100, decimals: 0 } },
    });
    expect(parts).toEqual([]);
    expect(findings).toEqual([{ code: "claim-no-data", of: "kestrel-cup / quiet", metric: "average FPS" }]);
  });
});

describe("differs at most", () => {
  const at = (lowPct: number | null, highPct: number | null, game = "saltworks") =>
    quiet({ game, lowPct, highPct });
  test.for([
    { title: "the whole interval within it, its ends included", rows: [at(-3, 3)], beyond: [] },
    { title: "an end above", rows: [at(-1, 3.1)], beyond: ["saltworks"] },
    { title: "an end below", rows: [at(-3.1, 1)], beyond: ["saltworks"] },
    { title: "an unknown noise", rows: [at(null, null)], beyond: ["saltworks"] },
  ])("$title", ({ rows, beyond }) => {
    const { parts } = decide({ config: "quiet", differsAtMostPct: 3 }, rows);
    expect(parts).toHaveLength(1);
    const [part] = parts;
    if (part?.about !== "differs-at-most") expect.fail(`it is about ${part?.about}`);
    expect(part.beyond.map(({ game }) => game)).toEqual(beyond);
    expect(part).toMatchObject({ wantedPct: 3, holds: beyond.length === 0, doubt: false });
  });

  test.for([
    { title: "all games", scope: { kind: "suite" }, games: ["kestrel-cup", "saltworks"] },
    { title: "the games of a tag", scope: { kind: "tag", tag: "racing" }, games: ["kestrel-cup"] },
    { title: "one game", scope: { kind: "game", game: "saltworks" }, games: ["saltworks"] },
  ] as { title: string; scope: Claim["scope"]; games: string[] }[])(
    "is asked of $title",
    ({ scope, games }) => {
      const rows = [at(-1, 1, "kestrel-cup"), at(-2, 2)];
      const { parts } = decide({ scope, config: "quiet", differsAtMostPct: 3 }, rows);
      expect(parts).toMatchObject([
        { about: "differs-at-most", rows: games.map((game) => ({ game })), beyond: [] },
      ]);
    },
  );

  test("cannot be told where one of the games has no data", () => {
    const { parts, findings } = decide({ scope: { kind: "suite" }, config: "quiet", differsAtMostPct: 3 }, [
      at(-1, 1),
    ]);
    expect(parts).toEqual([]);
    expect(findings).toMatchObject([{ code: "claim-no-data", of: "kestrel-cup / quiet" }]);
  });
});

describe("an order, the best and the worst", () => {
  const up = { verdict: "higher", changePct: 10, lowPct: 9, highPct: 11 } as const;
  const down = { verdict: "lower", changePct: -10, lowPct: -11, highPct: -9 } as const;
  // Of frames more is better, of watts and joules less.
  test.for([
    { claim: { best: "stock" }, metric: "avgFps", rows: [quiet(down), full(down)], holds: true },
    { claim: { best: "stock" }, metric: "avgFps", rows: [quiet(down), full(up)], holds: false },
    { claim: { worst: "stock" }, metric: "low1Fps", rows: [quiet(up), full(up)], holds: true },
    { claim: { worst: "stock" }, metric: "fpsPerWatt", rows: [quiet(up), full(down)], holds: false },
    { claim: { best: "stock" }, metric: "cpuPowerW", rows: [quiet(up), full(up)], holds: true },
    { claim: { best: "stock" }, metric: "joulesPerFrame", rows: [quiet(down), full(down)], holds: false },
    { claim: { worst: "stock" }, metric: "gpuPowerW", rows: [quiet(down), full(down)], holds: true },
    {
      claim: { order: ["quiet", "stock", "full"] },
      metric: "avgFps",
      rows: [quiet(down), full(up)],
      holds: true,
    },
    {
      claim: { order: ["full", "stock", "quiet"] },
      metric: "avgFps",
      rows: [quiet(down), full(up)],
      holds: false,
    },
    { claim: { order: ["quiet", "stock"] }, metric: "avgFps", rows: [quiet(down)], holds: true },
    {
      claim: { order: ["quiet", "stock"] },
      metric: "avgFps",
      rows: [quiet({ verdict: "unclear" })],
      holds: false,
    },
  ] as const)("$claim of $metric: $holds", ({ claim, metric, rows, holds }) => {
    const { parts, findings } = decide(
      { metric, ...claim },
      rows.map((row) => ({ ...row, metric })),
    );
    expect(findings).toEqual([]);
    expect(parts).toHaveLength(1);
    expect(parts[0]).toMatchObject({ about: Object.keys(claim)[0], holds, doubt: false });
  });

  test("name what was not shown", () => {
    const { parts } = decide({ best: "stock" }, [quiet(down), full({ verdict: "unclear" })]);
    expect(parts).toMatchObject([{ configs: ["stock"], notShown: [{ config: "full" }], rows: [{}, {}] }]);
  });

  test("need every config compared", () => {
    const { parts, findings } = decide({ best: "stock" }, [quiet(down)]);
    expect(parts).toEqual([]);
    expect(findings).toMatchObject([{ code: "claim-no-data" }]);
  });
});

describe("what cannot be decided", () => {
  test.for([
    {
      title: "a config twice in an order",
      claim: { order: ["quiet", "stock", "quiet"] },
      finding: { code: "claim-order-twice", config: "quiet" },
    },
    {
      title: "the baseline against itself",
      claim: { config: "stock", byPct: 1 },
      finding: { code: "claim-against-itself", config: "stock", isBaseline: true },
    },
    {
      title: "the baseline at most so different from itself",
      claim: { config: "stock", differsAtMostPct: 1 },
      finding: { code: "claim-against-itself", config: "stock", isBaseline: true },
    },
    {
      title: "a config against itself",
      claim: { config: "quiet", against: "quiet", is: "same" },
      finding: { code: "claim-against-itself", config: "quiet", isBaseline: false },
    },
    {
      title: "two configs of which only captures could tell",
      claim: { config: "quiet", against: "full", is: "same" },
      finding: { code: "claim-needs-captures", against: "full", baseline: "stock" },
    },
    {
      title: "a metric that no pass has",
      claim: { config: "quiet", metric: "gpuPowerW", is: "same" },
      finding: { code: "claim-no-data", of: "saltworks / quiet", metric: "GPU power" },
    },
    {
      title: "a config that has passes, and a baseline that has none",
      claim: { config: "quiet", is: "same" },
      finding: { code: "claim-no-data", of: "saltworks / stock", metric: "average FPS" },
    },
    {
      title: "all games where too few have both",
      claim: { scope: { kind: "suite" }, config: "quiet", is: "same" },
      finding: { code: "claim-no-data", of: "two games or more / quiet", metric: "average FPS" },
    },
    {
      title: "the games of a tag where too few have both",
      claim: { scope: { kind: "tag", tag: "both" }, config: "quiet", is: "same" },
      finding: { code: "claim-no-data", of: "two games or more tagged both / quiet", metric: "average FPS" },
    },
    {
      title: "a game that is not there",
      claim: { scope: { kind: "game", game: "saltwork" }, config: "quiet", is: "same" },
      finding: {
        code: "claim-name-unknown",
        kind: "game",
        name: "saltwork",
        nearest: "saltworks",
        names: names.games,
      },
    },
    {
      title: "a tag that is not there",
      claim: { scope: { kind: "tag", tag: "racin" }, config: "quiet", is: "same" },
      finding: {
        code: "claim-name-unknown",
        kind: "tag",
        name: "racin",
        nearest: "racing",
        names: ["racing", "both"],
      },
    },
    ...(
      [
        { config: "quite", is: "same" },
        { config: "stock", against: "quite", is: "same" },
        { order: ["stock", "quite"] },
        { best: "quite" },
        { worst: "quite" },
      ] as Partial<Claim>[]
    ).map((claim) => ({
      title: `a config that is not there, in ${Object.keys(claim).join()}`,
      claim,
      finding: {
        code: "claim-name-unknown",
        kind: "config",
        name: "quite",
        nearest: "quiet",
        names: names.configs,
      },
    })),
  ] as { title: string; claim: Partial<Claim>; finding: object }[])("$title", ({ claim, finding }) => {
    expect(decide(claim)).toEqual({ parts: [], findings: [finding] });
  });

  test("keeps the parts that could be decided from being told", () => {
    const about = { value: 1, decimals: 0 };
    const one = decide({ config: "quiet", is: "same", metric: "gpuPowerW", about }, [
      quiet({ metric: "gpuPowerW" }),
    ]);
    expect(one.parts).toEqual([]);
    expect(one.findings).toMatchObject([{ code: "claim-no-data" }]);
  });

  test("is told of every part", () => {
    const { parts, findings } = decide({
      config: "quiet",
      is: "same",
      metric: "gpuPowerW",
      about: { value: 1, decimals: 0 },
    });
    expect(parts).toEqual([]);
    expect(findings).toHaveLength(2);
  });
});

describe("several parts of one claim", () => {
  test("are decided each by itself", () => {
    const row = quiet({ verdict: "lower", changePct: -9, lowPct: -10, highPct: -8 });
    const claim = { config: "quiet", is: "lower", byPct: -5, about: { value: 100, decimals: 0 } } as const;
    const { parts } = decide(claim, [row], "It loses 5%.");
    expect(parts.map(({ about, holds }) => [about, holds])).toEqual([
      ["is", true],
      ["by", false],
      ["value", true],
    ]);
  });

  test("of all games together go by their row", () => {
    const row = makeSuiteRow({ config: "quiet", verdict: "lower", changePct: -2, lowPct: -3, highPct: -1 });
    const claim = { scope: { kind: "suite" }, config: "quiet", is: "lower", byPct: -2 } as const;
    expect(decide(claim, [quiet()], "", [row]).parts.map(({ holds }) => holds)).toEqual([true, true]);
    const tagged = { ...claim, scope: { kind: "tag", tag: "both" } } as const;
    expect(decide(tagged, [], "", [row]).findings).toMatchObject([{ code: "claim-no-data" }]);
    expect(decide(tagged, [], "", [{ ...row, tag: "both" }]).parts).toHaveLength(2);
  });
});

describe("the figures of a sentence that a claim checks", () => {
  /** Whether a claim's first figure is that of a sentence. */
  const isSaid = (claim: Partial<Claim>, sentence: string): boolean => {
    const [one] = claimedFigures(claimOf({ config: "quiet", ...claim }));
    const [figure] = figuresIn(sentence);
    if (one === undefined || figure === undefined) throw new Error("there is nothing to compare");
    return one.units.includes(figure.unit) && one.matches(figure);
  };
  const margin = (value: number) => ({ value, unit: null });
  test.for([
    { claim: { byPct: -9 }, says: "9%", is: true },
    { claim: { byPct: -9 }, says: "-9%", is: true },
    { claim: { byPct: -9 }, says: "+9%", is: false },
    { claim: { byPct: 9 }, says: "+9%", is: true },
    { claim: { byPct: 9 }, says: "-9%", is: false },
    { claim: { byPct: 8.7 }, says: "9%", is: true },
    { claim: { byPct: 8.5 }, says: "9%", is: true },
    { claim: { byPct: 8.4 }, says: "9%", is: false },
    { claim: { byPct: 8.7 }, says: "8.7%", is: true },
    { claim: { byPct: 8.64 }, says: "8.7%", is: false },
    { claim: { byPct: 9 }, says: "9 FPS", is: false },
    { claim: { byPct: 10, giveOrTake: margin(2) }, says: "8%", is: true },
    { claim: { byPct: 10, giveOrTake: margin(2) }, says: "12%", is: true },
    { claim: { byPct: 10, giveOrTake: margin(2) }, says: "10%", is: true },
    { claim: { byPct: 10, giveOrTake: margin(2) }, says: "9%", is: false },
    { claim: { byPct: -1, giveOrTake: margin(3) }, says: "+2%", is: true },
    { claim: { byPct: -1, giveOrTake: margin(3) }, says: "-2%", is: false },
    { claim: { differsAtMostPct: 3 }, says: "3%", is: true },
    { claim: { differsAtMostPct: 3 }, says: "4%", is: false },
    { claim: { differsAtMostPct: 3 }, says: "3 FPS", is: false },
    { claim: { about: { value: 60, decimals: 0 } }, says: "60 FPS", is: true },
    { claim: { about: { value: 60, decimals: 0 } }, says: "61 FPS", is: false },
    { claim: { about: { value: 60, decimals: 0 } }, says: "60%", is: false },
    { claim: { about: { value: 60, decimals: 0 }, metric: "cpuPowerW" }, says: "60 W", is: true },
    { claim: { about: { value: 60, decimals: 0 }, metric: "cpuPowerW" }, says: "60 FPS", is: false },
  ] as { claim: Partial<Claim>; says: string; is: boolean }[])(
    "$claim, $says: $is",
    ({ claim, says, is }) => {
      expect(isSaid(claim, `It is ${says}.`)).toBe(is);
    },
  );

  test("are none of a claim that says no figure", () => {
    expect(claimedFigures(claimOf({ config: "quiet", is: "same" }))).toEqual([]);
  });

  test.for([
    { claim: { differsAtMostPct: 3 }, sentence: "At most 4%, never 4%.", says: ["4%"], claims: "3%" },
    {
      claim: { about: { value: 100, decimals: 0 } },
      sentence: "From 90 FPS to 95 FPS.",
      says: ["90 FPS", "95 FPS"],
      claims: "100 FPS",
    },
    { claim: { byPct: 0 }, sentence: "By 7%.", says: ["7%"], claims: "0%" },
  ])("$sentence disagrees with $claims", ({ claim, sentence, says, claims }) => {
    const { parts } = decide({ config: "quiet", ...claim }, [quiet()], sentence);
    expect(parts.at(-1)).toEqual({ about: "sentence", says, claims, holds: false, doubt: false });
  });

  test("disagree with nothing where one of them is the claim's, or none is of its kind", () => {
    for (const sentence of ["From 90 FPS to 100 FPS.", "It is 7%.", "It is fast."]) {
      const { parts } = decide({ config: "quiet", about: { value: 100, decimals: 0 } }, [], sentence);
      expect(parts.map(({ about }) => about)).toEqual(["value"]);
    }
  });
});
