import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { ScriptSentence } from "../../src/read/claim.ts";
import { decodeScript } from "../../src/read/decode-script.ts";
import { figuresIn } from "../../src/read/figures-in-text.ts";
import { readClaimsFile } from "../../src/read/read-claims-file.ts";
import { readScript } from "../../src/read/read-script.ts";
import { processorMs } from "../support/processor-ms.ts";

const claim = "{ game: saltworks, config: full-65w, metric: average FPS, is: higher }";

/** Each sentence with its claims: "ok", or the codes of what is wrong. */
function outline(sentences: readonly ScriptSentence[]): string[] {
  return sentences.map(({ line, text, claims, exempt }) =>
    [
      `${line}: ${text}`,
      ...claims.map(({ claim: read, problems }) =>
        read === null ? problems.map(({ code }) => code).join(" ") : "ok",
      ),
      ...(exempt === null ? [] : [`exempt: ${exempt}`]),
    ].join(" | "),
  );
}

describe("a claim belongs to the sentence before it", () => {
  test.for([
    {
      it: "right after it",
      text: `One. Two. <!-- claim: ${claim} --> Three.`,
      is: ["1: One.", "1: Two. | ok", "1: Three."],
    },
    {
      it: "in captions, without their times",
      text: `WEBVTT\n\n00:01.000 --> 00:04.000 line:0\nOne.\n<!-- claim: ${claim} -->\n\n7\n01:00:05,000 --> 01:00:08,000\nTwo.`,
      is: ["1: WEBVTT", "4: One. | ok", "7: 7", "9: Two."],
    },
    { it: "inside it", text: `One is <!-- claim: ${claim} --> two.`, is: ["1: One is two. | ok"] },
    { it: "on the next line", text: `One.\n<!-- claim: ${claim} -->`, is: ["1: One. | ok"] },
    {
      it: "after a blank line",
      text: `One.\n\n<!-- claim: ${claim} -->\n\nTwo.`,
      is: ["1: One. | ok", "5: Two."],
    },
    {
      it: "two claims",
      text: `One. <!-- claim: ${claim} --><!-- claim: ${claim} -->`,
      is: ["1: One. | ok | ok"],
    },
    {
      it: "with markup",
      text: `**One** is [*two*](http://x.example/9%25). <!-- claim: ${claim} -->`,
      is: ["1: One is two. | ok"],
    },
    { it: "in a heading", text: `# One\n<!-- claim: ${claim} -->\n`, is: ["1: One | ok"] },
    { it: "in a list", text: `- One.\n- Two. <!-- claim: ${claim} -->`, is: ["1: One.", "2: Two. | ok"] },
    { it: "in a block quote, over lines", text: `> One. <!-- claim:\n> ${claim} -->`, is: ["1: One. | ok"] },
    {
      it: "in a table, as part of its row",
      text: `| a | b |\n|---|---|\n| One | 5% <!-- claim: ${claim} --> |`,
      is: ["1: a | b", "3: One | 5% | ok"],
    },
    { it: "in HTML", text: `<p>One.\n<!-- claim: ${claim} --></p>`, is: ["1: One. | ok"] },
    {
      it: "in block style",
      text: "One. <!-- claim:\n  suite: true\n  config: a\n  metric: 1% low\n  is: lower\n-->",
      is: ["1: One. | ok"],
    },
    { it: "with Windows line ends", text: `One.\r\n<!-- claim: ${claim} -->\r\n`, is: ["1: One. | ok"] },
    { it: "after a byte order mark", text: `\uFEFFOne. <!-- claim: ${claim} -->`, is: ["1: One. | ok"] },
    {
      it: "1% low begins a sentence",
      text: `At 35 watts. 1% low drops. <!-- claim: ${claim} -->`,
      is: ["1: At 35 watts.", "1: 1% low drops. | ok"],
    },
    {
      it: "decimals and abbreviations end none",
      text: `It is 9.5%, e.g. in a vs. b. <!-- claim: ${claim} -->`,
      is: ["1: It is 9.5%, e.g. in a vs. b. | ok"],
    },
    {
      it: "a reason to need none",
      text: "At 60 FPS. <!-- claim: { none: on screen } -->",
      is: ["1: At 60 FPS. | exempt: on screen"],
    },
  ])("$it", ({ text, is }) => {
    expect(outline(readScript(text, "x.md"))).toEqual(is);
  });
});

describe("what only looks like a claim", () => {
  test.for([
    { it: "in a code block", text: `\`\`\`\n<!-- claim: ${claim} -->\n\`\`\``, is: [] },
    { it: "in an indented code block", text: `    <!-- claim: ${claim} -->`, is: [] },
    { it: "in inline code", text: "Write `<!-- claim: { } -->`.", is: ["1: Write <!-- claim: { } -->."] },
    { it: "escaped", text: "One \\<!-- claim: x", is: ["1: One <!-- claim: x"] },
    {
      it: "a comment about something else",
      text: "One. <!-- claims are below --> <!-- later: x -->",
      is: ["1: One."],
    },
  ])("$it is none", ({ text, is }) => {
    expect(outline(readScript(text, "x.md"))).toEqual(is);
  });
});

describe("a claim with a mistake is never passed over", () => {
  test.for([
    { it: "a misspelt comment", claim: "<!-- clam: { game: a } -->", codes: "claim-misspelt", column: 11 },
    { it: "a plural", claim: "<!-- claims: { game: a } -->", codes: "claim-misspelt", column: 11 },
    { it: "no colon", claim: "<!-- claim { game: a } -->", codes: "claim-misspelt", column: 11 },
    // CommonMark 0.31.2, section 6.6: a blank line ends the paragraph, and with it the comment.
    {
      it: "broken by a blank line",
      claim: "<!-- claim: { game: a,\n\n is: same } -->",
      codes: "claim-unclosed",
      column: 6,
    },
    { it: "never closed", claim: "<!-- claim: { game: a }", codes: "claim-unclosed", column: 6 },
    {
      it: "empty",
      claim: "<!-- claim: -->",
      codes: "claim-scope key-missing claim-says-nothing",
      column: 17,
    },
    { it: "no YAML", claim: "<!-- claim: { game: a -->", codes: "yaml-broken", column: 28 },
    {
      it: "an unknown key",
      claim: "<!-- claim: { suite: true, metric: 1% low, config: a, iss: same } -->",
      codes: "key-unknown",
      column: 60,
    },
    {
      it: "an unknown word",
      claim: "<!-- claim: { suite: true, metric: 1% low, config: a, is: highr } -->",
      codes: "value-wrong",
      column: 64,
    },
    {
      it: "an unknown metric",
      claim: "<!-- claim: { suite: true, metric: 1 low, config: a, is: same } -->",
      codes: "value-wrong",
      column: 41,
    },
    {
      it: "two scopes",
      claim: "<!-- claim: { suite: true, game: a, metric: 1% low, config: a, is: same } -->",
      codes: "claim-scope",
      column: 18,
    },
    {
      it: "no config",
      claim: "<!-- claim: { suite: true, metric: 1% low, is: same } -->",
      codes: "key-missing",
      column: 18,
    },
    {
      it: "nothing said",
      claim: "<!-- claim: { suite: true, metric: 1% low, config: a } -->",
      codes: "claim-says-nothing",
      column: 18,
    },
    {
      it: "a size without direction",
      claim: "<!-- claim: { suite: true, metric: 1% low, config: a, by: 9% } -->",
      codes: "claim-clash",
      column: 60,
    },
    {
      it: "sign against word",
      claim: "<!-- claim: { suite: true, metric: 1% low, config: a, is: lower, by: +9% } -->",
      codes: "claim-clash",
      column: 71,
    },
    {
      it: "a fraction for a percent",
      claim: "<!-- claim: { suite: true, metric: 1% low, config: a, is: lower, by: 0.09 } -->",
      codes: "percent-unclear",
      column: 75,
    },
    {
      it: "a value over several games",
      claim: "<!-- claim: { suite: true, metric: 1% low, config: a, about: 60 FPS } -->",
      codes: "claim-clash",
      column: 60,
    },
    {
      it: "a value in another unit",
      claim: "<!-- claim: { game: a, metric: 1% low, config: a, about: 60 W } -->",
      codes: "claim-clash",
      column: 56,
    },
    {
      it: "a tolerance of nothing",
      claim: "<!-- claim: { game: a, metric: 1% low, config: a, is: same, give-or-take: 2 } -->",
      codes: "claim-clash",
      column: 66,
    },
    {
      it: "an order with a config beside it",
      claim: "<!-- claim: { game: a, metric: 1% low, config: a, order: a < b } -->",
      codes: "claim-clash",
      column: 45,
    },
    {
      it: "none beside something",
      claim: "<!-- claim: { none: why, game: a } -->",
      codes: "claim-clash",
      column: 31,
    },
  ])("$it", ({ claim: written, codes, column }) => {
    const [sentence] = readScript(`One. ${written}`, "x.md");
    const [read] = sentence?.claims ?? [];
    expect(read?.claim).toBeNull();
    expect(read?.problems.map(({ code }) => code).join(" ")).toBe(codes);
    expect(read?.problems[0]?.at).toEqual({ file: "x.md", line: 1, column });
  });

  test("a claim before any sentence has none to hold", () => {
    expect(outline(readScript(`<!-- claim: ${claim} -->`, "x.md"))).toEqual(["1:  | claim-without-sentence"]);
  });

  test("places are those of the script, in later lines of a claim too", () => {
    const [sentence] = readScript(
      "x\n\nOne. <!-- claim:\n  suite: true\n  metrik: 1% low\n-->",
      "x.md",
    ).slice(1);
    expect(sentence?.claims[0]?.problems[0]).toMatchObject({
      code: "key-unknown",
      nearest: "metric",
      at: { line: 5, column: 3 },
    });
  });
});

describe("a list of claims", () => {
  test("reads every entry by itself, in either style", () => {
    const text = [
      "# comment",
      "- say: One.",
      "  suite: true",
      "  metric: 1% low",
      "  config: a",
      "  is: lower",
      "-   { say: Two., game: b, metric: 1% low, config: a, is: hihger }",
      "- say: Three.",
      "  none: why",
      "- nonsense",
    ].join("\n");
    expect(outline(readClaimsFile(text, "c.yaml").sentences)).toEqual([
      "2: One. | ok",
      "7:  | value-wrong",
      "8: Three. | exempt: why",
      "10:  | value-wrong",
    ]);
    const [, second] = readClaimsFile(text, "c.yaml").sentences;
    expect(second?.claims[0]?.problems[0]?.at).toEqual({ file: "c.yaml", line: 7, column: 58 });
  });

  test.for([
    { it: "a mapping", text: "say: One.", code: "value-wrong" },
    { it: "empty", text: "# nothing", code: "value-wrong" },
    { it: "no YAML", text: "- a: [", code: "yaml-broken" },
    { it: "deep brackets", text: `- ${"[".repeat(5000)}`, code: "yaml-too-deep" },
    { it: "deep lists", text: `${"- ".repeat(5000)}a`, code: "yaml-too-deep" },
  ])("says what is wrong as a whole: $it", ({ text, code }) => {
    expect(readClaimsFile(text, "c.yaml").problems.map((problem) => problem.code)).toEqual([code]);
  });
});

describe("bytes of a script", () => {
  test.for([
    { it: "Latin-1", bytes: [0x61, 0x0a, 0x62, 0xe9, 0x0a], code: "script-not-utf8", line: 2 },
    { it: "UTF-16", bytes: [0xff, 0xfe, 0x61, 0x00], code: "script-not-utf8", line: 1 },
    { it: "nothing", bytes: [], code: "script-empty", line: undefined },
    { it: "white space", bytes: [0x20, 0x0a], code: "script-empty", line: undefined },
  ])("$it will not do", ({ bytes, code, line }) => {
    const { text, problems } = decodeScript(Uint8Array.from(bytes), "x.md");
    expect(text).toBeNull();
    expect(problems[0]).toMatchObject({ code, at: { file: "x.md", ...(line !== undefined && { line }) } });
  });
});

const pieces = fc.constantFrom(
  ..."<!-- claim: {|}|-->|game: a|, |is: same|\n|\n\n|> |- |    |`|```\n|| a | b |\n|---|---|\n|5%|. |*|[|](|\\|<p>|&amp;|# |say: x|\u0000|\ud800|\r"
    .split("|")
    .concat("|", ...[claim]),
);
const anyScript = fc.oneof(
  fc.string({ unit: "binary", maxLength: 300 }),
  fc.array(pieces, { maxLength: 60 }).map((all) => all.join("")),
);

describe("any text at all", () => {
  test("is read without a throw, and every claim found is read or has a problem", () => {
    fc.assert(
      fc.property(anyScript, (text) => {
        for (const sentences of [readScript(text, "x.md"), readClaimsFile(text, "x.yaml").sentences]) {
          for (const sentence of sentences) {
            figuresIn(sentence.text);
            expect(sentence.line).toBeGreaterThan(0);
            for (const read of sentence.claims) expect(read.claim === null).toBe(read.problems.length > 0);
          }
        }
      }),
      { numRuns: 3000 },
    );
  });

  test("in which a claim stands behind a sentence keeps that claim", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary", maxLength: 100 }), (text) => {
        // A paragraph of its own, which nothing before it can swallow.
        const lead = text.replace(/[<`~]/g, "");
        const sentences = readScript(`${lead}\n\nOne. <!-- claim: ${claim} -->\n`, "x.md");
        expect(sentences.flatMap(({ claims }) => claims).filter((read) => read.claim !== null)).toHaveLength(
          1,
        );
      }),
      { numRuns: 1000 },
    );
  });

  test.for([
    ["comments that never end", "<!-- claim: ".repeat(20_000)],
    ["HTML comments that never end", `<p>${"<!-- ".repeat(100_000)}`],
    ["brackets", "[".repeat(100_000)],
    ["numbers", "1,1 ".repeat(50_000)],
    ["quotes", "> ".repeat(20_000)],
    ["stars", "*a ".repeat(50_000)],
    ["full stops", `${"e.g. ".repeat(50_000)}`],
  ] as const)("of a megabyte or so takes no minutes: %s", ([, text]) => {
    const startMs = processorMs();
    for (const { text: said } of readScript(text, "x.md")) figuresIn(said);
    expect(processorMs() - startMs).toBeLessThan(10_000);
  });
});
