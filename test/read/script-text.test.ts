import { describe, expect, test } from "vitest";
import { decodeScript, longestScript } from "../../src/read/decode-script.ts";
import { readScript } from "../../src/read/read-script.ts";

const textsOf = (source: string) => readScript(source, "x.md").map(({ line, text }) => `${line}: ${text}`);
const claim = "<!-- claim: { suite: true, metric: 1% low, config: a, is: same } -->";

describe("a sentence is what a reader of the rendered script sees", () => {
  // CommonMark 0.31.2, by the section named.
  test.for([
    { it: "emphasis (6.2)", source: "*One* **two** _three_ __four__.", is: ["1: One two three four."] },
    { it: "a link (6.3)", source: 'One [two](http://a.example "three") four.', is: ["1: One two four."] },
    { it: "a link by reference (6.3)", source: "One [two][t].\n\n[t]: /x\n", is: ["1: One two."] },
    { it: "an autolink (6.5)", source: "At <http://a.example>.", is: ["1: At http://a.example."] },
    { it: "an image (6.4)", source: "One ![two](x.png) three.", is: ["1: One two three."] },
    { it: "inline code (6.1)", source: "One `two` three.", is: ["1: One two three."] },
    { it: "inline HTML (6.6)", source: "One <b>two</b> three.", is: ["1: One two three."] },
    { it: "an instruction (6.6)", source: "One <?two?>three.", is: ["1: One three."] },
    { it: "a hard line break (6.7)", source: "One\\\ntwo  \nthree.", is: ["1: One two three."] },
    { it: "a soft line break (6.8)", source: "One\ntwo.", is: ["1: One two."] },
    { it: "escapes (2.4)", source: "\\*One\\* at 9\\%.", is: ["1: *One* at 9%."] },
    {
      it: "entities (2.5)",
      source: "A &amp; b&nbsp;&lt; c &gt; &minus;9&percnt; 1&ndash;2 &#47; &#64; &copy;.",
      is: ["1: A & b < c > \u22129% 1\u20132 / @ &copy;."],
    },
    { it: "an escape that begins a line (2.4)", source: "One.\n\\*Two\\*.", is: ["1: One.", "2: *Two*."] },
    {
      it: "lines that end with CR (2.1)",
      source: "# One\rTwo.\r\rThree.",
      is: ["1: One", "2: Two.", "4: Three."],
    },
    { it: "headings (4.2)", source: "# One\n###### Six ######\n", is: ["1: One", "2: Six"] },
    {
      it: "headings of every level (4.2)",
      source: "## 2\n### 3\n#### 4\n##### 5",
      is: ["1: 2", "2: 3", "3: 4", "4: 5"],
    },
    { it: "underlined headings (4.3)", source: "One\n===\nTwo\n---\n", is: ["1: One", "3: Two"] },
    { it: "a line across (4.1)", source: "One.\n\n---\n\nTwo.", is: ["1: One.", "5: Two."] },
    { it: "code blocks (4.4, 4.5)", source: "One.\n\n    code.\n\n```\nmore.\n```\n", is: ["1: One."] },
    {
      it: "block quotes (5.1)",
      source: "> One\n> two. Three\n> four.",
      is: ["1: One two.", "2: Three four."],
    },
    { it: "lists (5.2)", source: "1. One.\n2. Two\n   more.\n", is: ["1: One.", "2: Two more."] },
    {
      it: "blocks of HTML (4.6)",
      source: "<div>One. <b>Two</b>.\n</div>\n\nThree.",
      is: ["1: One.", "1: Two .", "4: Three."],
    },
    { it: "HTML over lines (4.6)", source: "<p\nclass=x>One.\nTwo.</p>", is: ["2: One.", "3: Two."] },
    {
      it: "what is less and greater, but no tag (4.6)",
      source: "<p>a < b > c, 1 <2>.</p>",
      is: ["1: a < b > c, 1 <2>."],
    },
  ])("$it", ({ source, is }) => {
    expect(textsOf(source)).toEqual(is);
  });

  // GitHub Flavored Markdown 0.29, section 4.10.
  test.for([
    {
      source: "| game | 1% low |\n|---|---|\n| Saltworks. Yes. | 60 |\n",
      is: ["1: game | 1% low", "3: Saltworks. Yes. | 60"],
    },
    { source: "| a | b |\n|---|---|\n|  | 60 |\n", is: ["1: a | b", "3: 60"] },
    { source: "| a | b |\n|---|---|\n|  |  |\n", is: ["1: a | b"] },
    { source: "|a|b|\n|---|---|\n|One|5%|", is: ["1: a | b", "3: One | 5%"] },
    { source: "a | b\n---|---\nOne | two", is: ["1: a | b", "3: One | two"] },
  ])("a row of a table is one sentence: $source", ({ source, is }) => {
    expect(textsOf(source)).toEqual(is);
  });

  test("lines are counted in a script of any line ends", () => {
    expect(textsOf("One.\r\n\r\nTwo.\rThree.\n\nFour.")).toEqual([
      "1: One.",
      "3: Two.",
      "4: Three.",
      "6: Four.",
    ]);
    expect(readScript("One.", "x.md")[0]?.file).toBe("x.md");
  });
});

describe("a comment stands for what it says", () => {
  const outline = (source: string) =>
    readScript(source, "x.md").map(({ text, claims, exempt }) => ({
      text,
      claims: claims.map((read) => (read.claim === null ? read.problems[0]?.code : read.claim.is)),
      exempt,
    }));
  const says = (text: string, claims: readonly unknown[] = [], exempt: string | null = null) => ({
    text,
    claims,
    exempt,
  });

  test.for([
    { it: "in capitals", source: `One. ${claim.replace("claim", "Claim")}`, is: [says("One.", ["same"])] },
    { it: "without blanks", source: `One. ${claim.replace("<!-- ", "<!--")}`, is: [says("One.", ["same"])] },
    {
      it: "with a blank before the colon",
      source: `One. ${claim.replace("claim:", "claim :")}`,
      is: [says("One.", ["same"])],
    },
    {
      it: "after an entity and an escape",
      source: `One &amp; \\*two. ${claim}`,
      is: [says("One & *two.", ["same"])],
    },
    {
      it: "after both of two sentences of HTML",
      source: `<p>One. Two. ${claim}</p>`,
      is: [says("One."), says("Two.", ["same"])],
    },
    {
      it: "between two sentences of HTML",
      source: `<p>One. ${claim} Two. ${claim}</p>`,
      is: [says("One.", ["same"]), says("Two.", ["same"])],
    },
    {
      it: "as a block of its own",
      source: `One.\n\n${claim}\n${claim}\n`,
      is: [says("One.", ["same", "same"])],
    },
    {
      it: "in the last cell of a row",
      source: `| a |\n|---|\n| One. Two. | ${claim}`,
      is: [says("a"), says("One. Two.", ["same"])],
    },
    {
      it: "before a row's first word",
      source: `| a |\n|---|\n| ${claim} One |`,
      is: [says("a", ["same"]), says("One")],
    },
    {
      it: "a reason",
      source: "One. <!-- claim: { none: why } --> Two.",
      is: [says("One.", [], "why"), says("Two.")],
    },
    {
      it: "a reason beside a claim",
      source: `One. ${claim} <!-- claim: { none: why } -->`,
      is: [says("One.", ["same"], "why")],
    },
    {
      it: "a reason that is none",
      source: "One. <!-- claim: { none: why, suite: true } -->",
      is: [says("One.", ["claim-clash"])],
    },
    {
      it: "nothing like a claim",
      source: "One. <!-- note: x --><!-- c: x --><!-- 5: x --><!---->",
      is: [says("One.")],
    },
    { it: "a word near claim without a mark", source: "One. <!-- clam or not -->", is: [says("One.")] },
    {
      it: "a misspelt claim with a brace",
      source: "One. <!-- Clain { a: b } -->",
      is: [says("One.", ["claim-misspelt"])],
    },
    {
      it: "a claim with an equals sign",
      source: "One. <!-- claim = { a: b } -->",
      is: [says("One.", ["claim-misspelt"])],
    },
    {
      it: "a claim never closed, in HTML",
      source: "<p>One. <!-- claim: { a",
      is: [says("One.", ["claim-unclosed"])],
    },
    {
      it: "a claim never closed, after its sentence",
      source: "One.\n\n<!-- claim: { a",
      is: [says("One.", ["claim-unclosed"])],
    },
    {
      it: "a claim never closed, before any sentence",
      source: "<!-- claim: { a",
      is: [says("", ["claim-unclosed"])],
    },
    {
      it: "a claim never closed, of two",
      source: "One.\n\nTwo. <!-- claim: a\n\nThree.",
      is: [says("One."), says("Two.", ["claim-unclosed"]), says("Three.")],
    },
  ])("$it", ({ source, is }) => {
    expect(outline(source)).toEqual(is);
  });

  test("lines are counted across a comment in HTML", () => {
    expect(textsOf("<p>\nOne.\n<!-- later:\nx -->\nTwo. <b>Three.</b>\nFour.</p>")).toEqual([
      "2: One.",
      "5: Two.",
      "5: Three.",
      "6: Four.",
    ]);
  });

  test("an orphan stands in the line of its claim, with what else is wrong with it", () => {
    const source = "\n\n<!-- claim: { suite: true } -->\n";
    const [only, ...others] = readScript(source, "x.md");
    expect(others).toEqual([]);
    expect(only).toMatchObject({ file: "x.md", line: 3, text: "", exempt: null });
    expect(only?.claims[0]?.problems.map(({ code }) => code)).toEqual([
      "key-missing",
      "claim-says-nothing",
      "claim-without-sentence",
    ]);
  });

  test("a misspelt claim is shown on one line, with the place of its word", () => {
    const [sentence] = readScript("One. <!--\n  clam: { a: b } -->", "x.md");
    expect(sentence?.claims).toMatchObject([
      {
        written: "<!-- clam: { a: b } -->",
        claim: null,
        problems: [{ code: "claim-misspelt", word: "clam", at: { line: 2, column: 3 } }],
      },
    ]);
  });

  test("text about claims in code is never one that was not closed", () => {
    const code = [
      "```",
      "<!-- claim: { a",
      "```",
      "",
      "Write `<!-- claim: x` so.",
      "",
      "    <!-- claim: { b",
    ];
    expect(outline(code.join("\n"))).toEqual([says("Write <!-- claim: x so.")]);
  });
});

describe("a script's size", () => {
  test("is bounded, far above any script", () => {
    const bytes = Buffer.alloc(longestScript, "a ");
    expect(decodeScript(bytes, "x.md").problems).toEqual([]);
    const problems = [
      {
        code: "script-too-long",
        severity: "error",
        at: { file: "x.md" },
        characters: longestScript + 1,
        most: longestScript,
      },
    ];
    expect(decodeScript(Buffer.alloc(longestScript + 1, "a "), "x.md")).toEqual({ text: null, problems });
  });
});

describe("the first line that is no UTF-8 is told", () => {
  // RFC 3629: 0xff never occurs in UTF-8; 0xc3 needs a second byte.
  test.for([
    { it: "in the first line", bytes: [0xff, 0x0a, 0x61], line: 1 },
    { it: "behind an empty line", bytes: [0x0a, 0xff], line: 2 },
    { it: "in the last line, without a line end", bytes: [0x61, 0x0a, 0x62, 0x0a, 0xff], line: 3 },
    { it: "a character cut off at a line end", bytes: [0x61, 0x0a, 0xc3, 0x0a, 0x61], line: 2 },
    {
      it: "after a character of several bytes",
      bytes: [0xc3, 0xa9, 0x0a, 0xc3, 0xa9, 0x0a, 0xff, 0x0a],
      line: 3,
    },
  ])("$it", ({ bytes, line }) => {
    expect(decodeScript(Uint8Array.from(bytes), "x.md")).toEqual({
      text: null,
      problems: [{ code: "script-not-utf8", severity: "error", at: { file: "x.md", line } }],
    });
  });

  test("what is UTF-8 is the text, without its mark", () => {
    const text = "\u00e9 \u{1f3ae}\n";
    expect(decodeScript(Buffer.from(`\uFEFF${text}`), "x.md")).toEqual({ text, problems: [] });
  });
});
