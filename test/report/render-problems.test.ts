import { describe, expect, test } from "vitest";
import { renderProblems } from "../../src/report/describe-problem.ts";
import type { Problem } from "../../src/shared/problem.ts";

const empty = (file: string): Problem => ({ code: "log-empty", severity: "error", at: { file } });
const cut = (file: string, fps: number): Problem => ({
  ...{ code: "nothing-in-window", severity: "error", at: { file } },
  ...{ skipS: 90, lengthS: fps },
});
const passes = (count: number): string[] =>
  Array.from({ length: count }, (_, i) => `saltworks/stock/pass-${i + 1}.csv`);

describe("at a terminal", () => {
  const shown = (problems: readonly Problem[], width = 80): string =>
    renderProblems(problems, { color: false, width });

  test("what is said of three files alike is said once, with the names of all", () => {
    expect(shown(passes(3).map(empty))).toBe(
      [
        "saltworks/stock/pass-1.csv: error: the log is empty; it is left out",
        "  the same of 2 more: saltworks/stock/pass-2.csv, saltworks/stock/pass-3.csv",
        "more: runjury explain log-empty",
        "",
      ].join("\n"),
    );
  });

  test("nor do the paths that each is told with", () => {
    const misfit = (file: string): Problem => ({
      ...{ code: "layout-no-match", severity: "error", at: { file } },
      ...{ pattern: "{game}_{config}_{pass}", path: file },
    });
    const twice = (file: string): Problem => ({
      ...{ code: "pass-filed-twice", severity: "error", at: { file } },
      other: `old/${file}`,
    });
    const told = shown([...passes(9).map(misfit), ...passes(9).map(twice)]);
    expect(told.match(/error: /g)).toHaveLength(2);
    expect(told.match(/the same of 8 more: /g)).toHaveLength(2);
  });

  test("figures do not make it another message, other words do", () => {
    const told = shown([...passes(3).map((file, i) => cut(file, 70 + i)), ...passes(2).map(empty)]);
    expect(told.match(/error: /g)).toHaveLength(3);
  });

  test("of very many files the first dozen is named", () => {
    expect(shown(passes(40).map(empty))).toMatch(/pass-13\.csv and 27 more\n/);
  });

  test("lines break between words", () => {
    const lines = shown(
      [{ code: "baseline-needed", severity: "error", at: { file: "" }, configs: ["a", "b"] }],
      40,
    );
    expect(Math.max(...lines.split("\n").map((line) => line.length))).toBeLessThanOrEqual(40);
  });
});

test("elsewhere each file has a message of its own, on one line", () => {
  const told = renderProblems(passes(5).map(empty), { color: false });
  expect(told.match(/^saltworks\S+ error: the log is empty; it is left out$/gm)).toHaveLength(5);
});
