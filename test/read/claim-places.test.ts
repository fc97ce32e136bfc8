import { describe, expect, test } from "vitest";
import { readClaim } from "../../src/read/read-claim.ts";

/** As if the claim began in the middle of line 10. */
const at = { file: "x.md", line: 10, column: 21 };

describe("what is wrong with a claim is told with its place in the script", () => {
  test.for([
    {
      it: "a key said twice, and where first",
      source: "{ suite: true,\n  tag: a,\n  tag: b }",
      problem: { code: "key-twice", key: "tag", firstLine: 11 },
      line: 12,
      column: 3,
    },
    {
      it: "an unknown key",
      source: "{ gaem: a, metric: 1% low, config: a, is: same }",
      problem: { code: "key-unknown", in: ["claim"], key: "gaem", nearest: "game" },
      line: 10,
      column: 23,
    },
    {
      it: "a wrong value in a later line",
      source: "\n  suite: true\n  metric: 1% low\n  config: a\n  is: hihger\n",
      problem: { code: "value-wrong", path: ["claim", "is"] },
      line: 14,
      column: 7,
    },
    {
      it: "a percent that could be a fraction",
      source: "{ suite: true, metric: 1% low, config: a,\n differs-at-most: 0.03 }",
      problem: { code: "percent-unclear", path: ["claim", "differs-at-most"], readings: ["3%", "0.03%"] },
      line: 11,
      column: 19,
    },
    {
      it: "a missing key",
      source: "{ suite: true, metric: 1% low, is: same }",
      problem: { code: "key-missing", in: ["claim"], key: "config" },
      line: 10,
      column: 21,
    },
    {
      it: "broken YAML",
      source: "{ suite: true",
      problem: { code: "yaml-broken" },
      line: 10,
      column: 34,
    },
    {
      it: "keys that clash",
      source: "{ suite: true, metric: 1% low, config: a, about: 60 }",
      problem: { code: "claim-clash", keys: ["suite", "about"] },
      line: 10,
      column: 63,
    },
  ])("$it", ({ source, problem, line, column }) => {
    const reading = readClaim(source, at, false);
    expect(reading.claim).toBeNull();
    expect(reading.problems).toMatchObject([{ severity: "error", ...problem }]);
    expect(reading.problems[0]?.at).toEqual({ file: "x.md", line, column });
  });

  test("a claim of an unreasonable length is refused unread, and shown by its beginning", () => {
    const longest = `{ none: ${"x".repeat(9_990)} }`;
    expect(longest).toHaveLength(10_000);
    expect(readClaim(longest, at, false).problems).toEqual([]);
    const { claim, written, problems } = readClaim(` ${longest}`, at, false);
    expect(claim).toBeNull();
    expect(written).toBe(longest.slice(0, 79));
    expect(problems).toEqual([
      { code: "script-too-long", severity: "error", at, characters: 10_001, most: 10_000 },
    ]);
  });
});

describe("a claim as it could be pasted behind a sentence", () => {
  test.for([
    { source: "{ game: a,\n   is:   same }", written: "{ game: a, is: same }" },
    { source: "\n  game: a\n\n  is:  same\n", written: "{ game: a, is: same }" },
    { source: "  game: a", written: "{ game: a }" },
    { source: " \n ", written: "" },
  ])("$source", ({ source, written }) => {
    expect(readClaim(source, at, false).written).toBe(written);
  });
});

describe("an entry of a list of claims", () => {
  test("brings its sentence along", () => {
    const source = "say: One.\nsuite: true\nmetric: 1% low\nconfig: a\nis: same";
    expect(readClaim(source, at, true)).toMatchObject({ say: "One.", problems: [], exempt: null });
  });

  test("cannot do without one", () => {
    const { problems } = readClaim("{ suite: true, metric: 1% low, config: a, is: same }", at, true);
    expect(problems).toMatchObject([{ code: "key-missing", in: ["claim"], key: "say" }]);
  });

  test("gives a reason beside its sentence, and that is all it needs", () => {
    expect(readClaim("{ say: One., none: on screen }", at, true)).toMatchObject({
      say: "One.",
      exempt: "on screen",
      problems: [],
    });
  });

  test("in a script, a sentence has no place in the claim itself", () => {
    const { problems } = readClaim("{ say: One., none: why }", at, false);
    expect(problems).toMatchObject([{ code: "key-unknown", key: "say" }]);
  });
});
