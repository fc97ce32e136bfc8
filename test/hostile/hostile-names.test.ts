import { readFileSync, rmSync } from "node:fs";
import path from "node:path";
import { parse } from "csv-parse/sync";
import { parseHTML } from "linkedom";
import { describe, expect, test } from "vitest";
import { makeFolder, makeLog, put, runCli } from "../support/run-cli.ts";

const markup = `"><script>alert(7)</script><img src=x onerror=alert(7)>]]><!--</svg></style></title>{{7*7}}javascript:alert(7)`;
/** Escapes of a terminal, a new line, a right-to-left override, and C1. A slash cannot stand in a file's name. */
const escapes = "\u001b]0;title\u0007\u001b[2J\n\u202egnp\u009b5m";
const gameName = `${escapes}"><img src=x onerror=alert(7)>`;

const hostileConfig = "parked;=1+1<b onload=alert(7)>";

/** A session in which every name that can be chosen is hostile. */
function putHostileSession(folder: string): void {
  for (const [g, game] of [gameName, "=1+1"].entries()) {
    for (const [i, config] of ["stock", hostileConfig].entries()) {
      for (const pass of [1, 2, 3]) {
        const log = makeLog(100 * g + 10 * i + pass, 90 + 10 * i).replace(
          "elapsed_s",
          `elapsed_s,"=HYPERLINK(""x"")\u001b[31m<i>"`,
        );
        const rows = log
          .split("\n")
          .map((row, line) => (line === 0 ? row : row.replace(/,([^,]*)$/, `,${7 + (line % 2)},$1`)));
        put(folder, `${game}/${config}/${i === 0 ? "" : "<u>"}pass-${pass}.csv`, rows.join("\n"));
      }
    }
  }
  const title = JSON.stringify(`${escapes}${markup}`);
  const games = JSON.stringify(gameName).replaceAll("/", "\\/");
  put(
    folder,
    "session.yaml",
    `title: ${title}\ngames:\n  ${games}: { title: ${title}, tags: [${title}], scene: ${title}, settings: ${title} }\n` +
      `configs:\n  stock: { title: ${title} }\nsystem: { cpu: ${title}, os: ${title} }\n`,
  );
}

const folders = [
  ["judge", "--format", "table"],
  ["judge", "--format", "markdown"],
  ["judge", "--format", "csv"],
  ["judge", "--format", "json"],
  ["judge", "--details"],
  ["passes", "--format", "table"],
  ["passes", "--format", "csv"],
  ["passes", "--format", "markdown"],
  ["findings", "--format", "markdown"],
  ["findings", "--format", "csv"],
  ["inspect"],
  ["cap", "--format", "table"],
  ["cap", "--format", "csv"],
  ["cap", "--format", "markdown"],
  ["plan", "--format", "table"],
  ["plan", "--format", "csv"],
  ["plan", "--format", "markdown"],
] as const;

const ownTag = /<(script|img|b|i|u|title|svg)\b/i;

/** Cells that a spreadsheet would run, whether it splits at commas or at semicolons. */
function formulasIn(csv: string): string[] {
  const cells = [",", ";"].flatMap((delimiter): string[] =>
    parse(csv, { delimiter, relax_quotes: true, relax_column_count: true }).flat(),
  );
  return cells.filter((cell) => /^\s*(?:[=+@]|-(?![\d.]))/.test(cell));
}

describe("hostile names", () => {
  test.for(folders)("%s %s %s: nothing steers a terminal", ([command, ...options]) => {
    const folder = makeFolder();
    putHostileSession(folder);
    const { status, stdout, stderr } = runCli([command, folder, ...options]);
    expect(stderr).toBe(stderr.replace(/[^\P{Cc}\n]|\p{Cf}/gu, ""));
    expect(stdout.replace(/\r?\n/g, "")).not.toMatch(/[\p{Cc}\p{Cf}]/u);
    expect(status).toBe(0);
    if (options[1] === "csv") expect(formulasIn(stdout)).toEqual([]);
    if (options[1] === "markdown") expect(stdout).not.toMatch(ownTag);
  });

  test.for(["table", "markdown", "csv"])("check --format %s: neither those of a script", (format) => {
    const folder = makeFolder();
    putHostileSession(folder);
    const what = { config: hostileConfig, metric: "average FPS", is: "higher" };
    const claims = [
      { say: `=1+1;=2+2 ${markup} ${escapes} gains 5%.`, game: "=1+1", ...what },
      { say: `${escapes}@sum(a1)`, game: gameName, ...what },
    ];
    // JSON is YAML.
    put(folder, "claims.yaml", JSON.stringify(claims));
    const { status, stdout, stderr } = runCli([
      "check",
      path.join(folder, "claims.yaml"),
      folder,
      "--format",
      format,
    ]);
    expect(stderr).not.toMatch(/error/);
    expect(stdout.replace(/\r?\n/g, "")).not.toMatch(/[\p{Cc}\p{Cf}]/u);
    expect(status).toBe(0);
    if (format === "csv") expect(formulasIn(stdout)).toEqual([]);
    if (format === "markdown") expect(stdout).not.toMatch(ownTag);
  });

  test.for([
    ["judge", ".", "--matters", escapes],
    ["chart", ".", "--picture", escapes],
    ["schema", escapes],
    ["explain", escapes],
    ["judge", ".", `--${escapes}`],
    ["judge", escapes],
  ])("the refusal of %j steers no terminal", (args) => {
    const { status, stdout, stderr } = runCli(args);
    expect(stderr).toMatch(/error: /);
    expect(stderr).not.toMatch(/[^\P{Cc}\n]|\p{Cf}/u);
    expect(stderr).toContain("\\x1b");
    expect(stdout).toBe("");
    expect(status).toBe(2);
  });

  test("init writes a session file that reads back", () => {
    const folder = makeFolder();
    putHostileSession(folder);
    rmSync(path.join(folder, "session.yaml"));
    expect(runCli(["init", folder]).status).toBe(0);
    const { status, stdout } = runCli(["judge", folder, "--format", "json"]);
    expect(status).toBe(0);
    expect(JSON.parse(stdout).session.games).toContain(gameName);
  });

  test("the page holds them as text", () => {
    const folder = makeFolder();
    putHostileSession(folder);
    const file = path.join(makeFolder(), "page.html");
    expect(runCli(["report", folder, "--output", file]).status).toBe(0);
    const html = readFileSync(file, "utf8");
    expectHarmless(html);
    expect(parseHTML(html).document.body.textContent).toContain("<script>alert(7)</script>");
  });

  test.for(["verdicts", "passes", "traces", "tails"])("the picture %s holds them as text", (kind) => {
    const folder = makeFolder();
    putHostileSession(folder);
    const file = path.join(makeFolder(), "picture.svg");
    const { status, stderr } = runCli([
      "chart",
      folder,
      "--picture",
      kind,
      ...(kind === "verdicts" ? [] : ["--only", "=1+1"]),
      "--output",
      file,
    ]);
    expect(stderr).not.toMatch(/error/);
    expect(status).toBe(0);
    expectHarmless(readFileSync(file, "utf8"));
  });
});

function expectHarmless(text: string): void {
  const { document } = parseHTML(text);
  const elements = [...document.querySelectorAll("*")];
  expect(elements.length).toBeGreaterThan(20);
  for (const element of elements) {
    expect(["IFRAME", "OBJECT", "EMBED", "IMG", "FORM"]).not.toContain(element.tagName.toUpperCase());
    if (element.tagName.toUpperCase() === "SCRIPT") expect(element.textContent).not.toMatch(/^alert/);
    for (const { name, value } of [...element.attributes]) {
      expect(name).not.toMatch(/^on/i);
      expect(value).not.toMatch(/^\s*javascript:/i);
    }
  }
  expect(text.replace(/[\n\t]/g, "")).not.toMatch(/\p{Cc}|[\u202a-\u202e\u2066-\u2069]/u);
}
