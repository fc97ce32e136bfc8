import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { framesNeeded } from "../../../src/measure/frames-needed.ts";
import { defaultSession } from "../../../src/read/default-session.ts";
import { type Block, documentMarkdown, documentText } from "../../../src/report/explain/document.ts";
import { allPages, findPages } from "../../../src/report/explain/find-pages.ts";
import { methodPage } from "../../../src/report/explain/method-page.ts";

/** Codes as the sources spell them: in unions of facts, and where one is made. */
function codesIn(file: string): string[] {
  const text = readFileSync(file, "utf8");
  return [...text.matchAll(/readonly code: ((?:"[a-z0-9-]+"(?: \| )?)+)/g)].flatMap(([, union = ""]) =>
    [...union.matchAll(/"([^"]+)"/g)].map(([, code]) => code as string),
  );
}

describe("pages", () => {
  // The compiler asks for each page; this would see a union that no table of pages is typed by.
  test.for([
    {
      kind: "flag",
      files: [
        "src/read/log.ts",
        "src/measure/pass-summary.ts",
        "src/judge/flag-pace.ts",
        "src/judge/flag-length.ts",
        "src/judge/describe-flag.ts",
      ],
    },
    { kind: "caution", files: ["src/judge/describe-caution.ts"] },
    { kind: "problem", files: ["src/shared/problem.ts"] },
  ])("there is one for every $kind that the sources name, and no other", ({ kind, files }) => {
    const named = [...new Set(files.flatMap(codesIn))].sort();
    const paged = allPages.filter((page) => page.kind === kind).map(({ code }) => code);
    expect(named.length).toBeGreaterThan(10);
    expect([...paged].sort()).toEqual(named);
  });

  test.for(allPages.map((page) => ({ name: `${page.kind} ${page.code}`, page })))(
    "$name: whole sentences, the first of them short enough for a list",
    ({ page: { means, found, todo, source } }) => {
      expect(means.length).toBeLessThan(150);
      for (const text of [means, found, todo]) {
        expect(text).toMatch(/^[A-Z0-9`-].*\.$/s);
        expect(text.split("`").length % 2, "backticks come in pairs").toBe(1);
      }
      expect(source).toMatch(/\S/);
      expect(means + found + todo + source).not.toMatch(/undefined|NaN|\bnull\b| {2}/);
    },
  );

  test.for([
    { code: "log-emty", nearest: "log-empty" },
    { code: "Unusually_Slow", nearest: "unusually-slow" },
    { code: "metod", nearest: "method" },
    { code: "something else", nearest: null },
  ])("$code is no code; nearest is $nearest", ({ code, nearest }) => {
    expect(findPages(code)).toEqual({ pages: [], nearest });
  });

  test("a code that is a flag and a caution has both pages", () => {
    expect(findPages("passes-disagree").pages.map(({ kind }) => kind)).toEqual(["flag", "caution"]);
    expect(findPages("ONE-BOOT").pages.map(({ kind }) => kind)).toEqual(["caution"]);
  });
});

describe("the method page", () => {
  const text = documentText(methodPage(), { width: 100_000, color: false });

  test("cites every source that it lists, and lists every one it cites", () => {
    const [body = "", end = ""] = text.split("\nSources\n");
    const listed = end
      .split("\n")
      .filter((line) => line.startsWith("- "))
      .map((line) => /^- (.*?) (\d{4}),/.exec(line)?.slice(1, 3) ?? []);
    expect(listed.length).toBeGreaterThan(12);
    for (const [authors, year] of listed)
      expect(body, `${authors} ${year}`).toMatch(new RegExp(`${authors}[^.]{0,14}${year}`));
    const cited = [
      ...body.matchAll(/([A-Z][a-z]+)(?:, [A-Z][a-z]+)?(?: & [A-Z][a-z]+)?(?:'s [a-z]+)? \(?(\d{4})\)?/g),
    ];
    expect(cited.length).toBeGreaterThan(15);
    for (const [whole, , year] of cited) expect(end, whole).toContain(String(year));
  });

  test("its numbers are the program's own", () => {
    expect(text).toContain(`Below ${defaultSession.mattersPct}%`);
    expect(text).toContain(`a ${defaultSession.confidencePct}% interval`);
    expect(text).toContain("1% low is given from 1,000 frames on");
    expect(framesNeeded.low1Fps.needed).toBe(1000);
    // ln 1.03 either way: 1 - 1 / 1.03 = 2.9%.
    expect(text).toContain("within -2.9% and +3%");
    expect(text).toContain("below 0.01%");
  });

  test("speaks of limits, and of harm where it speaks of power", () => {
    expect(text).toContain("What it cannot see");
    expect(text).toContain("follow the maker's documentation and qualified practice");
  });
});

describe("a page as Markdown", () => {
  const blocks: Block[] = [
    { kind: "heading", text: "`a_b`: x_y" },
    { kind: "list", items: ["<game> & `<config>` *", "[x] | ~"] },
  ];
  test("has no markup but its own", () => {
    expect(documentMarkdown(blocks)).toBe(
      "## `a_b`: x\\_y\n\n- &lt;game> & `<config>` \\*\n- \\[x\\] \\| \\~\n",
    );
  });
  test("as text keeps within the width", () => {
    const text = documentText(methodPage(), { width: 80, color: false });
    expect(Math.max(...text.split("\n").map(({ length }) => length))).toBeLessThanOrEqual(80);
  });
});
