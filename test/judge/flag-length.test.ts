import { describe, expect, test } from "vitest";
import { flagLengths } from "../../src/judge/flag-length.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "../support/make-pass.ts";
import { settingsFor } from "../support/session-fixtures.ts";

const cell = (seconds: readonly number[], config = "stock"): PassSummary[] =>
  seconds.map((each, i) => ({
    ...makePass({ game: "saltworks", config, pass: `pass-${i + 1}` }, { avgFps: 100 + 0.1 * i }),
    seconds: each,
  }));
const flagged = (passes: readonly PassSummary[]): string[] =>
  [...flagLengths(passes).keys()].map(({ config, pass }) => `${config} ${pass}`);

// Less than 3 / 4 of the median length, or more than 4 / 3: common practice, no source.
describe("a pass that lasts unlike its cell's other passes", () => {
  test.for([
    { it: "all alike", seconds: [60, 61, 59.5], told: [] },
    { it: "one ended early", seconds: [60, 20, 60, 61], told: ["stock pass-2"] },
    { it: "one ended late", seconds: [60, 60, 95], told: ["stock pass-3"] },
    { it: "of two, either may be right", seconds: [60, 20], told: ["stock pass-1", "stock pass-2"] },
    { it: "three quarters are enough", seconds: [60, 45, 60], told: [] },
    { it: "less is not", seconds: [60, 44.9, 60], told: ["stock pass-2"] },
    { it: "four thirds are not too long", seconds: [60, 80, 60], told: [] },
    { it: "more is", seconds: [60, 80.1, 60], told: ["stock pass-2"] },
    { it: "alone it has none to be held to", seconds: [20], told: [] },
  ])("$it: $seconds", ({ seconds, told }) => {
    expect(flagged(cell(seconds))).toEqual(told);
  });

  test("is held to those of its game and config: a slower one may take longer over the same frames", () => {
    const other = cell([25, 25]).map((pass) => ({ ...pass, game: "kestrel-cup" }));
    expect(flagged([...cell([60, 60]), ...cell([95, 95], "quiet"), ...other])).toEqual([]);
  });

  test("is told with both lengths, counts, and is named in a caution", () => {
    const passes = [...cell([60, 20, 60]), ...cell([60, 60, 60], "quiet")];
    expect([...flagLengths(passes).values()]).toEqual([
      { code: "length-differs", seconds: 20, medianSeconds: 60 },
    ]);
    const { passes: judged, cautions } = judgeSession(passes, settingsFor("stock"));
    const [told] = judged.filter(({ flags }) => flags.some(({ code }) => code === "length-differs"));
    expect(told).toMatchObject({ pass: "pass-2", counted: true });
    expect(told?.flags[0]?.text).toContain("lasts 20.0 s, the cell's median is 60.0 s");
    expect(cautions.find(({ code }) => code === "length-differs")?.text).toContain("saltworks/stock/pass-2");
  });

  test("is not looked at where it does not count anyway, and holds no other to its length", () => {
    const setAside = [{ game: "saltworks", config: "stock", boot: null, pass: "pass-2", why: "ended early" }];
    const passes = [...cell([60, 20]), ...cell([60, 60], "quiet")];
    const { passes: judged } = judgeSession(passes, settingsFor("stock", { setAside }));
    expect(judged.flatMap(({ flags }) => flags.map(({ code }) => code))).toEqual(["set-aside"]);
  });
});
