import { describe, expect, test } from "vitest";
import { chooseBaseline, guessBaseline } from "../../src/judge/choose-baseline.ts";
import { RunError } from "../../src/shared/problem.ts";

describe("the baseline that names suggest", () => {
  test.for([
    { configs: ["parked", "stock"], baseline: "stock" },
    { configs: ["default", "parked"], baseline: "default" },
    { configs: ["parked", "Baseline"], baseline: "Baseline" },
    { configs: ["REFERENCE"], baseline: "REFERENCE" },
    { configs: ["stock", "default"], baseline: null },
    { configs: ["stocky", "parked"], baseline: null },
    { configs: [], baseline: null },
  ])("$configs: $baseline", ({ configs, baseline }) => {
    expect(guessBaseline(configs)).toBe(baseline);
  });
});

describe("the baseline of a session", () => {
  test.for([
    { title: "the one asked for", configs: ["parked", "stock"], wanted: "parked", baseline: "parked" },
    {
      title: "the one asked for, in whatever form its letters are written",
      configs: ["parked", "caf\u00e9"],
      wanted: "cafe\u0301",
      baseline: "caf\u00e9",
    },
    {
      title: "else the one with a usual name",
      configs: ["parked", "stock"],
      wanted: null,
      baseline: "stock",
    },
  ])("is $title", ({ configs, wanted, baseline }) => {
    expect(chooseBaseline(configs, wanted)).toBe(baseline);
  });

  const at = { file: "" };
  test.for([
    {
      title: "without configs there is nothing to judge",
      ...{ configs: [], wanted: "stock", problem: { code: "nothing-to-judge" } },
    },
    {
      title: "a name that does not exist is told with the nearest one",
      ...{ configs: ["stock", "parked"], wanted: "stokc" },
      problem: {
        code: "baseline-unknown",
        baseline: "stokc",
        nearest: "stock",
        configs: ["stock", "parked"],
      },
    },
    {
      title: "one config cannot be compared",
      ...{ configs: ["stock"], wanted: "stock", problem: { code: "one-config", config: "stock" } },
    },
    {
      title: "a wrong name comes before the want of a second config",
      ...{ configs: ["stock"], wanted: "parked" },
      problem: { code: "baseline-unknown", baseline: "parked", nearest: null, configs: ["stock"] },
    },
    {
      title: "nobody can tell from two unusual names",
      ...{ configs: ["quiet", "full"], wanted: null },
      problem: { code: "baseline-needed", configs: ["quiet", "full"] },
    },
  ])("$title", ({ configs, wanted, problem }) => {
    const problems = [{ severity: "error", at, ...problem }];
    expect(() => chooseBaseline(configs, wanted)).toThrow(RunError);
    expect(() => chooseBaseline(configs, wanted)).toThrow(expect.objectContaining({ problems }));
  });
});
