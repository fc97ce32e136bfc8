import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { defaultSession } from "../../src/read/default-session.ts";
import { parseLayout } from "../../src/read/layout.ts";
import type { LogSettings } from "../../src/read/log.ts";
import { readSession, type Session } from "../../src/read/session-file.ts";
import type { SessionFound } from "../../src/read/session-found.ts";
import { writeSessionFile } from "../../src/report/session-file.ts";

const nothingFound: SessionFound = {
  title: null,
  layout: "{game}/{config}/{pass}",
  layoutIs: "usual",
  baseline: null,
  games: [],
  configs: [],
  log: {},
  questions: [],
};

const ordinary: SessionFound = {
  ...nothingFound,
  title: "captures",
  baseline: { name: "stock", because: "named" },
  games: [
    { name: "saltworks", passes: 6 },
    { name: "tide-runner", passes: 1 },
  ],
  configs: [
    { name: "quiet-35w", passes: 4 },
    { name: "stock", passes: 3 },
  ],
};

function readBack(text: string): Session {
  const { session, problems } = readSession(text, "session.yaml");
  expect(problems).toEqual([]);
  if (session === null) throw new Error("no session and no problem");
  return session;
}

/** The session that was found, by the reader's own defaults; places are the file's business. */
function expectSame(session: Session, found: SessionFound): void {
  const { layout } = parseLayout(found.layout);
  expect({
    ...session,
    baseline: session.baseline?.name ?? null,
    games: session.games.map(({ at, ...notes }) => notes),
    configs: session.configs.map(({ at, ...notes }) => notes),
  }).toStrictEqual({
    ...defaultSession,
    title: found.title,
    baseline: found.baseline?.name ?? null,
    layout,
    layoutIs: "said",
    log: found.log,
    games: found.games.map(({ name }) => ({
      name,
      title: name,
      tags: [],
      scene: null,
      settings: null,
      frameCapFps: null,
    })),
    configs: found.configs.map(({ name }) => ({
      name,
      title: name,
      threads: null,
      changes: [],
      levels: {},
      frameCapFps: null,
      capOf: null,
    })),
  });
}

describe("the session file that is written", () => {
  test("says what was found, and shows what else can be said", () => {
    expect(writeSessionFile(ordinary)).toMatchInlineSnapshot(`
      "# Written by \`runjury init\` from what it found. Change what you like; a key that is left out has its
      # default. \`runjury schema session\` prints the schema with which editors complete this file.

      title: captures

      # The config that the others are compared with. Taken for its name: is it right?
      baseline: stock

      # How the last parts of a log's path tell game, config and pass.
      layout: "{game}/{config}/{pass}"

      # For example: { title: Tide Runner, tags: [racing], scene: harbour flyover, frame-cap: 240 }
      games:
        saltworks: {} # 6 passes
        tide-runner: {} # 1 pass

      # For example: { title: Quiet 35 W, threads: 16, changes: [power limit] }
      configs:
        quiet-35w: {} # 4 passes
        stock: {} # 3 passes

      # Defaults, and examples of what else can be said. Remove the # to change one.
      # lows: percentile # or tail-average, time-weighted
      # matters: 3% # the smallest difference worth telling anyone about
      # confidence: 95%
      # false-alarm-control: columns # or strict
      # trim: { skip: 0s, keep: all } # the same window of every pass, such as { skip: 2s, keep: 60s }
      # set-aside: [{ pass: game/config/pass, why: "what spoiled it" }]
      # system: { cpu: 8 cores 16 threads, memory: 32 GB }
      "
    `);
  });

  test("names every config where none is known to be the baseline", () => {
    const text = writeSessionFile({ ...ordinary, baseline: null });
    expect(text).toContain("# baseline: quiet-35w\n# baseline: stock\n");
    expect(readBack(text).baseline).toBeNull();
    expect(readBack(text.replace("# baseline: stock", "baseline: stock")).baseline?.name).toBe("stock");
  });

  test("has the settled settings of the logs and the questions that are open", () => {
    const text = writeSessionFile({
      ...ordinary,
      log: { clock: { column: "elapsed", unit: "s" }, sensorOffsetS: -0.25 },
      questions: [
        {
          file: "captures/tide-runner/stock/pass-1.csv",
          question: "two columns could be the frame time",
          answers: [
            { settings: { frameTime: { column: "a: [ms]", unit: "ms" } }, meaning: "144.2 FPS on average" },
            { settings: { frameTime: { column: "b" } }, meaning: "72.1 FPS on average" },
          ],
        },
        {
          file: "captures/tide-runner/stock/pass-1.csv",
          question: "two columns could be CPU power",
          answers: [{ settings: { sensors: { "cpu-power": { column: "package" } } }, meaning: "41 W" }],
        },
      ],
    });
    expect(text.slice(text.indexOf("log:"), text.indexOf("games:"))).toMatchInlineSnapshot(`
      "log:
        clock: { column: elapsed, unit: s }
        # captures/tide-runner/stock/pass-1.csv: two columns could be the frame time
        # Remove the # before the lines that are right:
        # - 144.2 FPS on average
        # frame-time: { column: "a: [ms]", unit: ms }
        # - 72.1 FPS on average
        # frame-time: { column: b }

      # Columns of sensors.
      sensors:
        offset: -0.25s
        # captures/tide-runner/stock/pass-1.csv: two columns could be CPU power
        # Remove the # before the lines that are right:
        # - 41 W
        # cpu-power: { column: package }

      # For example: { title: Tide Runner, tags: [racing], scene: harbour flyover, frame-cap: 240 }
      "
    `);
    const answered = text.replace("  # frame-time: { column: b }", "  frame-time: { column: b }");
    expect(readBack(answered).log).toStrictEqual({
      clock: { column: "elapsed", unit: "s" },
      frameTime: { column: "b" },
      sensorOffsetS: -0.25,
    });
  });

  test("its commented defaults, uncommented, are the defaults", () => {
    const text = writeSessionFile(nothingFound).replace(
      /^# (lows|matters|confidence|false-alarm-control|trim):/gm,
      "$1:",
    );
    expect(text).toMatch(/^lows: percentile/m);
    expectSame(readBack(text), nothingFound);
  });

  test("its commented examples, uncommented, are a session", () => {
    const text = writeSessionFile(nothingFound).replace(/^# ([a-z-]+): /gm, "$1: ");
    const session = readBack(text);
    expect(session.title).toBe("what was tested, on what machine");
    expect(session.setAside).toHaveLength(1);
    expect(session.system).toHaveLength(2);
  });
});

describe("what is written is read back", () => {
  const hostile = fc.constantFrom(
    '"',
    "'",
    "\n",
    "\r\n",
    "\t",
    "\\",
    ": ",
    ":",
    " #",
    "#",
    "- ",
    "? ",
    "{",
    "}",
    "[",
    "]",
    ", ",
    "&a",
    "*a",
    "!t",
    "|",
    ">",
    "%",
    "@",
    "`",
    "~",
    "null",
    "true",
    "1e3",
    "0x10",
    "007",
    ".inf",
    "<<",
    "---",
    "...",
    "__proto__",
    "constructor",
    "\u001b[31m",
    "\u0000",
    "\u007f",
    "\u0085",
    "\u009b",
    "\u00a0",
    "\u202e",
    "\u2028",
    "\ufeff",
    "\ud800",
    "\u{1f3ae}",
    "\u{e0041}",
    "/",
    " ",
    "tide-runner",
  );
  const text = fc
    .array(fc.oneof(hostile, fc.string({ unit: "binary", maxLength: 3 })), { minLength: 1, maxLength: 12 })
    .map((pieces) => pieces.join(""));
  /** As read/layout.ts hands names on: composed. A Windows file name has at most 255 UTF-16 units. */
  const name = text.map((raw) => raw.normalize("NFC").slice(0, 255).normalize("NFC"));
  const names = fc
    .uniqueArray(name, { maxLength: 5 })
    .map((unique) => unique.map((each) => ({ name: each, passes: 3 })));

  const column = fc.record({ column: text }, { noNullPrototype: true });
  const unit = fc.constantFrom("s", "ms", "us", "ns");
  const log: fc.Arbitrary<LogSettings> = fc.record(
    {
      frameTime: fc.record(
        { column: text, unit: fc.constantFrom("s", "ms", "us", "ns", "fps") },
        { requiredKeys: ["column"], noNullPrototype: true },
      ),
      clock: fc.record({ column: text, unit }, { requiredKeys: ["column"], noNullPrototype: true }),
      stream: fc.record({ column: text, equals: text }, { requiredKeys: ["equals"], noNullPrototype: true }),
      segment: fc.integer({ min: 1, max: 99 }),
      sensors: fc.dictionary(fc.constantFrom("cpu-power", "gpu-power", "cpu-clock"), column, {
        minKeys: 1,
        noNullPrototype: true,
      }),
      sensorOffsetS: fc.integer({ min: 1, max: 9_999_999 }).map((ms) => ms / 1000),
    },
    { requiredKeys: [], noNullPrototype: true },
  );
  const question = fc.record({
    file: text,
    question: text,
    answers: fc.array(fc.record({ settings: log, meaning: text }), { maxLength: 3 }),
  });
  const found: fc.Arbitrary<SessionFound> = fc.record({
    title: fc.option(text),
    layoutIs: fc.constantFrom("usual" as const, "told" as const, "unclear" as const),
    layout: fc.constantFrom(
      "{game}/{config}/{pass}",
      "{game}_{config}_{pass}",
      "{config}: {game} #{boot}-{pass}",
    ),
    baseline: fc.option(fc.record({ name, because: fc.constantFrom("named" as const, "told" as const) })),
    games: names,
    configs: names,
    log,
    questions: fc.array(question, { maxLength: 3 }),
  });

  test("whatever the folders, files and columns are named", () => {
    fc.assert(
      fc.property(found, (it) => expectSame(readBack(writeSessionFile(it)), it)),
      { numRuns: 1000 },
    );
  });

  test("no name steers a terminal or breaks out of its line", () => {
    fc.assert(
      fc.property(found, (it) => {
        const written = writeSessionFile(it);
        expect(written.replaceAll("\n", "")).not.toMatch(/[\p{Cc}\p{Cs}\u2028-\u202e\ufeff]/u);
        for (const line of written.split("\n")) {
          expect(line).toMatch(/^$|^ *#|^[a-z-]+:|^ {2}/);
        }
      }),
    );
  });

  test.for([
    { kind: "255 control characters", name: "\u0001".repeat(255) },
    { kind: "255 lone surrogates", name: "\ud800".repeat(255) },
    { kind: "255 reversals of direction", name: "\u202e".repeat(255) },
    { kind: "quotes and backslashes", name: '\\"'.repeat(127) },
  ])("a name of $kind, longer than a key on one line may be", ({ name: long }) => {
    const it = { ...nothingFound, games: [{ name: long, passes: 1 }] };
    expectSame(readBack(writeSessionFile(it)), it);
  });

  test("what is asked of many logs alike is asked once", () => {
    const ask = (file: string, column: string, meaning: string) => ({
      ...{ file, question: "which column is the frame time" },
      answers: [{ settings: { frameTime: { column, unit: "ms" as const } }, meaning }],
    });
    const questions = [
      ask("a.csv", "A", "125.8 FPS"),
      ask("b.csv", "A", "130.1 FPS"),
      ask("c.csv", "B", "9 FPS"),
    ];
    const asked = writeSessionFile({ ...ordinary, questions }).match(/^ {2}# .*: which column is .*$/gm);
    expect(asked).toEqual([
      "  # a.csv and 1 more log: which column is the frame time",
      "  # c.csv: which column is the frame time",
    ]);
  });

  test("every answer to a question, uncommented, is that answer", () => {
    fc.assert(
      fc.property(log, (settings) => {
        const it = {
          ...nothingFound,
          questions: [{ file: "f", question: "q", answers: [{ settings, meaning: "m" }] }],
        };
        // An answer's lines are the comments that hold a mapping or a number under log: and sensors:.
        const answered = writeSessionFile(it).replace(/^ {2}# ([a-z-]+: (?:\{|\d|-\d).*)$/gm, "  $1");
        expect(readBack(answered).log).toStrictEqual(settings);
      }),
    );
  });
});
