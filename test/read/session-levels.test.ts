import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import { readSession } from "../../src/read/session-file.ts";
import { sessionJsonSchema } from "../../src/read/session-schema.ts";
import { makePass } from "../support/make-pass.ts";
import { settingsFor } from "../support/session-fixtures.ts";

function levelsOf(levels: string) {
  const { session, problems } = readSession(`configs:\n  parked: { levels: ${levels} }\n`, "session.yaml");
  return { levels: session?.configs[0]?.levels ?? null, problems };
}

describe("levels of a config in session.yaml", () => {
  test.for([
    { yaml: '{ threads: "off", cores: parked }', levels: { threads: "off", cores: "parked" } },
    // YAML 1.2.2, section 10.3.2 (core schema): off, yes and no are text, unlike in YAML 1.1.
    { yaml: "{ threads: off, turbo: yes, smt: no }", levels: { threads: "off", turbo: "yes", smt: "no" } },
    { yaml: "{ cores: 4, threads: 16 }", levels: { cores: "4", threads: "16" } },
    { yaml: "{ turbo: true }", levels: { turbo: "true" } },
    { yaml: "{ volts: 1.50 }", levels: { volts: "1.50" } },
    { yaml: "{ 4: 8 }", levels: { 4: "8" } },
    // A value left empty counts as not given, as everywhere in the file.
    { yaml: "{ threads: , cores: parked }", levels: { cores: "parked" } },
    { yaml: "{}", levels: {} },
  ])("$yaml", ({ yaml, levels }) => {
    expect(levelsOf(yaml)).toEqual({ levels, problems: [] });
  });

  test("a factor may have any name, also one of an object's own parts", () => {
    const { levels, problems } = levelsOf("{ __proto__: slow, constructor: fast }");
    expect(problems).toEqual([]);
    expect(Object.entries(levels ?? {}).sort()).toEqual([
      ["__proto__", "slow"],
      ["constructor", "fast"],
    ]);
    expect(Object.getPrototypeOf(levels)).toBe(Object.prototype);
  });

  test.for([
    { what: "a list for all", yaml: "[threads, cores]" },
    { what: "one word for all", yaml: "parked" },
    { what: "a list as a level", yaml: "{ threads: [on, off] }" },
    { what: "a mapping as a level", yaml: "{ threads: { count: 8 } }" },
    { what: "a factor said twice", yaml: "{ threads: on, threads: off }" },
  ])("$what is a problem with its place", ({ yaml }) => {
    const { levels, problems } = levelsOf(yaml);
    expect(levels).toBeNull();
    expect(problems.map(({ severity, at }) => [severity, at.file, at.line])).toEqual([
      ["error", "session.yaml", 2],
    ]);
  });

  test("are optional", () => {
    const { session } = readSession("configs:\n  parked: { threads: 16 }\n", "session.yaml");
    expect(session?.configs[0]?.levels).toEqual({});
  });

  test("are in the JSON Schema that editors use, with their description", () => {
    const text = JSON.stringify(sessionJsonSchema());
    expect(text).toContain('"levels":{');
    expect(text).toMatch(/"description":"Level of each factor[^"]*threads/);
  });

  test("are what the judgement crosses", () => {
    const { session } = readSession(
      `configs:
  stock: { levels: { threads: on, cores: 8 } }
  no-threads: { levels: { threads: off, cores: 8 } }
  parked: { levels: { threads: on, cores: 4 } }
  both: { levels: { threads: off, cores: 4 } }
`,
      "session.yaml",
    );
    const configs = session?.configs ?? [];
    const passes = configs.flatMap(({ name }, c) =>
      ["a", "b", "c"].flatMap((game, g) =>
        [0, 1, 2].map((i) =>
          makePass({ game, config: name, pass: `pass-${i}` }, { avgFps: 100 - 5 * c + 0.1 * (i + g * c) }),
        ),
      ),
    );
    const levels = configs.map(({ name, levels: own }) => ({ config: name, levels: own }));
    const { factors } = judgeSession(passes, settingsFor("stock", { levels }));
    expect(
      factors.map(({ factors: names, level, againstLevel }) => [names.join(" x "), againstLevel, level]),
    ).toEqual(
      expect.arrayContaining([
        ["threads", "on", "off"],
        ["cores", "8", "4"],
        [expect.stringMatching(/ x /), null, null],
      ]),
    );
  });
});
