import fc from "fast-check";
import { parseHTML } from "linkedom";
import { describe, expect, test } from "vitest";
import {
  cueText,
  escapeJson,
  markdownText,
  markupText,
  spreadsheetText,
  visible,
} from "../../src/report/escape.ts";

const anyText = fc.string({ unit: "binary", maxLength: 60 });

describe("text from files is shown, never obeyed", () => {
  test.for([
    { text: "plain name", shown: "plain name" },
    { text: "\u001b[31mred", shown: "\\x1b[31mred" },
    { text: "two\nlines\r\tand a tab", shown: "two\\nlines\\r\\tand a tab" },
    { text: "C1 \u009b5m", shown: "C1 \\x9b5m" },
    { text: "right to left \u202etxt.csv", shown: "right to left \\u{202e}txt.csv" },
    { text: "zero\u200bwidth", shown: "zero\\u{200b}width" },
    { text: "half a pair \ud800", shown: "half a pair \\u{d800}" },
    { text: "ünïcödé 漢字 🎮", shown: "ünïcödé 漢字 🎮" },
  ])("$shown", ({ text, shown }) => {
    expect(visible(text)).toBe(shown);
  });

  test("nothing that steers a terminal is left of any text", () => {
    fc.assert(
      fc.property(anyText, (text) => {
        expect(visible(text)).not.toMatch(/[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u);
      }),
    );
  });

  test("JSON reads back as the same values after escaping", () => {
    fc.assert(
      fc.property(fc.jsonValue(), anyText, (value, text) => {
        const json = escapeJson(JSON.stringify({ value, text }, null, 2));
        expect(JSON.parse(json)).toEqual(JSON.parse(JSON.stringify({ value, text })));
        expect(json.replaceAll("\n", "")).not.toMatch(/[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u);
      }),
    );
  });
});

describe("text in Markdown is text", () => {
  test.for([
    { text: "a|b", shown: "a\\|b" },
    { text: "<img src=x onerror=alert(1)>", shown: "&lt;img src=x onerror=alert(1)&gt;" },
    { text: "[click](http://x)", shown: "\\[click\\](http:&#47;&#47;x)" },
    { text: "# heading", shown: "\\# heading" },
    { text: "1. list", shown: "1\\. list" },
    { text: "0.1% low", shown: "0.1% low" },
    { text: "-3%", shown: "\\-3%" },
    { text: "a_b *c* `d`", shown: "a\\_b \\*c\\* \\`d\\`" },
  ])("$text", ({ text, shown }) => {
    expect(markdownText(text)).toBe(shown);
  });

  test("no text opens a cell, a tag or a line of its own", () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const shown = markdownText(text);
        expect(shown).not.toMatch(/[<>\n\r]/);
        expect(shown.replace(/\\\\/g, "")).not.toMatch(/(?<!\\)[|`[\]]/);
      }),
    );
  });
});

describe("text in HTML and SVG is text", () => {
  // Whoever leaves an attribute needs its quote, whoever leaves a text "<" or "&" (HTML, "Parsing HTML documents").
  test.for([
    { text: `" onload="alert(1)`, shown: "&quot; onload=&quot;alert(1)" },
    { text: `' onload='alert(1)`, shown: "&#39; onload=&#39;alert(1)" },
    { text: "<script>alert(1)</script>", shown: "&lt;script&gt;alert(1)&lt;/script&gt;" },
    { text: "]]>", shown: "]]&gt;" },
    { text: "&lt;b&gt;", shown: "&amp;lt;b&amp;gt;" },
    { text: "no character of XML: \uffff", shown: "no character of XML: \ufffd" },
  ])("$text", ({ text, shown }) => {
    expect(markupText(text)).toBe(shown);
  });

  test("any text reads back as itself from an element and from an attribute in either quotes", () => {
    // Quotes and brackets are rare among all characters.
    const parts = fc.array(fc.oneof(fc.constantFrom(..."<>\"'&;=/ !-]"), anyText), { maxLength: 12 });
    fc.assert(
      fc.property(parts, (drawn) => {
        const text = drawn.join("");
        const shown = markupText(text);
        const page = `<!doctype html><p title="${shown}">${shown}</p><p title='${shown}'></p>`;
        const { document } = parseHTML(page);
        const [first, second, ...others] = document.querySelectorAll("*:not(html, head, body)");
        expect(others).toEqual([]);
        const expected = visible(text).replace(/[\ufffe\uffff]/g, "\ufffd");
        expect(first?.textContent).toBe(expected);
        for (const element of [first, second]) {
          expect(element?.getAttribute("title")).toBe(expected);
          expect(element?.attributes).toHaveLength(1);
        }
      }),
    );
  });
});

describe("text in a cue is text", () => {
  // WebVTT, 4.1: a cue's text holds no "-->", and "<" and "&" begin tags and references.
  test.for([
    { text: "<c.red>", shown: "&lt;c.red&gt;" },
    { text: "00:01.000 --> 00:02.000", shown: "00:01.000 --&gt; 00:02.000" },
    { text: "&nbsp;", shown: "&amp;nbsp;" },
    { text: "a\n\nNOTE b", shown: "a\\n\\nNOTE b" },
  ])("$shown", ({ text, shown }) => {
    expect(cueText(text)).toBe(shown);
  });
});

describe("text in a spreadsheet is never a formula", () => {
  test.for(["=1+1", "+1", "-1", "@sum(a1)", " =1", "'=1", "\t=1", "＝1"])(
    "%s gets an apostrophe or is made visible",
    (text) => {
      expect(spreadsheetText(text)).toMatch(/^['\\]/);
    },
  );

  test.for(["a;=1+1", "a; @sum(a1)", "a;+1+1", "a;;-2+cmd"])("%s gets one behind the semicolon", (text) => {
    // Where the comma is the decimal sign, spreadsheets split CSV at semicolons.
    for (const cell of spreadsheetText(text).split(";")) expect(cell).not.toMatch(/^\s*[=+\-@]/);
  });

  test.for(["tide-runner", "1% low", "a=b", "(3)", "slower; -9.1% (-12 to -6%)", "a;b"])(
    "%s stays as it is",
    (text) => {
      expect(spreadsheetText(text)).toBe(text);
    },
  );
});
