import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { parse, stringify } from "yaml";
import * as z from "zod";
import { checkSession } from "../../src/read/check-session.ts";
import { defaultSession } from "../../src/read/default-session.ts";
import { readSession, type Session } from "../../src/read/session-file.ts";
import { sessionJsonSchema, sessionSchema } from "../../src/read/session-schema.ts";
import { describeSessionFinding } from "../../src/report/describe-session-problem.ts";
import { lowsDefinitions } from "../../src/shared/lows-definition.ts";
import type { Problem, SessionFinding } from "../../src/shared/problem.ts";
import { processorMs } from "../support/processor-ms.ts";

const folder = new URL("../../fixtures/sessions/", import.meta.url);

function fixture(situation: string): string {
  return readFileSync(new URL(`${situation}/session.yaml`, folder), "utf8");
}

/** A problem as its lines: where and what, then what was expected, then what to do. */
function inWords(problem: Problem): readonly string[] {
  const { file, line, column } = problem.at;
  const { message, expected, todo } = describeSessionFinding(problem as SessionFinding);
  const place = [file, line, column].filter((part) => part !== undefined).join(":");
  const lines = [`${place}: ${problem.severity}: ${message}`];
  if (expected !== undefined) lines.push(`expected ${expected}`);
  if (todo !== undefined) lines.push(todo);
  return lines;
}

function read(situation: string): { session: Session | null; words: readonly (readonly string[])[] } {
  const { session, problems } = readSession(fixture(situation), "session.yaml");
  return { session, words: problems.map(inWords) };
}

function sessionOf(text: string): Session {
  const { session, problems } = readSession(text, "session.yaml");
  expect(problems).toEqual([]);
  if (session === null) throw new Error("no session and no problem");
  return session;
}

function placed(line: number, column: number) {
  return { file: "session.yaml", line, column };
}

describe("what a session says", () => {
  test("every key arrives under its unit, with its place where captures may contradict it", () => {
    const { session, words } = read("whole");
    expect(words).toEqual([]);
    expect(session).toMatchObject({
      title: "Living-room PC, three power limits",
      baseline: { name: "balanced-54w", at: placed(2, 11) },
      layout: { pattern: "{game}/{config}/{boot}/{pass}", depth: 4 },
      lows: "tail-average",
      mattersPct: 2.5,
      confidencePct: 99,
      falseAlarmControl: "strict",
      trim: { skipS: 0.5, keepS: 90 },
    });
    expect(session?.log).toStrictEqual({
      frameTime: { column: "frame_time_ms", unit: "ms" },
      clock: { column: "elapsed", unit: "s" },
      stream: { column: "process", equals: "tide-runner" },
      segment: 2,
      sensors: {
        "cpu-power": { column: "package power [W]" },
        "gpu-power": { column: "board power" },
        "cpu-clock": { column: "core clock" },
        "cpu-load": { column: "cpu busy" },
        "gpu-load": { column: "gpu busy" },
        "cpu-temperature": { column: "cpu temp" },
        "gpu-temperature": { column: "gpu temp" },
      },
      sensorOffsetS: -0.2,
    });
    expect(session?.games).toEqual([
      {
        name: "tide-runner",
        title: "Tide Runner",
        tags: ["racing"],
        scene: "harbour flyover",
        settings: "1080p low",
        frameCapFps: 240,
        at: placed(24, 3),
      },
      {
        name: "saltworks",
        title: "saltworks",
        tags: [],
        scene: null,
        settings: null,
        frameCapFps: null,
        at: placed(25, 3),
      },
    ]);
    expect(session?.configs).toEqual([
      {
        name: "quiet-35w",
        title: "Quiet 35 W",
        threads: 16,
        changes: ["power limit"],
        levels: { threads: "off", cores: "4" },
        frameCapFps: 60,
        capOf: null,
        at: placed(27, 3),
      },
    ]);
    expect(session?.setAside).toEqual([
      {
        game: "tide-runner",
        config: "quiet-35w",
        boot: null,
        pass: "pass-2",
        why: "launcher updated itself",
        at: placed(29, 13),
      },
      {
        game: "tide-runner",
        config: "quiet-35w",
        boot: "boot-2",
        pass: "pass-1",
        why: "door opened",
        at: placed(30, 13),
      },
    ]);
    expect(session?.system).toEqual([
      { name: "cpu", value: "8 cores 16 threads" },
      { name: "memory", value: "32 GB" },
      { name: "os", value: "desktop OS 11" },
      { name: "driver", value: "1.20" },
    ]);
  });

  test.for([
    { kind: "an empty file", text: "" },
    { kind: "a file of comments and of keys with nothing after them", text: fixture("only-comments") },
    { kind: "an empty mapping", text: "{}" },
    { kind: "a byte order mark alone", text: "\uFEFF" },
  ])("$kind is the session without a file", ({ text }) => {
    expect(sessionOf(text)).toStrictEqual(defaultSession);
  });

  test("names that YAML would take for numbers, truth values or nothing stay as written", () => {
    const { session, words } = read("names-that-look-like-values");
    expect(words).toEqual([]);
    expect(session?.baseline?.name).toBe("35");
    expect(session?.games.map(({ name, title }) => [name, title])).toEqual([
      ["2048", "2048"],
      ["true", "007"],
      ["null", "null"],
      ["__proto__", "Kestrel Cup"],
      ["constructor", "constructor"],
    ]);
    expect(session?.configs.map(({ name, title }) => [name, title])).toEqual([
      ["35", "35.0"],
      ["0x10", "0x10"],
    ]);
    expect(session?.setAside).toMatchObject([{ game: "2048", config: "35", pass: "1", why: "1.50" }]);
    expect(session?.system).toEqual([
      { name: "driver", value: "531.10" },
      { name: "__proto__", value: "1" },
    ]);
    expect(Object.hasOwn(Object.prototype, "title")).toBe(false);
  });

  test("an anchor may be used again", () => {
    const { session, words } = read("one-anchor-used-twice");
    expect(words).toEqual([]);
    expect(session?.games).toMatchObject([
      { name: "tide-runner", tags: ["racing"], frameCapFps: 60 },
      { name: "kestrel-cup", tags: ["racing"], frameCapFps: 60 },
    ]);
  });

  test("names arrive in composed form, whatever form the file has", () => {
    const session = sessionOf("baseline: Cafe\u0301\ngames: { Cafe\u0301: }");
    expect(session.baseline?.name).toBe("Caf\u00e9");
    expect(session.games[0]?.name).toBe("Caf\u00e9");
  });

  test.for([
    { written: "3%", pct: 3 },
    { written: "3", pct: 3 },
    { written: '"3 %"', pct: 3 },
    { written: "2.5%", pct: 2.5 },
    { written: "0.03%", pct: 0.03 },
    { written: "99.9", pct: 99.9 },
  ])("matters: $written is $pct percent", ({ written, pct }) => {
    expect(sessionOf(`matters: ${written}`).mattersPct).toBe(pct);
  });

  test.for([
    { written: "{ skip: 0 }", trim: { skipS: 0, keepS: null } },
    { written: "{ skip: 250ms }", trim: { skipS: 0.25, keepS: null } },
    { written: "{ skip: 1.5 s, keep: all }", trim: { skipS: 1.5, keepS: null } },
    { written: "{ keep: 2min }", trim: { skipS: 0, keepS: 120 } },
  ])("trim: $written is understood", ({ written, trim }) => {
    expect(sessionOf(`trim: ${written}`).trim).toEqual(trim);
  });

  test("the definitions of lows are those that are measured", () => {
    expect(sessionSchema.shape.lows.def.innerType.options).toEqual([...lowsDefinitions]);
  });
});

const allKeys =
  "title, baseline, layout, lows, matters, confidence, false-alarm-control, trim, log, sensors, games, configs, set-aside or system";

const refused: readonly { readonly situation: string; readonly words: readonly (readonly string[])[] }[] = [
  {
    situation: "alias-of-itself",
    words: [["session.yaml:2:16: error: more than 100 aliases (*name)", "write the values out"]],
  },
  {
    situation: "broken-layout",
    words: [
      [
        "session.yaml:1:16: error: nothing tells where {game} ends and {config} begins",
        "write the text that stands between them, such as {game}_{config}",
      ],
      [
        'session.yaml:1:25: error: the layout has no placeholder "{pas}"',
        "expected names from {game}, {config}, {pass}, {boot} and {cap}",
        "write {pass}",
      ],
    ],
  },
  {
    situation: "broken-layout-in-other-ways",
    words: [
      [
        "session.yaml:1:10: error: the layout has an empty part: a / at its start or end, or two in a row",
        "write / only between the parts of the path",
      ],
      ["session.yaml:1:17: error: the layout has a backslash", "write / between folders on every system"],
      [
        'session.yaml:1:27: error: no part of a log\'s path is ".."',
        "write the last parts of the path only, such as {game}/{config}/{pass}",
      ],
      [
        "session.yaml:1:36: error: nothing tells where {boot} ends and {game} begins",
        "write the text that stands between them, such as {boot}_{game}",
      ],
      ["session.yaml:1:36: error: the layout names {game} twice", "leave one of them out"],
      [
        'session.yaml:1:42: error: the layout has a "}" without its partner',
        "expected names from {game}, {config}, {pass}, {boot} and {cap}",
      ],
      [
        'session.yaml:1:43: error: the layout ends in ".csv", but a log\'s extension is no part of it',
        'leave ".csv" out: logs of every extension are read',
      ],
    ],
  },
  {
    situation: "colon-in-text",
    words: [
      [
        "session.yaml:1:8: error: this line has a second colon with a blank behind it, where another value would begin",
        "put a text that has a colon in double quotes",
      ],
    ],
  },
  {
    situation: "escape-codes",
    words: [
      ['session.yaml:1:1: error: the file has no key "\\x1b[31mred\\u{202e}"', `expected ${allKeys}`],
      [
        'session.yaml:2:7: error: lows is "\\x1b]8;;x\\x07"',
        "expected percentile, tail-average or time-weighted",
      ],
    ],
  },
  {
    situation: "fractions-for-percents",
    words: [
      [
        "session.yaml:1:10: error: matters could be meant as 3% or as 0.03%",
        "write matters: 3% or matters: 0.03%",
      ],
      [
        "session.yaml:2:13: error: confidence could be meant as 95% or as 0.95%",
        "write confidence: 95% or confidence: 0.95%",
      ],
    ],
  },
  {
    situation: "layout-without-pass",
    words: [
      [
        "session.yaml:1:9: error: the layout lacks {config} and {pass}",
        "expected {game}, {config} and {pass}, each once",
      ],
    ],
  },
  {
    situation: "list-as-key",
    words: [["session.yaml:1:3: error: a key is a list or a mapping here", "expected a text as key"]],
  },
  {
    situation: "missing-keys",
    words: [
      ['session.yaml:2:15: error: log > frame-time lacks the key "column"', "add column: and its value"],
      ['session.yaml:3:11: error: log > stream lacks the key "equals"', "add equals: and its value"],
      ['session.yaml:5:14: error: sensors > gpu-power lacks the key "column"', "add column: and its value"],
      ['session.yaml:8:5: error: set-aside > entry 1 lacks the key "why"', "add why: and its value"],
    ],
  },
  {
    situation: "misspelt-keys",
    words: [
      [
        'session.yaml:1:1: error: the file has no key "titel"',
        `expected ${allKeys}`,
        'did you mean "title"?',
      ],
      [
        'session.yaml:2:1: error: the file has no key "Baseline"',
        `expected ${allKeys}`,
        'did you mean "baseline"?',
      ],
      [
        'session.yaml:3:1: error: the file has no key "false_alarm_control"',
        `expected ${allKeys}`,
        'did you mean "false-alarm-control"?',
      ],
      ['session.yaml:4:1: error: the file has no key "colour"', `expected ${allKeys}`],
      [
        'session.yaml:6:3: error: log has no key "frameTime"',
        "expected frame-time, clock, stream, segment or for",
        'did you mean "frame-time"?',
      ],
      [
        'session.yaml:8:18: error: games > tide-runner has no key "tag"',
        "expected title, tags, scene, settings or frame-cap",
        'did you mean "tags"?',
      ],
      [
        'session.yaml:8:33: error: games > tide-runner has no key "threads"',
        "expected title, tags, scene, settings or frame-cap",
        "threads belongs under configs > <name>",
      ],
      ['session.yaml:9:1: error: the file has no key "__proto__"', `expected ${allKeys}`],
    ],
  },
  {
    situation: "open-quote",
    words: [
      [
        'session.yaml:3:1: error: this is not YAML: Missing closing "quote',
        "look above for what was opened and never closed",
      ],
    ],
  },
  {
    situation: "same-key-twice",
    words: [
      [
        'session.yaml:4:3: error: the key "tide-runner" stands here a second time',
        "keep one, and move what the other holds into it: the first is in line 3",
      ],
      [
        'session.yaml:5:1: error: the key "matters" stands here a second time',
        "keep one, and move what the other holds into it: the first is in line 1",
      ],
    ],
  },
  {
    situation: "tab-as-indent",
    words: [
      [
        "session.yaml:2:1: error: this is not YAML: Tabs are not allowed as indentation",
        "indent with spaces",
      ],
    ],
  },
  {
    situation: "two-documents",
    words: [
      ["session.yaml:2:1: error: a second YAML document begins here", "keep one, and leave out the line ---"],
    ],
  },
  {
    situation: "unknown-alias",
    words: [
      [
        "session.yaml:1:8: error: nothing above is named &stars",
        'put the text in double quotes if the * belongs to it: "*stars"',
      ],
    ],
  },
  {
    situation: "unknown-tag",
    words: [
      [
        "session.yaml:1:8: error: this is not YAML: Unresolved tag: !secret",
        "put a text that begins with ! in double quotes",
      ],
    ],
  },
  {
    situation: "whole-file-is-a-list",
    words: [
      ["session.yaml:2:1: error: the file is a list", "expected a mapping: lines of the form key: value"],
    ],
  },
  {
    situation: "wrong-values",
    words: [
      ["session.yaml:1:8: error: title is a mapping (key: value)", "expected a text"],
      [
        'session.yaml:2:7: error: lows is "percentil"',
        "expected percentile, tail-average or time-weighted",
        'did you mean "percentile"?',
      ],
      [
        'session.yaml:3:10: error: matters is "much"',
        "expected a percent above 0% and below 100%, such as 3%",
      ],
      [
        'session.yaml:4:13: error: confidence is "40%"',
        "expected a percent from 50% to below 100%, such as 95%",
      ],
      [
        'session.yaml:5:15: error: trim > skip is "2"',
        "expected a time with its unit (ms, s or min), such as 2s or 500ms",
      ],
      [
        'session.yaml:5:24: error: trim > keep is "0s"',
        "expected a time above 0 with its unit (ms, s or min), such as 60s, or all",
      ],
      [
        'session.yaml:7:34: error: log > frame-time > unit is "m"',
        "expected s, ms, us, ns or fps",
        'did you mean "ms"?',
      ],
      ['session.yaml:8:12: error: log > segment is "0"', "expected a whole number, 1 or more"],
      [
        'session.yaml:10:14: error: sensors > cpu-power is "package power"',
        "expected a mapping: lines of the form key: value",
      ],
      [
        'session.yaml:11:11: error: sensors > offset is "half a second"',
        "expected a time with its unit (ms, s or min), such as 0.5s or -200ms",
      ],
      ["session.yaml:12:8: error: games is a list", "expected a mapping: lines of the form key: value"],
      [
        'session.yaml:14:25: error: configs > quiet-35w > threads is "7.5"',
        "expected a whole number, 1 or more",
      ],
      [
        'session.yaml:14:39: error: configs > quiet-35w > changes is "power limit"',
        "expected a list of texts such as [racing, open world]",
      ],
      [
        'session.yaml:14:63: error: configs > quiet-35w > frame-cap is "-60"',
        "expected a number of FPS above 0, such as 60",
      ],
      [
        'session.yaml:16:13: error: set-aside > entry 1 > pass is "tide-runner/quiet-35w"',
        "expected game/config/pass, or game/config/boot/pass",
      ],
      ['session.yaml:16:41: error: set-aside > entry 1 > why is " "', "expected the reason in a few words"],
      [
        "session.yaml:17:4: error: set-aside > entry 2 is empty",
        "expected a mapping: lines of the form key: value",
      ],
    ],
  },
];

describe("what a session cannot say", () => {
  test.for(refused)("$situation is refused in plain words", ({ situation, words }) => {
    const reading = read(situation);
    expect(reading.words).toEqual(words);
    expect(reading.session).toBeNull();
  });
});

describe("a session file that is no session file", () => {
  test("nesting that would exhaust the stack is refused where it grows too deep", () => {
    const { session, problems } = readSession("[".repeat(100_000), "session.yaml");
    expect(session).toBeNull();
    expect(problems.map(inWords)).toEqual([
      ["session.yaml:1:65: error: values are nested more than 64 deep here", "expected at most five levels"],
    ]);
  });

  test("a file of more than 200,000 characters is refused unread", () => {
    const { problems } = readSession("x".repeat(200_001), "session.yaml");
    expect(problems.map(inWords)).toEqual([
      [
        "session.yaml: error: this is no session file: it has 200001 characters",
        "expected at most 200000 characters of YAML",
      ],
    ]);
  });

  test.for([
    { text: "frame-time: { column: x }", todo: "frame-time belongs under log" },
    { text: "cpu-power: { column: x }", todo: "cpu-power belongs under sensors" },
    { text: "frame-cap: 60", todo: "frame-cap belongs under games > <name> or under configs > <name>" },
    { text: "log: { trim: { skip: 2s } }", todo: "trim belongs at the top level, not indented" },
    { text: "why: spoiled", todo: "why belongs under set-aside" },
    { text: "games: { a: { <<: {} } }", todo: "write the values out: YAML 1.2 has no merging with <<" },
    {
      text: "layout: {game}/{config}/{pass}",
      todo: 'a text that begins with {, [ or a quote ends where that does: put all of it in double quotes, such as layout: "{game}/{config}/{pass}"',
    },
  ])("$text: $todo", ({ text, todo }) => {
    expect(readSession(text, "session.yaml").problems.map(inWords)[0]?.at(-1)).toBe(todo);
  });

  test("columns are counted in characters, and lines end with LF, CRLF or CR", () => {
    const text = 'title: \r"\u{1f3ae}"\r\nsystem: { "\u{1f3ae}\u{1f3ae}": x, y: [z] }';
    expect(readSession(text, "session.yaml").problems.map(({ at }) => at)).toEqual([placed(3, 23)]);
  });

  test("a file made of one long line takes its time only once", () => {
    const text = `games: { ${Array.from({ length: 15_000 }, (_, i) => `g${i}: {}`).join(", ")} }`;
    const begunMs = processorMs();
    expect(readSession(text, "session.yaml").session?.games.at(-1)?.at).toEqual(placed(1, text.length - 11));
    // Counting each column from the line's start takes more than ten seconds.
    expect(processorMs() - begunMs).toBeLessThan(5_000);
  });

  test("a flood of mistakes is cut at 50", () => {
    const text = Array.from({ length: 1000 }, (_, i) => `key-${i}: 1`).join("\n");
    expect(readSession(text, "session.yaml").problems).toHaveLength(50);
  });

  test("any text gives a session or errors with a place, never a crash", () => {
    const piece = fc.oneof(
      fc.constantFrom(
        "games",
        "matters",
        "set-aside",
        "log",
        "title",
        "layout",
        "{game}",
        "__proto__",
        "pass",
      ),
      fc.constantFrom(
        ": ",
        ":",
        "\n",
        "\n  ",
        "- ",
        "{",
        "}",
        "[",
        "]",
        ",",
        "#",
        "&a ",
        "*a",
        "!",
        "|",
        ">",
        '"',
        "'",
      ),
      fc.constantFrom("\t", "\r", "%", "? ", "---\n", "...\n", "<<", "~", "3%", "2s", "\uFEFF", "\u0000"),
      fc.string({ unit: "binary", maxLength: 4 }),
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 40 }), (pieces) => {
        const text = pieces.join("");
        const { session, problems } = readSession(text, "session.yaml");
        expect(session === null).toBe(problems.some(({ severity }) => severity === "error"));
        const lines = text.split(/\r\n|\r|\n/).length;
        for (const problem of problems) {
          expect(problem.at.line).toBeGreaterThanOrEqual(1);
          expect(problem.at.line).toBeLessThanOrEqual(lines);
          expect(problem.at.column).toBeGreaterThanOrEqual(1);
          expect(inWords(problem).join("")).not.toMatch(/[\p{Cc}\p{Cs}]/u);
        }
      }),
      { numRuns: 2000 },
    );
  });
});

describe("a session against its captures", () => {
  const passes = [
    { game: "tide-runner", config: "quiet-35w", pass: "pass-1", boot: "monday" },
    { game: "tide-runner", config: "quiet-35w", pass: "pass-1", boot: "tuesday" },
    { game: "tide-runner", config: "balanced-54w", pass: "pass-1", boot: null },
    { game: "tide-runner", config: "balanced-54w", pass: "pass-2", boot: null },
  ];

  test.for([
    { kind: "what was captured", text: "baseline: balanced-54w\ngames: {tide-runner: }", words: [] },
    {
      kind: "a baseline misspelt",
      text: "baseline: balanced-45w",
      words: [
        [
          'session.yaml:1:11: error: the baseline "balanced-45w" was not captured',
          'expected one of the captured configs: "quiet-35w" or "balanced-54w"',
          'did you mean "balanced-54w"?',
        ],
      ],
    },
    {
      kind: "a game and a config that were not captured",
      text: "games:\n  Tide Runner:\n  saltworks:\nconfigs:\n  full-65w:\n  quiet-35:",
      words: [
        [
          'session.yaml:2:3: warning: the game "Tide Runner" is described here, but was not captured',
          'did you mean "tide-runner"?',
        ],
        ['session.yaml:3:3: warning: the game "saltworks" is described here, but was not captured'],
        ['session.yaml:5:3: warning: the config "full-65w" is described here, but was not captured'],
        [
          'session.yaml:6:3: warning: the config "quiet-35" is described here, but was not captured',
          'did you mean "quiet-35w"?',
        ],
      ],
    },
    {
      kind: "a set-aside pass written with its extension",
      text: "set-aside:\n- { pass: tide-runner/balanced-54w/pass-2.csv, why: update }",
      words: [
        [
          'session.yaml:2:11: error: there is no pass "tide-runner/balanced-54w/pass-2.csv" to set aside',
          'did you mean "tide-runner/balanced-54w/pass-2"?',
        ],
      ],
    },
    {
      kind: "a set-aside pass that two boots have",
      text: "set-aside:\n- { pass: tide-runner/quiet-35w/pass-1, why: update }",
      words: [
        [
          'session.yaml:2:11: error: several passes are named "tide-runner/quiet-35w/pass-1": "tide-runner/quiet-35w/monday/pass-1" and "tide-runner/quiet-35w/tuesday/pass-1"',
          "name the boot too: game/config/boot/pass",
        ],
      ],
    },
    {
      kind: "a set-aside pass of a boot that has none of that name",
      text: "set-aside:\n- { pass: tide-runner/quiet-35w/sunday/pass-1, why: update }",
      words: [
        [
          'session.yaml:2:11: error: there is no pass "tide-runner/quiet-35w/sunday/pass-1" to set aside',
          'did you mean "tide-runner/quiet-35w/monday/pass-1"?',
        ],
      ],
    },
    {
      kind: "a set-aside pass misspelt, of one of several boots that the entry does not name",
      text: "set-aside:\n- { pass: tide-runner/quiet-35w/pas-1, why: update }",
      words: [
        [
          'session.yaml:2:11: error: there is no pass "tide-runner/quiet-35w/pas-1" to set aside',
          'did you mean "tide-runner/quiet-35w/pass-1"?',
        ],
      ],
    },
    {
      kind: "logs of games, of configs and of passes that are there",
      text: "log: { for: { tide-runner: {}, tide-runner/balanced-54w: {}, tide-runner/balanced-54w/pass-1: {}, tide-runner/quiet-35w/monday/pass-1: {} } }",
      words: [],
    },
    {
      kind: "a baseline that the layout makes a game of",
      text: "baseline: tide-runner",
      words: [
        [
          'session.yaml:1:11: error: the baseline "tide-runner" was not captured',
          'expected one of the captured configs: "quiet-35w" or "balanced-54w"',
          'by the layout "{game}/{config}/{pass}" it is a game: say in session.yaml which part of the path is the config, such as layout: "{config}/{game}/{pass}"',
        ],
      ],
    },
    {
      kind: "logs of a pass that is not there",
      text: "log:\n  for:\n    tide-runner/balanced-54w/pas-1: { segment: 2 }",
      words: [
        [
          'session.yaml:3:5: error: log > for names "tide-runner/balanced-54w/pas-1", and nothing captured is called so',
          "expected a game, a game/config, or a pass as game/config/pass",
          'did you mean "tide-runner/balanced-54w/pass-1"?',
        ],
      ],
    },
  ])("$kind", ({ text, words }) => {
    expect(checkSession(sessionOf(text), passes).map(inWords)).toEqual(words);
  });

  test("one pass filed under two names is one pass to set aside", () => {
    const session = sessionOf("set-aside: [{ pass: tide-runner/balanced-54w/pass-1, why: update }]");
    const twice = { game: "tide-runner", config: "balanced-54w", pass: "pass-1", boot: null };
    expect(checkSession(session, [twice, twice])).toEqual([]);
  });

  test("names that differ in spelling only are told, figures apart are not", () => {
    const of = (configs: readonly string[]) =>
      checkSession(
        sessionOf(""),
        configs.map((config) => ({ game: "tide", config, pass: "1", boot: null })),
      ).map(inWords);
    expect(of(["stock", "smt off", "SMT-off", "v1-0", "v10", "1.0", "10"])).toEqual([
      [
        ': warning: the configs "smt off" and "SMT-off" differ in spelling only, and are taken for two',
        "if they are one config, spell them alike where the logs lie",
      ],
    ]);
  });

  test("without any pass there is nothing to compare with", () => {
    expect(checkSession(sessionOf("baseline: x\ngames: {y: }"), [])).toEqual([]);
  });
});

describe("the JSON Schema of session.yaml", () => {
  const schema = sessionJsonSchema() as {
    readonly $id: string;
    readonly properties: Record<string, { readonly description?: string; readonly default?: unknown }>;
    readonly additionalProperties: boolean;
  };

  test("has an id and a draft, and knows no other keys", () => {
    expect(schema).toMatchObject({
      $schema: "https://json-schema.org/draft/2020-12/schema",
      $id: "urn:runjury:schema:session:1",
      type: "object",
      additionalProperties: false,
    });
    expect(schema).not.toHaveProperty("required");
  });

  test("describes every key, and says the default of every key that has one", () => {
    const defaults: Record<string, unknown> = {};
    for (const [key, { description, default: value }] of Object.entries(schema.properties)) {
      expect(description, key).toMatch(/\w\.$/);
      if (value !== undefined) defaults[key] = value;
    }
    expect(defaults).toEqual({
      layout: "{game}/{config}/{pass}",
      lows: "percentile",
      matters: "3%",
      confidence: "95%",
      "false-alarm-control": "columns",
      trim: {},
      log: {},
      sensors: {},
      games: {},
      configs: {},
      "set-aside": [],
      system: {},
    });
    expect(readSession(stringify(defaults), "session.yaml").session).toStrictEqual({
      ...defaultSession,
      layoutIs: "said",
    });
  });

  // The schema is read back by zod's own reader of JSON Schema, then asked about files it has never seen.
  const validator = z.fromJSONSchema(JSON.parse(JSON.stringify(schema)));

  test.for(["whole", "names-that-look-like-values"])("accepts %s, as the reader does", (situation) => {
    // Editors and YAML 1.2 agree on the values; a key with nothing after it is the reader's leniency alone.
    const value = parse(fixture(situation).replace(/^( +\S+):$/gm, "$1: {}"), { schema: "core" });
    expect(validator.safeParse(value).error).toBeUndefined();
  });

  test.for([
    "misspelt-keys",
    "wrong-values",
    "missing-keys",
    "fractions-for-percents",
    "whole-file-is-a-list",
  ])("refuses %s, as the reader does", (situation) => {
    expect(validator.safeParse(parse(fixture(situation), { schema: "core" })).success).toBe(false);
  });
});
