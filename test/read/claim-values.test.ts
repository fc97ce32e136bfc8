import { describe, expect, test } from "vitest";
import { readClaim } from "../../src/read/read-claim.ts";

const at = { file: "x.md", line: 1, column: 1 };
/** A whole claim but for the keys in question. */
const read = (keys: string) =>
  readClaim(`{ game: saltworks, metric: average FPS, config: a, ${keys} }`, at, false);

describe("the size of a change carries its direction", () => {
  test.for([
    { keys: "is: lower, by: 9%", is: "lower", byPct: -9 },
    { keys: "is: higher, by: 12.25 %", is: "higher", byPct: 12.25 },
    { keys: "is: higher, by: 12", is: "higher", byPct: 12 },
    { keys: "is: lower, by: 1.75", is: "lower", byPct: -1.75 },
    { keys: "is: lower, by: -9%", is: "lower", byPct: -9 },
    { keys: "by: -9%", is: "lower", byPct: -9 },
    { keys: "by: +0.25%", is: "higher", byPct: 0.25 },
    // The minus sign of Unicode, as typesetters and word processors put it.
    { keys: "by: \u22129%", is: "lower", byPct: -9 },
    { keys: "is: not-higher, by: -9%", is: "not-higher", byPct: -9 },
    { keys: "is: same, by: 0", is: "same", byPct: 0 },
    { keys: "by: 0%", is: null, byPct: 0 },
    { keys: "is: higher", is: "higher", byPct: null },
  ])("$keys", ({ keys, is, byPct }) => {
    expect(read(keys).claim).toMatchObject({ is, byPct });
  });

  test.for(["x9%", "9%%", "9% or so", "9,5%", ".5%", "9.%", "--9%", "09", "10.", "5 points", "%"])(
    "by: %s is no change",
    (written) => {
      expect(read(`is: lower, by: "${written}"`).problems).toMatchObject([
        {
          code: "value-wrong",
          path: ["claim", "by"],
          seen: { kind: "scalar", text: written },
          expected: "change",
        },
      ]);
    },
  );
});

describe("a tolerance is in the unit that it says", () => {
  test.for([
    { written: "2", value: 2, unit: null },
    { written: "2%", value: 2, unit: "%" },
    { written: "1.25 FPS", value: 1.25, unit: "FPS" },
    { written: "10fps", value: 10, unit: "FPS" },
    { written: "0.05", value: 0.05, unit: null },
  ])("$written", ({ written, value, unit }) => {
    expect(read(`about: 60, give-or-take: ${written}`).claim?.giveOrTake).toEqual({ value, unit });
  });

  test.for(["x2", "2 %%", "-2", "2 hours", "2.", ".5", "2  W", "FPS"])("%s is none", (written) => {
    expect(read(`about: 60, give-or-take: "${written}"`).problems).toMatchObject([
      { code: "value-wrong", path: ["claim", "give-or-take"], expected: "margin" },
    ]);
  });
});

describe("a value keeps the decimals it was written with", () => {
  test.for([
    { metric: "average FPS", written: "60", value: 60, decimals: 0 },
    { metric: "average FPS", written: "59.94 FPS", value: 59.94, decimals: 2 },
    { metric: "1% low", written: "100.0fps", value: 100, decimals: 1 },
    { metric: "CPU power", written: "54 W", value: 54, decimals: 0 },
    { metric: "FPS per watt", written: "1.750 FPS/W", value: 1.75, decimals: 3 },
    { metric: "energy per frame", written: "0.05J", value: 0.05, decimals: 2 },
  ])("$metric about $written", ({ metric, written, value, decimals }) => {
    const source = `{ game: saltworks, metric: ${metric}, config: a, about: ${written} }`;
    expect(readClaim(source, at, false)).toMatchObject({
      claim: { about: { value, decimals }, giveOrTake: null, is: null, byPct: null },
      problems: [],
    });
  });

  test.for(["0", "0.00 FPS", "x60", "60 hertz", "60 FPS!", "-60", ".5", "60.", "FPS"])(
    "%s is no value",
    (written) => {
      expect(read(`about: "${written}"`).problems).toMatchObject([
        { code: "value-wrong", path: ["claim", "about"], expected: "figure" },
      ]);
    },
  );
});

describe("how far games may differ at most", () => {
  test.for([
    { written: "3%", pct: 3 },
    { written: "3", pct: 3 },
    { written: "12.75", pct: 12.75 },
    { written: "0.25 %", pct: 0.25 },
  ])("$written", ({ written, pct }) => {
    expect(read(`differs-at-most: ${written}`).claim?.differsAtMostPct).toBe(pct);
  });

  test.for(["x3%", "3%%", "-3%", "3 points", "3.", "03"])("%s is no percent", (written) => {
    expect(read(`differs-at-most: "${written}"`).problems).toMatchObject([
      { code: "value-wrong", path: ["claim", "differs-at-most"], expected: "percent" },
    ]);
  });
});

describe("a ranking", () => {
  const ranked = (keys: string) => readClaim(`{ game: saltworks, metric: 1% low, ${keys} }`, at, false);

  test.for([
    { keys: "order: quiet < stock<full", claim: { order: ["quiet", "stock", "full"] } },
    { keys: "order: full 65 W > stock > quiet", claim: { order: ["quiet", "stock", "full 65 W"] } },
    { keys: "order: a < b", claim: { order: ["a", "b"] } },
    { keys: "best: full", claim: { best: "full", worst: null, order: null } },
    { keys: "worst: 35", claim: { best: null, worst: "35", order: null } },
  ])("$keys", ({ keys, claim }) => {
    expect(ranked(keys)).toMatchObject({ claim: { config: null, is: null, ...claim }, problems: [] });
  });

  test.for(["a", "a <", "< a", "a < b > c", "a > b < c", "<", "a < b <"])("%s is no order", (written) => {
    expect(ranked(`order: "${written}"`).problems).toMatchObject([
      { code: "value-wrong", path: ["claim", "order"], expected: "order" },
    ]);
  });
});

describe("what a claim speaks of", () => {
  test.for([
    { scope: "game: saltworks", is: { kind: "game", game: "saltworks" } },
    { scope: "suite: true", is: { kind: "suite" } },
    { scope: "tag: racing", is: { kind: "tag", tag: "racing" } },
    { scope: "game: 2048", is: { kind: "game", game: "2048" } },
  ])("$scope", ({ scope, is }) => {
    const { claim } = readClaim(`{ ${scope}, metric: 1% low, config: a, is: same }`, at, false);
    expect(claim).toEqual({
      scope: is,
      metric: "low1Fps",
      config: "a",
      against: null,
      is: "same",
      byPct: null,
      giveOrTake: null,
      about: null,
      differsAtMostPct: null,
      order: null,
      best: null,
      worst: null,
    });
  });

  // Unicode Standard Annex 15: the decomposed and the composed form are the same text.
  test("names arrive in composed form, whatever form the script has", () => {
    const name = "Cafe\u0301";
    const composed = "Caf\u00e9";
    const compared = readClaim(
      `{ game: ${name}, metric: low1Fps, config: ${name}, against: ${name}, is: same }`,
      at,
      false,
    );
    expect(compared.claim).toMatchObject({ scope: { game: composed }, config: composed, against: composed });
    const tagged = readClaim(`{ tag: ${name}, metric: low1Fps, order: ${name} < a }`, at, false);
    expect(tagged.claim).toMatchObject({ scope: { tag: composed }, order: [composed, "a"] });
    const best = readClaim(`{ suite: true, metric: low1Fps, best: ${name}, worst: ${name} }`, at, false);
    expect(best.claim).toMatchObject({ best: composed, worst: composed });
  });

  test("every game together is true and nothing else", () => {
    const { problems } = readClaim("{ suite: false, metric: 1% low, config: a, is: same }", at, false);
    expect(problems).toMatchObject([
      { code: "value-wrong", path: ["claim", "suite"], expected: { oneOf: ["true"] } },
    ]);
  });
});
