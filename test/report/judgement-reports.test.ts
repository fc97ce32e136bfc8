import { parse } from "csv-parse/sync";
import { beforeAll, describe, expect, test } from "vitest";
import type { Judgement } from "../../src/index.ts";
import { judgementCsv, judgementMarkdown, judgementTable } from "../../src/index.ts";
import { rankRows } from "../../src/report/rank-rows.ts";
import { runCli } from "../support/run-cli.ts";

let judgement: Judgement;
beforeAll(() => {
  judgement = JSON.parse(runCli(["judge", "demo-data", "--format", "json"]).stdout);
});

describe("the table fits its page", () => {
  test.for([32, 40, 60, 79, 80, 100, 132, 200])("no line is longer than %i columns", (width) => {
    const text = judgementTable(judgement, { width, color: false }, { details: true });
    const longest = Math.max(...text.split("\n").map((line) => line.length));
    expect(longest).toBeLessThanOrEqual(width);
  });

  test("every verdict of the FPS metrics stands in it, in words, at any width", () => {
    for (const width of [40, 80, 160]) {
      const text = judgementTable(judgement, { width, color: false });
      const words = text.match(/\b(higher|lower|same|unclear) [-+]?\d/g) ?? [];
      const shown = judgement.verdicts.filter(({ metric }) => /Fps$/.test(metric)).length;
      expect(words.length).toBeGreaterThanOrEqual(shown);
    }
  });

  test("colour adds nothing that the words do not say", () => {
    const plain = judgementTable(judgement, { width: 80, color: false });
    const colored = judgementTable(judgement, { width: 80, color: true });
    expect(plain).not.toContain("\u001b");
    expect(colored).toContain("\u001b[");
    // biome-ignore lint/suspicious/noControlCharactersInRegex: colour codes are what is taken out
    expect(colored.replace(/\u001b\[\d+m/g, "")).toBe(plain);
  });

  test("a pass that does not count is named with its reason, however narrow", () => {
    for (const width of [40, 80, 160]) {
      const text = judgementTable(judgement, { width, color: false }).replace(/\s+/g, " ");
      expect(text).toContain("moss-and-marrow / full-65w / pass-3: slower than chance allows");
    }
  });
});

test("rows come with the largest and surest differences first, then what is open, then what is the same", () => {
  const kinds = rankRows(judgement).map(({ verdicts }) => {
    const words = [...verdicts.values()].map(({ verdict }) => verdict);
    return words.some((word) => word === "higher" || word === "lower")
      ? 2
      : words.includes("unclear")
        ? 1
        : 0;
  });
  expect(kinds).toEqual([...kinds].sort((a, b) => b - a));
  expect(rankRows(judgement)[0]).toMatchObject({ game: "ninth-lantern", config: "quiet-35w" });
});

describe("CSV", () => {
  test("has one row per verdict, and its numbers are the judgement's to the last digit", () => {
    const rows: Record<string, string>[] = parse(judgementCsv(judgement), { columns: true });
    expect(rows).toHaveLength(judgement.verdicts.length);
    for (const [i, verdict] of judgement.verdicts.entries()) {
      const row = rows[i] ?? {};
      for (const [name, cell] of Object.entries(row)) {
        const value = verdict[name as keyof typeof verdict];
        expect(cell).toBe(value === null ? "" : String(value));
      }
    }
  });

  test("ends its lines as RFC 4180 says", () => {
    expect(judgementCsv(judgement).split("\r\n").length).toBe(judgement.verdicts.length + 2);
  });
});

test("Markdown says every verdict, and lists all that is open", () => {
  const text = judgementMarkdown(judgement);
  const rows = text.split("\n").filter((line) => line.startsWith("| "));
  for (const { game, config } of judgement.verdicts) {
    expect(rows.some((row) => row.includes(`| ${game} | ${config} |`))).toBe(true);
  }
});
