import { describe, expect, test } from "vitest";
import { readClaim } from "../../src/read/read-claim.ts";

const read = (keys: string) => readClaim(`{ ${keys} }`, { file: "x.md", line: 1, column: 1 }, false);
const ofGame = "game: a, metric: 1% low, config: quiet";
const ofSuite = "suite: true, metric: 1% low, config: quiet";

describe("keys of a claim that need or exclude each other", () => {
  test.for([
    { keys: `${ofSuite}, about: 60`, clashes: ["suite about needs-game"] },
    { keys: "tag: racing, metric: 1% low, config: a, about: 60", clashes: ["tag about needs-game"] },
    { keys: `${ofGame}, against: full, about: 60`, clashes: ["about against not-compared"] },
    { keys: `${ofGame}, is: same, give-or-take: 2`, clashes: ["by or about give-or-take needs-figure"] },
    { keys: `${ofGame}, by: -9%, about: 60, give-or-take: 2`, clashes: ["by give-or-take one-figure"] },
    { keys: `${ofGame}, by: -9%, about: 60, give-or-take: 2 W`, clashes: ["by give-or-take one-figure"] },
    { keys: `${ofGame}, about: 60 W`, clashes: ["metric about units-differ"] },
    {
      keys: "game: a, metric: CPU power, config: quiet, about: 60 FPS",
      clashes: ["metric about units-differ"],
    },
    { keys: `${ofGame}, by: -9%, give-or-take: 2 FPS`, clashes: ["by give-or-take units-differ"] },
    { keys: `${ofGame}, about: 60, give-or-take: 2 W`, clashes: ["about give-or-take units-differ"] },
    { keys: `${ofGame}, is: lower, by: +9%`, clashes: ["is by directions-differ"] },
    { keys: `${ofGame}, is: higher, by: -9%`, clashes: ["is by directions-differ"] },
    { keys: `${ofGame}, by: 9%`, clashes: ["is by needs-direction"] },
    { keys: `${ofGame}, is: same, by: 9%`, clashes: ["is by needs-direction"] },
    {
      keys: "game: a, metric: 1% low, config: quiet, order: quiet < full",
      clashes: ["order config alone"],
    },
    {
      keys: "game: a, metric: 1% low, config: quiet, best: full, against: stock, is: higher",
      clashes: ["best is alone", "best config alone", "best against alone"],
    },
    {
      keys: `${ofGame}, worst: quiet, by: -9%, about: 60, differs-at-most: 5%`,
      clashes: ["worst by alone", "worst about alone", "worst differs-at-most alone", "worst config alone"],
    },
    { keys: "none: on screen, game: a", clashes: ["none game alone"] },
    { keys: "none: on screen, suite: true, is: same", clashes: ["none suite alone", "none is alone"] },
  ])("$keys", ({ keys, clashes }) => {
    const { claim, problems } = read(keys);
    expect(claim).toBeNull();
    expect(
      problems.map((problem) => problem.code === "claim-clash" && [...problem.keys, problem.why].join(" ")),
    ).toEqual(clashes);
  });

  test.for([
    `${ofGame}, against: full, is: lower, about: 60`,
    `${ofGame}, against: full, is: lower`,
    `${ofGame}, against: full, by: -9%`,
    `${ofGame}, by: -9%, give-or-take: 2`,
    `${ofGame}, by: -9%, give-or-take: 2%`,
    `${ofGame}, about: 60, give-or-take: 2`,
    `${ofGame}, about: 60, give-or-take: 2%`,
    `${ofGame}, about: 60 FPS, give-or-take: 2 FPS`,
    `${ofGame}, is: lower, by: -9%, about: 60`,
    `${ofGame}, is: unclear, by: -9%`,
    `${ofGame}, is: same, by: 0%`,
    `${ofGame}, differs-at-most: 3%`,
    `${ofSuite}, is: higher, by: 9%`,
    "suite: true, metric: 1% low, order: a < b, best: b, worst: a",
  ])("%s go together", (keys) => {
    const { claim, problems } = read(keys);
    expect(problems).toEqual([]);
    expect(claim).not.toBeNull();
  });
});

describe("keys that a claim cannot do without", () => {
  test.for([
    { keys: "metric: 1% low, config: a, is: same", problem: { code: "claim-scope", given: [] } },
    {
      keys: "game: a, tag: b, metric: 1% low, config: a, is: same",
      problem: { code: "claim-scope", given: ["game", "tag"] },
    },
    { keys: "game: a, config: a, is: same", problem: { code: "key-missing", in: ["claim"], key: "metric" } },
    // Which unit it would need is not known yet.
    { keys: "game: a, config: a, about: 60 W", problem: { code: "key-missing", key: "metric" } },
    {
      keys: "game: a, metric: 1% low, is: same",
      problem: { code: "key-missing", in: ["claim"], key: "config" },
    },
    { keys: "game: a, metric: 1% low, about: 60", problem: { code: "key-missing", key: "config" } },
    { keys: "game: a, metric: 1% low, by: -9%", problem: { code: "key-missing", key: "config" } },
    { keys: "game: a, metric: 1% low, differs-at-most: 3%", problem: { code: "key-missing", key: "config" } },
    {
      keys: "game: a, metric: 1% low",
      problem: {
        code: "claim-says-nothing",
        keys: ["is", "by", "about", "differs-at-most", "order", "best", "worst"],
      },
    },
  ])("$keys", ({ keys, problem }) => {
    const { claim, problems } = read(keys);
    expect(claim).toBeNull();
    expect(problems).toMatchObject([{ severity: "error", ...problem }]);
  });

  test("a value over several scopes is told that it has several, and no more", () => {
    const { problems } = read("game: a, suite: true, metric: 1% low, config: a, about: 60");
    expect(problems.map(({ code }) => code)).toEqual(["claim-scope"]);
    const without = read("metric: 1% low, config: a, about: 60");
    expect(without.problems.map(({ code }) => code)).toEqual(["claim-scope"]);
  });
});

describe("the reason why a sentence needs no claim", () => {
  test("stands alone", () => {
    expect(read("none: on screen")).toMatchObject({ exempt: "on screen", claim: null, problems: [] });
  });

  test("is none for an ordinary claim", () => {
    expect(read(`${ofGame}, is: same`)).toMatchObject({ exempt: null, say: null });
  });
});
