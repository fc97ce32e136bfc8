import { describe, expect, test } from "vitest";
import * as z from "zod";
import { claimsJsonSchema } from "../../src/read/claims-schema.ts";
import { readClaimsFile } from "../../src/read/read-claims-file.ts";

const keys = "suite: true, metric: 1% low, config: a, is: same";

describe("a list of claims", () => {
  test("gives each sentence on one line, with the line of its entry", () => {
    const text = [
      "- say: |",
      "    One",
      "       thing.",
      ...keys.split(", ").map((key) => `  ${key}`),
      `- { say: "  Two. ", ${keys} }`,
    ].join("\n");
    const { sentences, problems } = readClaimsFile(text, "c.yaml");
    expect(problems).toEqual([]);
    expect(sentences.map(({ file, line, text: said, exempt }) => ({ file, line, said, exempt }))).toEqual([
      { file: "c.yaml", line: 1, said: "One thing.", exempt: null },
      { file: "c.yaml", line: 8, said: "Two.", exempt: null },
    ]);
    expect(sentences.map(({ claims }) => claims.map(({ claim }) => claim?.is))).toEqual([["same"], ["same"]]);
  });

  test.for([
    { it: "a byte order mark", text: `\uFEFF- { say: One., ${keys} }` },
    { it: "Windows line ends", text: `- say: One.\r\n  ${keys.replaceAll(", ", "\r\n  ")}\r\n` },
    { it: "line ends of a carriage return alone", text: `- say: One.\r  ${keys.replaceAll(", ", "\r  ")}\r` },
    { it: "entries further in", text: `  - say: One.\n    ${keys.replaceAll(", ", "\n    ")}\n` },
  ])("is read with $it", ({ text }) => {
    const { sentences, problems } = readClaimsFile(text, "c.yaml");
    expect(problems).toEqual([]);
    expect(sentences.map((sentence) => [sentence.line, sentence.text])).toEqual([[1, "One."]]);
    expect(sentences[0]?.claims).toMatchObject([{ claim: { is: "same" }, problems: [] }]);
  });

  test("tells the place of a mistake in any line of an entry", () => {
    const text = "- say: One.\n  suite: true\n-   say: Two.\n    siute: true\n    none: why\n";
    const { sentences } = readClaimsFile(text, "c.yaml");
    expect(sentences[1]?.claims[0]?.problems).toMatchObject([
      { code: "key-unknown", nearest: "suite", at: { file: "c.yaml", line: 4, column: 5 } },
    ]);
  });

  test("keeps a sentence that needs no claim, without one", () => {
    const { sentences } = readClaimsFile("- { say: At 60 FPS., none: on screen }", "c.yaml");
    expect(sentences).toEqual([
      { file: "c.yaml", line: 1, text: "At 60 FPS.", claims: [], exempt: "on screen" },
    ]);
  });

  test("an entry that gives a reason and a claim is a claim with a problem", () => {
    const { sentences } = readClaimsFile(`- { say: One., none: why, ${keys} }`, "c.yaml");
    expect(sentences).toMatchObject([{ exempt: null, claims: [{ claim: null }] }]);
  });

  test("a key said twice is a mistake of its entry alone", () => {
    const { sentences, problems } = readClaimsFile(
      `- { say: One., ${keys}, is: same }\n- { say: Two., ${keys} }`,
      "c.yaml",
    );
    expect(problems).toEqual([]);
    expect(sentences.map(({ claims }) => claims[0]?.problems.map(({ code }) => code))).toEqual([
      ["key-twice"],
      [],
    ]);
  });

  test("an empty entry lacks everything, its sentence first", () => {
    const { sentences, problems } = readClaimsFile(`-\n- { say: Two., ${keys} }`, "c.yaml");
    expect(problems).toEqual([]);
    expect(sentences.map(({ text, claims }) => [text, claims[0]?.claim?.is ?? null])).toEqual([
      ["", null],
      ["Two.", "same"],
    ]);
    expect(sentences[0]?.claims[0]?.problems).toMatchObject([{ code: "key-missing", key: "say" }]);
  });
});

describe("a file that is no list of claims is told where and why", () => {
  const depth = (open: string, count: number, close = "") => `- ${open.repeat(count)}a${close.repeat(count)}`;

  test.for([
    {
      it: "a mapping",
      text: "\n\nsay: One.",
      problem: { code: "value-wrong", path: [], seen: { kind: "mapping" }, expected: "list" },
      at: { line: 1 },
    },
    {
      it: "nothing",
      text: "# later",
      problem: { code: "value-wrong", path: [], seen: { kind: "nothing" }, expected: "list" },
      at: { line: 1 },
    },
    {
      it: "broken YAML",
      text: "- say: One.\n- { say: Two.\n",
      problem: { code: "yaml-broken", why: expect.not.stringContaining("line") },
      at: { line: 3, column: 1 },
    },
    {
      it: "brackets of 65",
      text: depth("[", 65, "]"),
      problem: { code: "yaml-too-deep", most: 64 },
      at: { line: 1, column: 67 },
    },
    {
      it: "braces of 65",
      text: `- a\n${depth("{", 65, "}")}`,
      problem: { code: "yaml-too-deep", most: 64 },
      at: { line: 2, column: 67 },
    },
    {
      it: "lists of 65",
      text: depth("- ", 65),
      problem: { code: "yaml-too-deep", most: 64 },
      at: { line: 1, column: 1 },
    },
  ])("$it", ({ text, problem, at }) => {
    const { sentences, problems } = readClaimsFile(text, "c.yaml");
    expect(sentences).toEqual([]);
    expect(problems).toMatchObject([{ severity: "error", ...problem }]);
    expect(problems[0]?.at).toEqual({ file: "c.yaml", ...at });
  });

  test("brackets that are closed again are not deep", () => {
    const text = `- { say: "${"[] {}".repeat(100)}", ${keys} }`;
    expect(readClaimsFile(text, "c.yaml").problems).toEqual([]);
    expect(readClaimsFile(depth("[", 64, "]"), "c.yaml").problems).toEqual([]);
    expect(readClaimsFile(depth("- ", 63), "c.yaml").problems).toEqual([]);
    const deepAfter = `- "${"]".repeat(100)}"\n${depth("[", 65, "]")}`;
    expect(readClaimsFile(deepAfter, "c.yaml").problems).toMatchObject([{ code: "yaml-too-deep" }]);
  });

  test("a long hyphened sentence is not deep", () => {
    const text = `- say: >\n    x${" -".repeat(100)} y\n  none: why\n`;
    expect(readClaimsFile(text, "c.yaml")).toMatchObject({ problems: [], sentences: [{ exempt: "why" }] });
  });
});

describe("the JSON Schema of claims.yaml", () => {
  const schema = claimsJsonSchema() as {
    readonly items: { readonly properties: Record<string, { readonly description?: string }> };
  };

  test("has an id and a draft, and is a list whose entries need a sentence and know no other keys", () => {
    expect(schema).toMatchObject({
      $schema: "https://json-schema.org/draft/2020-12/schema",
      $id: "urn:runjury:schema:claims:1",
      title: "runjury claims",
      type: "array",
      items: { type: "object", required: ["say"], additionalProperties: false },
    });
  });

  test("describes every key", () => {
    for (const [key, { description }] of Object.entries(schema.items.properties)) {
      expect(description, key).toMatch(/\w[^.]*\.$/);
    }
  });

  // The schema is read back by zod's own reader of JSON Schema, then asked about files it has never seen.
  const validator = z.fromJSONSchema(JSON.parse(JSON.stringify(schema)));
  const entry = { say: "One.", suite: true, metric: "1% low", config: "a" };

  test.for([
    { it: "a verdict", value: { ...entry, is: "within-noise" }, isValid: true },
    { it: "a reason", value: { say: "One.", none: "on screen" }, isValid: true },
    { it: "a value", value: { ...entry, about: "59.94 FPS", "give-or-take": "2%" }, isValid: true },
    { it: "a bare number", value: { ...entry, about: 60, by: 9 }, isValid: true },
    { it: "an order", value: { ...entry, order: "a < b" }, isValid: true },
    { it: "an unknown verdict", value: { ...entry, is: "better" }, isValid: false },
    { it: "an unknown key", value: { ...entry, si: "same" }, isValid: false },
    { it: "no sentence", value: { none: "on screen" }, isValid: false },
    { it: "suite: false", value: { ...entry, suite: false }, isValid: false },
  ])("$it is taken: $isValid", ({ value, isValid }) => {
    expect(validator.safeParse([value]).success).toBe(isValid);
  });
});
