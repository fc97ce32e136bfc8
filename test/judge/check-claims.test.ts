import { describe, expect, test } from "vitest";
import { type CheckedClaim, checkClaims } from "../../src/judge/check-claims.ts";
import { Comparisons, mirror, ofVerdict } from "../../src/judge/compared.ts";
import { decideSize } from "../../src/judge/decide-claim.ts";
import { findingsOf } from "../../src/judge/find-findings.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Judgement } from "../../src/judge/judgement.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { unitsByMetric } from "../../src/read/claim.ts";
import { readScript } from "../../src/read/read-script.ts";
import { measuredText, reasonText } from "../../src/report/claim-words.ts";
import { findingsMarkdown } from "../../src/report/findings-report.ts";
import { metricLabel, metrics, metricsByName } from "../../src/shared/metrics.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { passesOf, settingsFor, type TableRow } from "../support/session-fixtures.ts";

/** Average FPS of each config as a factor on 100 FPS, and the run-to-run noise; five passes each. */
const truth: Readonly<Record<string, { noise: number; factors: Readonly<Record<string, number>> }>> = {
  "kestrel-cup": { noise: 0.003, factors: { stock: 1, quiet: 0.9, full: 1.1 } },
  saltworks: { noise: 0.003, factors: { stock: 1, quiet: 1, full: 1 } },
  "tide-runner": { noise: 0.08, factors: { stock: 1, quiet: 1, full: 1.02 } },
};

function makePasses(configs: readonly string[], seed = 7, most = 5): PassSummary[] {
  const random = seededRandom(seed);
  const rows: TableRow[] = [];
  for (const [game, { noise, factors }] of Object.entries(truth)) {
    for (const config of ["stock", "quiet", "full"]) {
      for (const pass of ["1", "2", "3", "4", "5"].slice(0, most)) {
        const avgFps = 100 * (factors[config] as number) * Math.exp(noise * random.normal());
        if (configs.includes(config)) rows.push({ game, config, pass, avgFps, low1Fps: avgFps * 0.7 });
      }
    }
  }
  return passesOf(rows);
}

const tags = [
  { game: "kestrel-cup", tag: "fast" },
  { game: "saltworks", tag: "fast" },
];
const passes = makePasses(["stock", "quiet", "full"]);
const judgeAgainst = (baseline: string): Judgement => judgeSession(passes, settingsFor(baseline, { tags }));
const own = judgeAgainst("stock");

function check(
  script: string,
  settings = {},
  evidence = { own, judgeAgainst: judgeAgainst as (b: string) => Judgement | null },
) {
  return checkClaims(readScript(script, "x.md"), evidence, {
    strict: false,
    requireClaims: false,
    ...settings,
  });
}

function checkOne(claim: string, sentence = "One.", strict = false): CheckedClaim {
  const { claims } = check(`${sentence} <!-- claim: { metric: average FPS, ${claim} } -->`, { strict });
  return claims[0] as CheckedClaim;
}

test("the session holds one verdict of each kind", () => {
  const word = (game: string, config: string) =>
    own.verdicts.find((row) => row.game === game && row.config === config && row.metric === "avgFps")
      ?.verdict;
  expect(word("kestrel-cup", "quiet")).toBe("lower");
  expect(word("kestrel-cup", "full")).toBe("higher");
  expect(word("saltworks", "quiet")).toBe("same");
  expect(word("tide-runner", "quiet")).toBe("unclear");
});

const verdictOf = {
  lower: "game: kestrel-cup, config: quiet",
  higher: "game: kestrel-cup, config: full",
  same: "game: saltworks, config: quiet",
  unclear: "game: tide-runner, config: quiet",
} as const;

describe("a word holds under the verdicts that it allows, and strictly only where it is shown", () => {
  test.for([
    { is: "higher", holds: ["higher"], shown: ["higher"] },
    { is: "lower", holds: ["lower"], shown: ["lower"] },
    { is: "same", holds: ["same"], shown: ["same"] },
    { is: "unclear", holds: ["unclear"], shown: ["unclear"] },
    { is: "within-noise", holds: ["same", "unclear"], shown: ["same"] },
    { is: "not-higher", holds: ["lower", "same", "unclear"], shown: ["lower", "same"] },
    { is: "not-lower", holds: ["higher", "same", "unclear"], shown: ["higher", "same"] },
  ])("$is", ({ is, holds, shown }) => {
    for (const [verdict, where] of Object.entries(verdictOf)) {
      const expected = holds.includes(verdict) ? "holds" : "fails";
      expect(checkOne(`${where}, is: ${is}`).outcome, verdict).toBe(expected);
      expect(checkOne(`${where}, is: ${is}`, "One.", true).outcome, verdict).toBe(
        shown.includes(verdict) ? "holds" : "fails",
      );
    }
  });
});

describe("a size", () => {
  const row = {
    ...ofVerdict(own.verdicts[0] as Judgement["verdicts"][number]),
    changePct: -9,
    lowPct: -9.8,
    highPct: -8.3,
  };
  test.for([
    { by: -9, give: null, holds: true, it: "is the estimate" },
    { by: -8.3, give: null, holds: true, it: "is the end of the interval" },
    { by: -8.2, give: null, holds: false, it: "is within a point but outside the interval" },
    { by: -9.8, give: null, holds: true, it: "is the other end" },
    { by: 9, give: null, holds: false, it: "has the other sign" },
    { by: -11, give: 2, holds: true, it: "is as far as the claim's own tolerance allows" },
    { by: -11.1, give: 2, holds: false, it: "is further" },
    { by: -8.5, give: 0.4, holds: false, it: "is inside the interval but further than the tolerance" },
  ])("$it: $by, give or take $give", ({ by, give, holds }) => {
    expect(decideSize(by, give, row).holds).toBe(holds);
  });

  test("in a wide interval must still be within 1 point of the estimate", () => {
    expect(decideSize(-6, null, { ...row, lowPct: -20, highPct: 3 }).holds).toBe(false);
  });

  test("cannot hold where the noise is unknown", () => {
    expect(decideSize(-9, null, { ...row, lowPct: null, highPct: null }).holds).toBe(false);
  });

  test("with a sign alone claims its direction too", () => {
    expect(
      checkOne(`${verdictOf.unclear}, by: -${Math.abs(changeOf("tide-runner", "quiet")).toFixed(1)}%`)
        .outcome,
    ).toBe("fails");
  });
});

function changeOf(game: string, config: string): number {
  return (
    own.verdicts.find((row) => row.game === game && row.config === config && row.metric === "avgFps")
      ?.changePct ?? Number.NaN
  );
}

describe("a value", () => {
  const value =
    new Comparisons({ own, judgeAgainst }).valueOf("saltworks", "stock", "avgFps")?.value ?? Number.NaN;
  test.for([
    { it: "holds within 1%", about: value * 1.009, give: "", holds: true },
    { it: "does not hold beyond 1%", about: value * 1.012, give: "", holds: false },
    { it: "holds within a tolerance in FPS", about: value + 4, give: ", give-or-take: 5 FPS", holds: true },
    { it: "does not hold beyond it", about: value + 6, give: ", give-or-take: 5 FPS", holds: false },
    {
      it: "holds within a tolerance in percent",
      about: value * 1.04,
      give: ", give-or-take: 5%",
      holds: true,
    },
  ])("$it", ({ about, give, holds }) => {
    const { outcome } = checkOne(`game: saltworks, config: stock, about: ${about.toFixed(3)} FPS${give}`);
    expect(outcome).toBe(holds ? "holds" : "fails");
  });

  test("is the geometric mean of the counted passes", () => {
    const fps = passes
      .filter(({ game, config }) => game === "saltworks" && config === "stock")
      .map(({ avgFps }) => avgFps as number);
    const product = fps.reduce((all, one) => all * one, 1);
    expect(value).toBeCloseTo(product ** (1 / fps.length), 9);
  });
});

describe("claims about several comparisons need each of them", () => {
  test.for([
    { claim: "game: kestrel-cup, order: quiet < stock < full", outcome: "holds" },
    { claim: "game: kestrel-cup, order: full > stock > quiet", outcome: "holds" },
    { claim: "game: kestrel-cup, order: quiet < full", outcome: "holds" },
    { claim: "game: kestrel-cup, order: stock < quiet < full", outcome: "fails" },
    { claim: "game: saltworks, order: quiet < stock < full", outcome: "fails" },
    { claim: "game: kestrel-cup, best: full", outcome: "holds" },
    { claim: "game: kestrel-cup, best: stock", outcome: "fails" },
    { claim: "game: kestrel-cup, worst: quiet", outcome: "holds" },
    { claim: "game: kestrel-cup, worst: full", outcome: "fails" },
    { claim: "game: saltworks, best: full", outcome: "fails" },
    { claim: "game: saltworks, config: quiet, differs-at-most: 3%", outcome: "holds" },
    { claim: "tag: fast, config: quiet, differs-at-most: 3%", outcome: "fails" },
    { claim: "tag: fast, config: quiet, differs-at-most: 15%", outcome: "holds" },
    { claim: "suite: true, config: quiet, differs-at-most: 5%", outcome: "fails" },
    { claim: "game: kestrel-cup, order: quiet < quiet", outcome: "error" },
    { claim: "game: kestrel-cup, order: quiet < loud", outcome: "error" },
  ])("$claim: $outcome", ({ claim, outcome }) => {
    expect(checkOne(claim).outcome).toBe(outcome);
  });
});

describe("another config than the baseline", () => {
  test.for([
    { claim: "game: kestrel-cup, config: full, against: quiet, is: higher", outcome: "holds" },
    { claim: "game: kestrel-cup, config: quiet, against: full, is: lower", outcome: "holds" },
    { claim: "game: kestrel-cup, config: stock, against: full, is: lower", outcome: "holds" },
    { claim: "game: kestrel-cup, config: stock, against: full, is: higher", outcome: "fails" },
    { claim: "game: kestrel-cup, config: stock, is: same", outcome: "error" },
    { claim: "game: kestrel-cup, config: full, against: full, is: same", outcome: "error" },
  ])("$claim: $outcome", ({ claim, outcome }) => {
    expect(checkOne(claim).outcome).toBe(outcome);
  });

  test("is looked up in the judgement that --baseline gives", () => {
    const found = new Comparisons({ own, judgeAgainst }).find(
      { game: "kestrel-cup", tag: null },
      "avgFps",
      "full",
      "quiet",
    );
    const asked = judgeAgainst("quiet").verdicts.find(
      (row) => row.game === "kestrel-cup" && row.config === "full" && row.metric === "avgFps",
    );
    expect(found).toEqual(ofVerdict(asked as Judgement["verdicts"][number]));
  });

  test("turned round is what swapping the two configs gives", () => {
    const two = makePasses(["stock", "quiet"]);
    const there = judgeSession(two, settingsFor("stock")).verdicts.map((row) => mirror(ofVerdict(row)));
    const back = judgeSession(two, settingsFor("quiet")).verdicts.map(ofVerdict);
    expect(there).toHaveLength(back.length);
    for (const [i, row] of there.entries()) {
      const other = back[i];
      expect(row.verdict).toBe(other?.verdict);
      for (const key of ["changePct", "lowPct", "highPct", "value", "againstValue"] as const)
        expect(row[key]).toBeCloseTo(other?.[key] as number, 8);
    }
  });

  test("cannot be told from a saved judgement, which says so", () => {
    const evidence = { own, judgeAgainst: () => null };
    const { claims } = check(
      "One. <!-- claim: { game: kestrel-cup, metric: average FPS, config: full, against: quiet, is: higher } -->",
      {},
      evidence,
    );
    expect(claims[0]?.problems.map(({ code }) => code)).toEqual(["claim-needs-captures"]);
  });
});

describe("names that do not exist are errors with the nearest one", () => {
  test.for([
    { claim: "game: kestrel-cpu, config: full, is: higher", nearest: "kestrel-cup" },
    { claim: "game: Kestrel Cup, config: full, is: higher", nearest: "kestrel-cup" },
    { claim: "game: kestrel-cup, config: ful, is: higher", nearest: "full" },
    { claim: "game: kestrel-cup, config: full, against: quite, is: higher", nearest: "quiet" },
    { claim: "tag: fats, config: full, is: higher", nearest: "fast" },
    { claim: "game: kestrel-cup, best: stokc", nearest: "stock" },
  ])("$claim", ({ claim, nearest }) => {
    expect(checkOne(claim).problems[0]).toMatchObject({ code: "claim-name-unknown", nearest });
  });

  test("and so is a metric that no pass has", () => {
    const { claims } = check(
      "One. <!-- claim: { game: saltworks, metric: CPU power, config: full, is: higher } -->",
    );
    expect(claims[0]?.problems[0]).toMatchObject({ code: "claim-no-data", metric: "CPU power" });
  });
});

describe("the sentence and its claim must say the same figures", () => {
  const claim = `${verdictOf.higher}, is: higher, by: 10%`;
  test.for([
    { sentence: "It gains 10%.", outcome: "holds" },
    { sentence: "It gains about ten percent in the 1% low.", outcome: "holds" },
    { sentence: "It gains.", outcome: "holds" },
    { sentence: "It gains 9%.", outcome: "fails" },
    { sentence: "It gains -10%.", outcome: "fails" },
    { sentence: "It gains 10% of what stock gives, 4% of it early on.", outcome: "holds" },
  ])("$sentence", ({ sentence, outcome }) => {
    const checked = checkOne(claim, sentence);
    expect(checked.outcome, reasonText(checked)).toBe(outcome);
  });

  test("rounded as the sentence rounds, and with the ends of its own tolerance", () => {
    expect(checkOne(`${verdictOf.higher}, is: higher, by: 9.8%`, "About 10%.").outcome).toBe("holds");
    expect(checkOne(`${verdictOf.higher}, is: higher, by: 10%, give-or-take: 2`, "8 to 12%.").outcome).toBe(
      "holds",
    );
  });
});

describe("numbers that no claim checks", () => {
  test.for([
    {
      text: "In Kestrel Cup full gains 10%.",
      suggestion: { game: "kestrel-cup", config: "full", is: "higher", byPct: 10 },
    },
    {
      text: "In Kestrel Cup it loses 10% on average.",
      suggestion: { game: "kestrel-cup", config: "quiet", is: "lower", byPct: -10 },
    },
    { text: "In Kestrel Cup it changes the average by 10%.", suggestion: null },
    { text: "In Kestrel Cup full gains 10% and quiet loses 10%.", suggestion: null },
    { text: "In Kestrel Cup full gains 40%.", suggestion: null },
    {
      text: "In Kestrel Cup full averages 110 FPS.",
      suggestion: { game: "kestrel-cup", config: "full", about: 110 },
    },
    {
      text: "In Saltworks the average with quiet is within margin of error.",
      suggestion: { game: "saltworks", config: "quiet", is: "within-noise" },
    },
    { text: "All within margin of error.", suggestion: null },
  ])("$text", ({ text, suggestion }) => {
    // The 1% low follows the average here, so that the metric has to be said.
    const said = text.includes("averag") ? text : text.replace("gains", "gains on average");
    const { unclaimed, holds } = check(said);
    expect(holds).toBe(true);
    expect(unclaimed).toHaveLength(1);
    if (suggestion === null) expect(unclaimed[0]?.suggestion).toBeNull();
    else expect(unclaimed[0]?.suggestion).toMatchObject(suggestion);
    expect(check(said, { requireClaims: true }).holds).toBe(false);
  });

  test.for([
    "Nothing was measured here.",
    "We tested six games.",
    "The 1% low is what matters.",
    `It gains 10%. <!-- claim: { ${verdictOf.higher}, metric: average FPS, by: +10% } -->`,
    "Drawn at 60 FPS. <!-- claim: { none: what the screen shows } -->",
  ])("none in: %s", (text) => {
    expect(check(text, { requireClaims: true })).toMatchObject({ unclaimed: [], holds: true });
  });

  test("are told with their sentence and its place, each figure once", () => {
    const { unclaimed } = check("Fine.\n\nIt gains 40%, or 41% at best, and 40% again.");
    expect(unclaimed).toEqual([
      {
        ...{ file: "x.md", line: 3, sentence: "It gains 40%, or 41% at best, and 40% again." },
        ...{ figures: ["40%", "41%"], suggestion: null },
      },
    ]);
  });

  test("a claim that checks the direction alone leaves the number open", () => {
    const { unclaimed } = check(
      `It gains 10%. <!-- claim: { ${verdictOf.higher}, metric: average FPS, is: higher } -->`,
    );
    expect(unclaimed.map(({ figures }) => figures)).toEqual([["10%"]]);
  });
});

describe("claims that contradict each other are told", () => {
  const pair = (first: string, second: string): string[] =>
    check(
      `One. <!-- claim: { metric: average FPS, ${first} } -->\nTwo. <!-- claim: { metric: average FPS, ${second} } -->`,
    ).problems.map(({ code }) => code);
  test.for([
    {
      first: "game: saltworks, config: quiet, is: same",
      second: "game: saltworks, config: quiet, is: higher",
      told: true,
    },
    {
      first: "game: saltworks, config: quiet, is: lower",
      second: "game: saltworks, config: stock, against: quiet, is: lower",
      told: true,
    },
    {
      first: "game: saltworks, config: quiet, is: lower",
      second: "game: saltworks, config: stock, against: quiet, is: higher",
      told: false,
    },
    {
      first: "game: saltworks, config: quiet, is: within-noise",
      second: "game: saltworks, config: quiet, is: same",
      told: false,
    },
    {
      first: "game: saltworks, config: quiet, is: same",
      second: "game: kestrel-cup, config: quiet, is: higher",
      told: false,
    },
  ])("$first; $second: $told", ({ first, second, told }) => {
    expect(pair(first, second)).toEqual(told ? ["claim-contradicts"] : []);
  });
});

describe("which claims speak of one comparison", () => {
  const problemsOf = (...claims: readonly string[]) =>
    check(
      claims
        .map((claim) => (claim.includes("metric") ? claim : `metric: average FPS, ${claim}`))
        .map((claim) => `One. <!-- claim: { ${claim} } -->`)
        .join("\n\n"),
    ).problems;
  const quiet = "game: saltworks, config: quiet";
  test.for([
    {
      title: "another metric",
      claims: [`${quiet}, is: same`, "game: saltworks, config: quiet, metric: 1% low, is: higher"],
    },
    { title: "another config", claims: [`${quiet}, is: same`, "game: saltworks, config: full, is: higher"] },
    { title: "all games and one", claims: ["suite: true, config: quiet, is: same", `${quiet}, is: higher`] },
    { title: "one without a word", claims: [`${quiet}, is: same`, `${quiet}, by: 9%`] },
    {
      title: "one that cannot be checked",
      claims: [`${quiet}, is: same`, "game: saltworks, config: quite, is: higher"],
    },
    { title: "an order", claims: [`${quiet}, is: same`, "game: saltworks, order: stock < quiet"] },
  ])("$title is none of a contradiction", ({ claims }) => {
    expect(problemsOf(...claims)).toEqual([]);
  });

  test("words narrow each other down: three may contradict where no two do", () => {
    const three = [`${quiet}, is: not-higher`, `${quiet}, is: not-lower`, `${quiet}, is: higher`];
    expect(problemsOf(...three.slice(0, 2))).toEqual([]);
    // What is neither higher nor lower is the same or unclear.
    expect(problemsOf(...three)).toEqual([
      {
        ...{ code: "claim-contradicts", severity: "warning", file: "x.md", line: 1 },
        at: expect.objectContaining({ file: "x.md", line: 5 }),
      },
    ]);
    const turned = "game: saltworks, config: stock, against: quiet, is: not-lower";
    expect(problemsOf(`${quiet}, is: not-higher`, turned)).toEqual([]);
    expect(problemsOf(`${quiet}, is: higher`, turned).map(({ code }) => code)).toEqual(["claim-contradicts"]);
  });

  test("each one that contradicts what came before is told, with the first that it contradicts", () => {
    const found = problemsOf(`${quiet}, is: same`, `${quiet}, is: higher`, `${quiet}, is: lower`);
    expect(found.map(({ at }) => at)).toMatchObject([{ line: 3 }, { line: 5 }]);
    expect(found).toMatchObject([{ line: 1 }, { line: 1 }]);
  });
});

describe("figures and names", () => {
  const odd = ["stock", "quiet-35w", "full-65w"];
  const titles = { games: [{ name: "saltworks", title: "Saltworks 144 FPS Edition" }], configs: [] };
  const judged = judgeSession(
    passesOf(
      odd.flatMap((config) =>
        ["1", "2"].map((pass) => ({
          game: "saltworks",
          config,
          pass,
          avgFps: 100 + Number(pass),
          cpuPowerW: 50,
        })),
      ),
    ),
    settingsFor("stock", { titles }),
  );
  const figuresOf = (script: string) =>
    check(script, {}, { own: judged, judgeAgainst: () => null }).unclaimed.map(({ figures }) => figures);

  test.for([
    { text: "At 35 watts it runs.", figures: [] },
    { text: "At 36 watts it runs.", figures: [["36 watts"]] },
    { text: "At 35% it runs.", figures: [["35%"]] },
    { text: "At 35 FPS it runs.", figures: [["35 FPS"]] },
    { text: "The 144 FPS edition runs.", figures: [] },
    { text: "It is quiet-35w that runs.", figures: [] },
    {
      text: "It takes 35 watts or 40 watts, 40 watts at most.",
      figures: [["40 watts"]],
    },
  ])("$text: $figures", ({ text, figures }) => {
    expect(figuresOf(text)).toEqual(figures);
  });

  test("a claim may check the number of a name", () => {
    const claim = "<!-- claim: { game: saltworks, config: stock, metric: CPU power, about: 35 W } -->";
    const { claims } = check(`It takes 35 watts. ${claim}`, {}, { own: judged, judgeAgainst: () => null });
    expect(claims[0]?.parts.map(({ about }) => about)).toEqual(["value"]);
    const other = check(`It takes 65 watts. ${claim}`, {}, { own: judged, judgeAgainst: () => null });
    expect(other.claims[0]?.parts.map(({ about }) => about)).toEqual(["value", "sentence"]);
  });
});

describe("what a sentence leaves open", () => {
  const claim = (more: string) => `<!-- claim: { ${verdictOf.higher}, metric: average FPS, ${more} } -->`;
  test.for([
    { text: `It gains 10% and then runs at 110 FPS. ${claim("by: +10%")}`, open: [["110 FPS"]] },
    { text: `It gains 10%, 4% early on. ${claim("by: +10%")}`, open: [["4%"]] },
    // A figure that is another than the claim's is told with the claim, not twice.
    { text: `It gains 9%. ${claim("by: +10%")}`, open: [] },
    { text: `It gains 9% and then runs at 110 FPS. ${claim("by: +10%")}`, open: [["110 FPS"]] },
    {
      text: `It gains 10% and then runs at 110 FPS. ${claim("by: +10%")} ${claim("about: 110 FPS")}`,
      open: [],
    },
    { text: `It gains 10%. ${claim("is: higher")} ${claim("by: +10%")}`, open: [] },
    // What a claim that cannot be read would check, nobody knows.
    { text: "It gains 10%. <!-- claim: { game: -->", open: [] },
    { text: `All within the noise. ${claim("is: higher")}`, open: [] },
    { text: "All within the noise.", open: [[]] },
    { text: "All within 3% of the noise.", open: [["3%"]] },
  ])("$text: $open", ({ text, open }) => {
    expect(check(text).unclaimed.map(({ figures }) => figures)).toEqual(open);
  });
});

describe("when a script holds", () => {
  const holding = `One. <!-- claim: { metric: average FPS, ${verdictOf.higher}, is: higher } -->`;
  const doubtful = `One. <!-- claim: { metric: average FPS, ${verdictOf.unclear}, is: within-noise } -->`;
  const failing = `One. <!-- claim: { metric: average FPS, ${verdictOf.higher}, is: lower } -->`;
  const stale = [{ code: "judgement-origin-unknown", severity: "warning", at: { file: "x" } }] as const;
  const holds = (script: string, strict: boolean, requireClaims: boolean, isStale: boolean): boolean =>
    checkClaims(
      readScript(script, "x.md"),
      { own, judgeAgainst },
      { strict, requireClaims },
      isStale ? stale : [],
    ).holds;
  test.for([
    {
      title: "every claim holds",
      script: holding,
      strict: true,
      requireClaims: true,
      isStale: false,
      expected: true,
    },
    {
      title: "one does not",
      script: `${holding}\n\n${failing}`,
      strict: false,
      requireClaims: false,
      isStale: false,
      expected: false,
    },
    {
      title: "one is in doubt",
      script: doubtful,
      strict: false,
      requireClaims: false,
      isStale: false,
      expected: true,
    },
    {
      title: "one is in doubt, strictly",
      script: doubtful,
      strict: true,
      requireClaims: false,
      isStale: false,
      expected: false,
    },
    {
      title: "the judgement is out of date",
      script: holding,
      strict: false,
      requireClaims: false,
      isStale: true,
      expected: true,
    },
    {
      title: "the judgement is out of date, strictly",
      script: holding,
      strict: true,
      requireClaims: false,
      isStale: true,
      expected: false,
    },
    {
      title: "a number has no claim",
      script: "It gains 10%.",
      strict: true,
      requireClaims: false,
      isStale: false,
      expected: true,
    },
    {
      title: "a number has no claim, where each needs one",
      script: "It gains 10%.",
      strict: false,
      requireClaims: true,
      isStale: false,
      expected: false,
    },
    {
      title: "nothing is said",
      script: "",
      strict: true,
      requireClaims: true,
      isStale: false,
      expected: true,
    },
  ])("$title: $expected", ({ script, strict, requireClaims, isStale, expected }) => {
    expect(holds(script, strict, requireClaims, isStale)).toBe(expected);
  });

  test("doubt is told with the claim that it is of, and with none that fails", () => {
    const doubts = (script: string, strict = false) =>
      check(script, { strict }).claims.map(({ doubt }) => doubt);
    expect(doubts(`${doubtful}\n\n${holding}\n\n${failing}`)).toEqual([true, false, false]);
    expect(doubts(doubtful, true)).toEqual([true]);
    const both = `It gains 99%. <!-- claim: { metric: average FPS, ${verdictOf.unclear}, is: within-noise, by: 99% } -->`;
    expect(doubts(both)).toEqual([false]);
  });

  test("what is out of date comes before contradictions", () => {
    const script = `${holding}\n\n${failing}`;
    const { problems } = checkClaims(
      readScript(script, "x.md"),
      { own, judgeAgainst },
      { strict: false, requireClaims: false },
      stale,
    );
    expect(problems.map(({ code }) => code)).toEqual(["judgement-origin-unknown", "claim-contradicts"]);
  });

  test("sentences whose numbers are no measurements are listed with the reason", () => {
    const { exempt, unclaimed } = check(
      "Drawn at 60 FPS. <!-- claim: { none: the screen's rate } -->\n\nFine.",
    );
    expect(exempt).toEqual([
      { file: "x.md", line: 1, sentence: "Drawn at 60 FPS.", why: "the screen's rate" },
    ]);
    expect(unclaimed).toEqual([]);
  });
});

test("tags of games that were not captured are unknown", () => {
  const more = {
    ...own,
    session: { ...own.session, tags: [...tags, { game: "ninth-lantern", tag: "slow" }] },
  };
  const { claims } = check(
    "One. <!-- claim: { tag: slow, metric: average FPS, config: quiet, is: same } -->",
    {},
    { own: more, judgeAgainst },
  );
  expect(claims[0]?.problems).toMatchObject([{ code: "claim-name-unknown", kind: "tag", names: ["fast"] }]);
});

test("claims found are those that hold, fail and cannot be checked", () => {
  const { counts, claims } = check(
    [
      `One. <!-- claim: { metric: average FPS, ${verdictOf.higher}, is: higher } -->`,
      `Two. <!-- claim: { metric: average FPS, ${verdictOf.higher}, is: lower } --> <!-- clam: { } -->`,
      "Three. <!-- claim: { metric: average FPS, game: nowhere, config: full, is: higher } --> <!-- claim: {",
    ].join("\n\n"),
  );
  expect(counts).toEqual({ found: 5, hold: 1, fail: 1, error: 3 });
  expect(claims).toHaveLength(5);
});

test("what is measured is said with its interval, and why it fails", () => {
  const checked = checkOne(`${verdictOf.lower}, is: higher`);
  expect(measuredText(checked)).toMatch(/^lower -\d+(\.\d)?% \(-\d+(\.\d+)? to -\d+(\.\d+)?%\)$/);
  expect(reasonText(checked)).toBe("claimed higher, but it is lower");
});

test("every metric has a name and a unit that a claim may use", () => {
  expect(new Set(Object.values(metricsByName))).toEqual(new Set(metrics));
  for (const metric of metrics) {
    expect(metricsByName).toMatchObject({ [metric]: metric, [metricLabel[metric]]: metric });
    expect(unitsByMetric[metric]).toMatch(/\S/);
  }
});

test("findings pass the check as they stand, with any names", () => {
  const odd = ['a --> "b" | <c>', "5% off: {x}, [y] # z", "\u202Eright", "null", "it's 60 FPS & more"];
  const renamed = passes.map((pass) => {
    const at = Object.keys(truth).indexOf(pass.game);
    return {
      ...pass,
      game: odd[at] as string,
      config: pass.config === "quiet" ? (odd[4] as string) : pass.config,
    };
  });
  for (const list of [passes, renamed]) {
    const judged = (baseline: string): Judgement => judgeSession(list, settingsFor(baseline, { tags: [] }));
    const findings = findingsOf(judged("stock"));
    expect(findings.said.length).toBeGreaterThan(3);
    expect(findings.notSaid.length).toBeGreaterThan(0);
    const script = findingsMarkdown(findings);
    const result = check(
      script,
      { strict: true, requireClaims: true },
      { own: judged("stock"), judgeAgainst: judged },
    );
    expect(
      result.claims.filter(({ outcome }) => outcome !== "holds").map((one) => [one.written, reasonText(one)]),
    ).toEqual([]);
    expect(result.unclaimed).toEqual([]);
    expect(result.holds).toBe(true);
    expect(result.counts.found).toBe(
      [...findings.said.flatMap(({ claims }) => claims), ...findings.notSaid].length,
    );
  }
});

test.for([1, 2, 3, 5])("findings pass the check whatever the data, with %d passes per config", (most) => {
  let told = 0;
  for (let seed = 1; seed <= 12; seed++) {
    const list = makePasses(["stock", "quiet", "full"], seed, most);
    const judged = (baseline: string): Judgement => judgeSession(list, settingsFor(baseline));
    const findings = findingsOf(judged("stock"));
    told += findings.said.length + findings.notSaid.length;
    const result = check(
      findingsMarkdown(findings),
      { strict: true, requireClaims: true },
      { own: judged("stock"), judgeAgainst: judged },
    );
    const failing = result.claims.filter(({ outcome }) => outcome !== "holds");
    expect(failing.map((one) => [one.sentence, one.written, reasonText(one)])).toEqual([]);
    expect(result.holds).toBe(true);
  }
  expect(told).toBeGreaterThan(12);
});
