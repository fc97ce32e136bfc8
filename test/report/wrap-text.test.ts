import { describe, expect, test } from "vitest";
import { breakText, textWidth, wrapText } from "../../src/report/wrap-text.ts";

// Widths of characters: Unicode Standard Annex 11, East Asian Width: wide ones take two columns.
describe("columns that a text takes", () => {
  test.for([
    { text: "moss", width: 4 },
    { text: "省電模式", width: 8 },
    { text: "e\u0301", width: 1 },
    { text: "\u001b[31mmoss\u001b[39m", width: 4 },
  ])("$text: $width", ({ text, width }) => {
    expect(textWidth(text)).toBe(width);
  });
});

describe("a paragraph", () => {
  test("breaks between words, later lines with the indent, the first with its own", () => {
    expect(wrapText("  no pass of it counts", 10, "    ")).toBe("  no pass\n    of it\n    counts");
  });

  test("counts columns, not letters", () => {
    expect(wrapText("省電 省電 省電", 10)).toBe("省電 省電\n省電");
  });

  test("leaves a word whole that is wider than the line", () => {
    expect(wrapText("a moss-and-marrow b", 6)).toBe("a\nmoss-and-marrow\nb");
  });
});

describe("a name", () => {
  test.for([
    { title: "that fits stays", name: "tide-runner", width: 11, lines: ["tide-runner"] },
    {
      title: "breaks anywhere without spaces",
      name: "moss-and-marrow",
      width: 6,
      lines: ["moss-a", "nd-mar", "row"],
    },
    {
      title: "breaks at a late space",
      name: "the long winding name",
      width: 10,
      lines: ["the long", "winding", "name"],
    },
    { title: "breaks at a space right behind the line", name: "moss and", width: 4, lines: ["moss", "and"] },
    { title: "not at an early one", name: "a mossandmarrow", width: 8, lines: ["a mossan", "dmarrow"] },
    { title: "of wide characters fills half as many", name: "省電模式", width: 5, lines: ["省電", "模式"] },
    { title: "keeps a flag whole", name: "a🇩🇪b", width: 2, lines: ["a", "🇩🇪", "b"] },
  ])("$title", ({ name, width, lines }) => {
    expect(breakText(name, width).split("\n")).toEqual(lines);
  });

  test("gets its indent from the second line on, within the width", () => {
    expect(breakText("moss-and-marrow", 8, "  ")).toBe("moss-and\n  -marro\n  w");
  });

  test("takes a character per line where there is no room for one", () => {
    expect(breakText("省電", 1)).toBe("省\n電");
  });
});
