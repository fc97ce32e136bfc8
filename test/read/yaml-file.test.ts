import { describe, expect, test } from "vitest";
import * as z from "zod";
import { findPlaces } from "../../src/read/find-places.ts";
import { readYaml } from "../../src/read/yaml-file.ts";
import { namedEntries, text } from "../../src/read/yaml-schema.ts";

const error = "mapping";
const schema = z.strictObject(
  {
    title: text().optional(),
    share: z.string({ error: "percent" }).regex(/%$/, { error: "percent" }).optional(),
    mode: z.enum(["fast", "careful"]).optional(),
    machine: namedEntries(text()).prefault({}),
    games: namedEntries(z.strictObject({ cap: z.number({ error: "rate" }).optional() }, { error })).prefault(
      {},
    ),
    list: z
      .array(z.strictObject({ pass: text(), why: text("reason").optional() }, { error }), { error: "list" })
      .prefault([]),
  },
  { error },
);
const read = (source: string) => readYaml(source, "x.yaml", schema);
const placed = (line: number, column: number) => ({ file: "x.yaml", line, column });

describe("an offset is found in its line", () => {
  const source = "ab\ncd\r\n\re\u{1f3ae}f\n";

  test.for([
    { what: "the first character", offset: 0, line: 1, column: 1 },
    { what: "the end of a line", offset: 2, line: 1, column: 3 },
    { what: "the first character of the next", offset: 3, line: 2, column: 1 },
    { what: "the line feed of a pair", offset: 6, line: 2, column: 4 },
    { what: "an empty line", offset: 7, line: 3, column: 1 },
    { what: "after a carriage return alone", offset: 8, line: 4, column: 1 },
    { what: "before a character of two units", offset: 9, line: 4, column: 2 },
    { what: "after a character of two units", offset: 11, line: 4, column: 3 },
    { what: "the end of the text", offset: 13, line: 5, column: 1 },
  ])("$what", ({ offset, line, column }) => {
    expect(findPlaces(source, "x.yaml")(offset)).toEqual(placed(line, column));
  });

  test("whatever was asked before", () => {
    const placeAt = findPlaces(source, "x.yaml");
    const offsets = [9, 11, 12, 8, 0, 1, 4, 3, 11];
    expect(offsets.map(placeAt)).toEqual(offsets.map((offset) => findPlaces(source, "x.yaml")(offset)));
  });
});

describe("values arrive as they are written", () => {
  test.for([
    { yaml: "1.20", is: "1.20" },
    { yaml: "0x10", is: "0x10" },
    { yaml: "true", is: "true" },
    { yaml: "'it''s'", is: "it's" },
    { yaml: '"a\\tb"', is: "a\tb" },
    { yaml: "|\n  a\n  b", is: "a\nb\n" },
    { yaml: '""', is: "" },
  ])("title: $yaml", ({ yaml, is }) => {
    expect(read(`title: ${yaml}`)).toMatchObject({ value: { title: is }, problems: [] });
  });

  test("an empty value is not given, a name with nothing after it is an entry without notes", () => {
    const { value, problems } = read("title:\nmachine: { cpu: , 4: 8 }\ngames:\n  a:\n  b: { cap: }\n");
    expect(problems).toEqual([]);
    expect(value).toEqual({
      machine: [["4", "8"]],
      games: [
        ["a", {}],
        ["b", {}],
      ],
      list: [],
    });
  });

  test("names keep their order, slashes, and what they would mean to an object", () => {
    const { value } = read("machine: { b: 1, __proto__: 2, /a: 3, //: 4, '': 5 }");
    expect(value?.machine).toEqual([
      ["b", "1"],
      ["__proto__", "2"],
      ["/a", "3"],
      ["//", "4"],
      ["", "5"],
    ]);
  });

  test("an anchor brings its value along", () => {
    const { value } = read("games: { a: &cap { cap: 60 }, b: *cap }\ntitle: &t One\nmachine: { t: *t }");
    expect(value).toMatchObject({
      games: [
        ["a", { cap: 60 }],
        ["b", { cap: 60 }],
      ],
      machine: [["t", "One"]],
    });
  });
});

describe("the place of what was read", () => {
  const source = "title: One\ngames:\n  a: { cap: 60 }\n  b:\nlist:\n  - pass: 'two'\n";

  test.for<{ path: (string | number)[]; value: [number, number]; key: [number, number] }>([
    { path: [], value: [1, 1], key: [1, 1] },
    { path: ["title"], value: [1, 8], key: [1, 1] },
    { path: ["games"], value: [3, 3], key: [2, 1] },
    { path: ["games", "a"], value: [3, 6], key: [3, 3] },
    { path: ["games", "a", "cap"], value: [3, 13], key: [3, 8] },
    { path: ["games", "b"], value: [4, 3], key: [4, 3] },
    { path: ["list", 0, "pass"], value: [6, 11], key: [6, 5] },
    // What does not stand in the file is where its nearest parent is.
    { path: ["games", "c"], value: [3, 3], key: [3, 3] },
    { path: ["machine", "cpu"], value: [1, 1], key: [1, 1] },
  ])("$path", ({ path, value, key }) => {
    const { placeOf, placeOfKey } = read(source);
    expect(placeOf(path)).toEqual(placed(...value));
    expect(placeOfKey(path)).toEqual(placed(...key));
  });

  test.for([
    { yaml: "abc", offset: 2, column: 10 },
    { yaml: '"abc"', offset: 2, column: 11 },
    { yaml: "'abc'", offset: 0, column: 9 },
    { yaml: '"a\\tbc"', offset: 3, column: 8 },
    { yaml: "'a''bc'", offset: 3, column: 8 },
    { yaml: "it's", offset: 3, column: 11 },
    { yaml: "[abc]", offset: 2, column: 8 },
  ])("a character of title: $yaml", ({ yaml, offset, column }) => {
    expect(read(`title: ${yaml}`).placeInside(["title"], offset)).toEqual(placed(1, column));
  });

  test("in a file that could not be read at all is its beginning", () => {
    const { placeOf, placeOfKey, placeInside, value } = read("title: [");
    expect(value).toBeNull();
    for (const place of [placeOf(["title"]), placeOfKey(["title"]), placeInside(["title"], 3)]) {
      expect(place).toEqual(placed(1, 1));
    }
  });
});

describe("a mistake is told with its place", () => {
  test.for([
    {
      it: "a key twice, the second and the third time",
      source: "title: a\nmachine: {x: 1}\ntitle: b\ntitle: c",
      problems: [
        { code: "key-twice", key: "title", firstLine: 1, at: placed(3, 1) },
        { code: "key-twice", key: "title", firstLine: 1, at: placed(4, 1) },
      ],
    },
    {
      it: "a key twice, in two forms of the same text",
      source: "machine:\n  Cafe\u0301: 1\n  Caf\u00e9: 2",
      problems: [{ code: "key-twice", key: "Caf\u00e9", firstLine: 2, at: placed(3, 3) }],
    },
    {
      it: "a list as key",
      source: "machine: { [a]: 1 }",
      problems: [{ code: "key-not-text", at: placed(1, 12) }],
    },
    {
      it: "an unknown key, with its value and without",
      source: "titel: a\nbreadth:\n",
      problems: [
        { code: "key-unknown", in: [], key: "titel", nearest: "title", at: placed(1, 1) },
        { code: "key-unknown", in: [], key: "breadth", nearest: null, at: placed(2, 1) },
      ],
    },
    {
      it: "an unknown key in a list",
      source: "list:\n  - { pass: a, whys: b }",
      problems: [
        {
          code: "key-unknown",
          in: ["list", 0],
          key: "whys",
          nearest: "why",
          keys: ["pass", "why"],
          at: placed(2, 16),
        },
      ],
    },
    {
      it: "an unknown key under a name",
      source: "games: { title: { capp: 60 } }",
      problems: [
        {
          code: "key-unknown",
          in: ["games", "title"],
          key: "capp",
          nearest: "cap",
          keys: ["cap"],
          at: placed(1, 19),
        },
      ],
    },
    {
      it: "a missing key, left out or empty",
      source: "list:\n  - why: a\n  - { why: b, pass: }",
      problems: [
        { code: "key-missing", in: ["list", 0], key: "pass", at: placed(2, 5) },
        { code: "key-missing", in: ["list", 1], key: "pass", at: placed(3, 15) },
      ],
    },
    {
      it: "an empty entry of a list",
      source: "list:\n  - pass: a\n  -\n",
      problems: [{ code: "value-wrong", path: ["list", 1], seen: { kind: "nothing" }, expected: "mapping" }],
    },
    {
      it: "a list for a text",
      source: "title: [a]",
      problems: [
        { code: "value-wrong", path: ["title"], seen: { kind: "list" }, expected: "text", at: placed(1, 8) },
      ],
    },
    {
      it: "a text for a mapping",
      source: "games: a",
      problems: [
        { code: "value-wrong", seen: { kind: "scalar", text: "a" }, expected: "mapping", at: placed(1, 8) },
      ],
    },
    {
      it: "a mapping for a list",
      source: "list: { pass: a }",
      problems: [{ code: "value-wrong", seen: { kind: "mapping" }, expected: "list", at: placed(1, 7) }],
    },
    {
      it: "a misspelt word of few",
      source: "mode: carefull",
      problems: [
        {
          code: "value-wrong",
          seen: { kind: "scalar", text: "carefull" },
          expected: { oneOf: ["fast", "careful"], nearest: "careful" },
        },
      ],
    },
    {
      it: "a list for a word of few",
      source: "mode: [fast]",
      problems: [
        {
          code: "value-wrong",
          seen: { kind: "list" },
          expected: { oneOf: ["fast", "careful"], nearest: null },
        },
      ],
    },
    {
      it: "a percent that could be a fraction",
      source: "share: 0.125",
      problems: [
        { code: "percent-unclear", path: ["share"], readings: ["12.5%", "0.125%"], at: placed(1, 8) },
      ],
    },
    // 0.07 * 100 is 7.000000000000001 in binary floating point.
    {
      it: "a fraction that binary does not hold",
      source: "share: 0.07",
      problems: [{ readings: ["7%", "0.07%"] }],
    },
    { it: "a percent of 1", source: "share: 1", problems: [{ code: "value-wrong", expected: "percent" }] },
    { it: "a percent of 0", source: "share: 0", problems: [{ code: "value-wrong", expected: "percent" }] },
    {
      it: "a percent below 0",
      source: "share: -0.5",
      problems: [{ code: "value-wrong", expected: "percent" }],
    },
    {
      it: "a list for a percent",
      source: "share: [0.5]",
      problems: [{ code: "value-wrong", expected: "percent" }],
    },
    {
      it: "a fraction where no percent belongs",
      source: "games: { a: { cap: x0.5 } }",
      problems: [{ code: "value-wrong", path: ["games", "a", "cap"], expected: "rate" }],
    },
    {
      it: "a fraction where a word belongs",
      source: "mode: 0.5",
      problems: [
        {
          code: "value-wrong",
          seen: { kind: "scalar", text: "0.5" },
          expected: { oneOf: ["fast", "careful"], nearest: null },
        },
      ],
    },
    {
      it: "a name that nobody gave, in a list",
      source: "list: [*b, { pass: *c }, { why: d }]",
      problems: [
        { code: "yaml-alias-unknown", alias: "b", at: placed(1, 8) },
        { code: "yaml-alias-unknown", alias: "c", at: placed(1, 20) },
        { code: "key-missing", in: ["list", 2], key: "pass", at: placed(1, 26) },
      ],
    },
    {
      it: "an alias of nothing",
      source: "title: *b",
      problems: [{ code: "yaml-alias-unknown", alias: "b", at: placed(1, 8) }],
    },
    {
      it: "a tag that nobody knows",
      source: "title: !x y",
      problems: [{ code: "yaml-broken", rule: "TAG_RESOLVE_FAILED", at: placed(1, 8) }],
    },
    {
      it: "a second document",
      source: "title: a\n---\ntitle: b",
      problems: [{ code: "yaml-broken", rule: "MULTIPLE_DOCS", at: placed(2, 1) }],
    },
    {
      it: "a list for the whole",
      source: "- a",
      problems: [{ path: [], seen: { kind: "list" }, at: placed(1, 1) }],
    },
  ])("$it", ({ source, problems }) => {
    const { value, problems: found } = read(source);
    expect(value).toBeNull();
    expect(found).toMatchObject(problems);
    expect(found).toHaveLength(problems.length);
    expect(found.every(({ severity }) => severity === "error")).toBe(true);
  });

  test("several are told in the order of the file", () => {
    const { problems } = read("mode: x\ngames: { a: { cap: b, d: e } }\ntitel: c\nmode: fast\n");
    expect(problems.map(({ at }) => [at.line, at.column])).toEqual([
      [1, 7],
      [2, 20],
      [2, 23],
      [3, 1],
      [4, 1],
    ]);
  });

  test("several in one line are told in its order, whatever they are", () => {
    const { problems } = read("{ titel: a, mode: x, machine: { [b]: 1 }, list: 1 }");
    expect(problems.map(({ code, at }) => [code, at.column])).toEqual([
      ["key-unknown", 3],
      ["value-wrong", 19],
      ["key-not-text", 33],
      ["value-wrong", 49],
    ]);
  });

  test("a byte order mark takes no place", () => {
    expect(read("\uFEFFtitel: a").problems[0]?.at).toEqual(placed(1, 1));
  });
});

describe("what no file written by hand has is refused", () => {
  const nested = (depth: number) => `title: ${"[".repeat(depth)}${"]".repeat(depth)}`;
  const aliases = (count: number) =>
    `title: &a One\nmachine:\n${Array.from({ length: count }, (_, i) => `  m${i}: *a\n`).join("")}`;

  test("nesting beyond 64", () => {
    const refused = read(nested(65));
    expect(refused.problems).toMatchObject([{ code: "yaml-too-deep", most: 64 }]);
    expect(refused.value).toBeNull();
    expect(read(nested(20)).problems).toMatchObject([{ code: "value-wrong" }]);
  });

  test("more than 100 aliases, said once", () => {
    expect(read(aliases(100)).value?.machine).toHaveLength(100);
    const refused = read(aliases(150));
    expect(refused.value).toBeNull();
    expect(refused.problems).toMatchObject([{ code: "yaml-aliases", most: 100, at: placed(103, 9) }]);
    expect(refused.problems).toHaveLength(1);
  });

  test("more than 200,000 characters", () => {
    const longest = `title: ${"a".repeat(199_993)}`;
    expect(longest).toHaveLength(200_000);
    expect(read(longest).problems).toEqual([]);
    expect(read(`\uFEFF${longest}`).problems).toEqual([]);
    expect(read(`${longest}a`).problems).toEqual([
      {
        code: "yaml-too-long",
        severity: "error",
        at: { file: "x.yaml" },
        characters: 200_001,
        most: 200_000,
      },
    ]);
  });

  test("more than 50 problems of any kind", () => {
    const wrong = Array.from({ length: 80 }, (_, i) => `  g${i}: { cap: x }\n`).join("");
    expect(read(`games:\n${wrong}`).problems).toHaveLength(50);
    const twice = "title: a\n".repeat(80);
    expect(read(twice).problems).toHaveLength(50);
  });
});
