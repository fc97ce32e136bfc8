import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import path from "node:path";
import { parse } from "csv-parse/sync";
import { beforeAll, describe, expect, test } from "vitest";
import { checkClaims } from "../../src/judge/check-claims.ts";
import type { Judgement } from "../../src/judge/judgement.ts";
import { judgeMeasured } from "../../src/pipeline/judge-folder.ts";
import { readScript } from "../../src/read/read-script.ts";
import { reasonText } from "../../src/report/claim-words.ts";
import { makeFolder, makeLog, put, putSession, runCli } from "../support/run-cli.ts";

const good = "fixtures/scripts/demo-script.md";
const wrong = "fixtures/scripts/demo-script-wrong.md";

describe("exit codes", () => {
  const holds = "One. <!-- claim: { game: saltworks, config: full-65w, metric: average FPS, is: higher } -->";
  const fails = "One. <!-- claim: { game: saltworks, config: full-65w, metric: average FPS, is: lower } -->";
  const typo = "One. <!-- claim: { game: saltwork, config: full-65w, metric: average FPS, is: higher } -->";
  const doubt =
    "One. <!-- claim: { game: hollow-parliament, config: full-65w, metric: average FPS, is: within-noise } -->";
  test.for([
    { it: "0 where every claim holds", script: holds, args: [], status: 0 },
    { it: "1 where one does not", script: `${holds}\n\n${fails}`, args: [], status: 1 },
    { it: "2 where one cannot be checked", script: `${holds}\n\n${fails}\n\n${typo}`, args: [], status: 2 },
    { it: "0 where one was only not refuted", script: doubt, args: [], status: 0 },
    { it: "1 for that under --strict", script: doubt, args: ["--strict"], status: 1 },
    { it: "0 where a number has no claim", script: `${holds}\n\nIt gains 7%.`, args: [], status: 0 },
    {
      it: "1 for that under --require-claims",
      script: `${holds}\n\nIt gains 7%.`,
      args: ["--require-claims"],
      status: 1,
    },
    { it: "0 without any claim, with a warning", script: "Nothing.", args: [], status: 0 },
    { it: "2 for an empty script", script: "", args: [], status: 2 },
  ])("$it", ({ script, args, status }) => {
    const result = runCli(["check", "-", "demo-data", ...args], { input: script });
    expect(result.status, result.stderr).toBe(status);
  });
});

test("a script without claims passes nothing: nothing was checked, and sizes in words want a claim too", () => {
  const script = "It runs twice as fast at full power. Nothing else.";
  expect(runCli(["check", "-", "demo-data"], { input: script }).stdout).toMatch(
    /^nothing checked: no claims; 1 sentence has a number that no claim checks\n/,
  );
  const asMarkdown = runCli(["check", "-", "demo-data", "--format", "markdown"], { input: script });
  expect(asMarkdown.stdout).toMatch(/^# Nothing checked\n/);
});

describe("bad input", () => {
  test.for([
    {
      it: "a script that is not there",
      args: ["check", "nowhere.md", "demo-data"],
      says: "nowhere.md: error: there is no such script",
    },
    { it: "a folder as script", args: ["check", "demo-data", good], says: "this is a folder, not a script" },
    {
      it: "a folder that is not there",
      args: ["check", good, "nowhere"],
      says: "neither such a folder nor such a saved judgement",
    },
    {
      it: "a file that is no judgement",
      args: ["check", good, "package.json"],
      says: "this is no saved judgement: format",
    },
    { it: "a file that is no JSON", args: ["check", good, good], says: "this is no saved judgement" },
    {
      it: "an option that judges, with a saved judgement",
      args: ["check", good, "package.json", "--matters", "2"],
      says: "--matters cannot change a saved judgement",
    },
  ])("$it", ({ args, says }) => {
    const { status, stdout, stderr } = runCli(args);
    expect(status).toBe(2);
    expect(stdout).toBe("");
    expect(stderr).toContain(says);
  });

  test("a script that is not UTF-8 is refused with its line", () => {
    const folder = makeFolder();
    put(folder, "script.md", Uint8Array.from([0x61, 0x0a, 0xe9, 0x0a]));
    const { status, stderr } = runCli(["check", path.join(folder, "script.md"), "demo-data"]);
    expect(status).toBe(2);
    expect(stderr).toMatch(/script\.md:2: error: this is not UTF-8/);
  });

  test("10,000 claims are all accounted for, in seconds", () => {
    const claims = ["is: higher", "is: lower", "is: hihger"].map(
      (is) => `One. <!-- claim: { game: saltworks, config: full-65w, metric: average FPS, ${is} } -->\n\n`,
    );
    const input = Array.from({ length: 10_000 }, (_, i) => claims[i % 3]).join("");
    const { stdout } = runCli(["check", "-", "demo-data", "--format", "json", "--quiet"], { input });
    const { counts, claims: told } = JSON.parse(stdout);
    expect(counts).toEqual({ found: 10_000, hold: 3334, fail: 3333, error: 3333 });
    expect(told).toHaveLength(10_000);
  });
});

test("the JSON holds every key of the data contract", () => {
  const { stdout } = runCli(["check", wrong, "demo-data", "--format", "json", "--quiet"]);
  const check = JSON.parse(stdout);
  expect(check.format).toBe("runjury.check/1");
  expect(check.holds).toBe(false);
  for (const claim of check.claims) {
    expect(claim.file).toBe(wrong);
    expect(typeof claim.line).toBe("number");
    expect(claim.sentence).toMatch(/\S/);
    expect(typeof claim.holds).toBe("boolean");
    expect(typeof claim.reason).toBe("string");
    expect(claim.holds || claim.reason !== "").toBe(true);
    // Each claim is an object of what it says, and was measured against something, unless it is an error.
    expect(claim.claim === null || typeof claim.claim.metric === "string").toBe(true);
    expect(claim.outcome === "error" || claim.measured.text !== "").toBe(true);
  }
  for (const open of check.unclaimedNumbers) {
    expect(Object.keys(open)).toEqual(expect.arrayContaining(["file", "line", "sentence"]));
  }
  const { found, hold, fail, error } = check.counts;
  expect(found).toBe(check.claims.length);
  expect(hold + fail + error).toBe(found);
});

describe("each claim of the good script, flipped", () => {
  const script = readFileSync(good, "utf8");
  let evidence: { own: Judgement; judgeAgainst: (baseline: string) => Judgement };
  beforeAll(async () => {
    const { judgement, judgeAgainst } = await judgeMeasured("demo-data", {}, {});
    const known = new Map<string, Judgement>();
    evidence = {
      own: judgement,
      judgeAgainst: (baseline) => {
        const judged = known.get(baseline) ?? judgeAgainst(baseline);
        known.set(baseline, judged);
        return judged;
      },
    };
  });
  const check = (text: string) =>
    checkClaims(readScript(text, good), evidence, { strict: true, requireClaims: false });

  const comments = [...script.matchAll(/<!-- claim:[\s\S]*?-->/g)].filter(
    ({ 0: text }) => !text.includes("nothing"),
  );
  const opposite: Readonly<Record<string, string>> = {
    higher: "lower",
    lower: "higher",
    same: "lower",
    unclear: "same",
    "not-higher": "higher",
  };
  const otherConfig: Readonly<Record<string, string>> = { "quiet-35w": "full-65w", "full-65w": "quiet-35w" };
  const otherMetric: Readonly<Record<string, string>> = {
    "1% low": "average FPS",
    "average FPS": "CPU power",
    "CPU power": "FPS per watt",
    "FPS per watt": "average FPS",
  };
  const flips: readonly { kind: string; flip: (comment: string) => string }[] = [
    { kind: "sign", flip: (c) => c.replace(/is: ([a-z-]+)/, (_, is) => `is: ${opposite[is]}`) },
    { kind: "size", flip: (c) => c.replace(/by: (\d+)%/, (_, by) => `by: ${Number(by) + 3}%`) },
    { kind: "value", flip: (c) => c.replace(/about: (\d+)/, (_, value) => `about: ${Number(value) + 3}`) },
    { kind: "limit", flip: (c) => c.replace(/differs-at-most: 2%/, "differs-at-most: 1%") },
    { kind: "order", flip: (c) => c.replace(/order: (.*) < (.*) < (.*)/, "order: $3 < $2 < $1") },
    { kind: "best", flip: (c) => c.replace("best: quiet-35w", "best: full-65w") },
    {
      kind: "config",
      flip: (c) => c.replace(/config: ([\w-]+)/, (_, config) => `config: ${otherConfig[config]}`),
    },
    {
      kind: "metric",
      flip: (c) => c.replace(/metric: ([^,\n]+?)(,|\n)/, (_, m, end) => `metric: ${otherMetric[m]}${end}`),
    },
    { kind: "game", flip: (c) => c.replace(/game: [\w-]+/, "game: moss-and-marrow") },
  ];
  /** Flips that are true of the data as well: the same holds of the other config, metric or game. */
  const alsoTrue = new Set([
    "config of ninth-lantern average FPS same",
    "config of kestrel-cup average FPS same",
    "config of tag adventure average FPS differs-at-most",
    "config of tag adventure average FPS not-higher",
    "metric of tag adventure average FPS not-higher",
    "config of hollow-parliament average FPS unclear",
    "metric of saltworks average FPS order",
    "game of ninth-lantern average FPS same",
    "game of kestrel-cup average FPS same",
    "game of saltworks FPS per watt best",
  ]);
  const nameOf = (comment: string): string =>
    [
      /game: ([\w-]+)/.exec(comment)?.[1] ?? (/tag: ([\w-]+)/.exec(comment)?.[0] ?? "suite").replace(":", ""),
      /metric: ([^,\n]+)/.exec(comment)?.[1],
      /is: ([a-z-]+)/.exec(comment)?.[1] ?? /(order|best|differs-at-most)/.exec(comment)?.[1],
    ].join(" ");

  test("the script itself holds, strictly", () => {
    const { counts, holds } = check(script);
    expect(counts).toEqual({ found: comments.length, hold: comments.length, fail: 0, error: 0 });
    expect(holds).toBe(true);
  });

  const cases = comments.flatMap(({ 0: comment, index }) =>
    flips.flatMap(({ kind, flip }) => {
      const flipped = flip(comment);
      return flipped === comment ? [] : [{ name: `${kind} of ${nameOf(comment)}`, comment, index, flipped }];
    }),
  );

  test("flips of sign or order, size, config and metric are tried on every claim that has them", () => {
    expect(cases.length).toBeGreaterThan(4 * comments.length);
  });

  test.for(cases)("$name", ({ name, comment, index, flipped }) => {
    const text = script.slice(0, index) + flipped + script.slice(index + comment.length);
    const { claims, holds } = check(text);
    const caught = claims.filter(({ outcome }) => outcome !== "holds");
    if (alsoTrue.has(name)) {
      expect(holds).toBe(true);
      return;
    }
    expect(holds).toBe(false);
    expect(caught).toHaveLength(1);
    expect(reasonText(caught[0] as (typeof caught)[number])).toMatch(/\S/);
  });
});

test("findings pass the check as they stand, strictly and with every number claimed", () => {
  const { stdout: script } = runCli(["findings", "demo-data"]);
  const { status, stdout, stderr } = runCli(
    ["check", "-", "demo-data", "--strict", "--require-claims", "--format", "json"],
    { input: script },
  );
  expect(stderr).toMatch(/^passed: /m);
  expect(status).toBe(0);
  expect(JSON.parse(stdout).counts.found).toBe([...script.matchAll(/<!-- claim:/g)].length);
  expect(script).toContain("Do not say that");
});

test("findings as JSON and as Markdown say the same", () => {
  const { stdout: markdown } = runCli(["findings", "demo-data"]);
  const { format, findings, mustNotSay } = JSON.parse(
    runCli(["findings", "demo-data", "--format", "json"]).stdout,
  );
  expect(format).toBe("runjury.findings/1");
  const all: { sentence: string; claims: string[] }[] = [...findings, ...mustNotSay];
  expect(all.length).toBe([...markdown.matchAll(/^- /gm)].length);
  for (const { sentence, claims } of all) {
    expect(markdown).toContain(
      `- ${sentence} ${claims.map((claim) => `<!-- claim: ${claim} -->`).join(" ")}\n`,
    );
  }
});

describe("a saved judgement", () => {
  const script = "One. <!-- claim: { game: saltworks, config: parked, metric: average FPS, is: lower } -->";

  function putJudged(): { folder: string; check: (...args: string[]) => ReturnType<typeof runCli> } {
    const folder = makeFolder();
    mkdirSync(path.join(folder, "captures"));
    putSession(path.join(folder, "captures"));
    put(folder, "captures/session.yaml", "baseline: stock\n");
    const judged = runCli(["judge", "captures", "--format", "json", "--output", "judgement.json"], {
      cwd: folder,
    });
    expect(judged.status).toBe(0);
    const check = (...args: string[]) =>
      runCli(["check", "-", "judgement.json", ...args], { cwd: folder, input: script });
    return { folder, check };
  }

  test("is believed while its captures and settings are what they were", () => {
    const { folder, check } = putJudged();
    put(folder, "captures/session.yaml", "# a comment changes nothing\nbaseline: stock\n");
    expect(check("--strict")).toMatchObject({ status: 0, stderr: "" });
  });

  test.for([
    {
      it: "a capture was made again",
      change: (folder: string) => put(folder, "captures/saltworks/stock/pass-1.csv", makeLog(99, 120)),
      says: /warning: the captures are no longer those of this judgement: changed captures\/saltworks\/stock\/pass-1\.csv/,
    },
    {
      it: "a capture was added",
      change: (folder: string) => put(folder, "captures/saltworks/stock/pass-4.csv", makeLog(99, 120)),
      says: /new captures\/saltworks\/stock\/pass-4\.csv/,
    },
    {
      it: "the settings changed",
      change: (folder: string) => put(folder, "captures/session.yaml", "baseline: stock\nmatters: 2%\n"),
      says: /warning: what captures\/session\.yaml says has changed/,
    },
    {
      it: "another version made it",
      change: (folder: string) =>
        edit(folder, (judgement) => ({ ...judgement, made: { ...judgement.made, version: "0.0.1" } })),
      says: /warning: this judgement was made by version 0\.0\.1/,
    },
    {
      it: "nobody knows from what it was made",
      change: (folder: string) => edit(folder, ({ made: _, ...judgement }) => judgement),
      says: /warning: the judgement does not say which captures/,
    },
    {
      it: "its captures are not here",
      change: (folder: string) =>
        edit(folder, (judgement) => ({ ...judgement, made: { ...judgement.made, folder: "gone" } })),
      says: /warning: the captures this judgement was made from \(gone\) are not here/,
    },
  ])("$it: it is told, and fails under --strict", ({ change, says }) => {
    const { folder, check } = putJudged();
    change(folder);
    const lenient = check();
    expect(lenient.status).toBe(0);
    expect(lenient.stderr).toMatch(says);
    expect(check("--strict").status).toBe(1);
  });

  function edit(folder: string, change: (judgement: Judgement) => object): void {
    const file = path.join(folder, "judgement.json");
    writeFileSync(file, JSON.stringify(change(JSON.parse(readFileSync(file, "utf8")))));
  }
});

test("the schema of claims names every key and word", () => {
  const schema = JSON.parse(runCli(["schema", "claims"]).stdout);
  expect(schema.type).toBe("array");
  expect(schema.items.required).toEqual(["say"]);
  expect(Object.keys(schema.items.properties)).toEqual(
    expect.arrayContaining(["game", "is", "by", "about", "order"]),
  );
  expect(schema.items.additionalProperties).toBe(false);
});

describe("CSV opens in a spreadsheet", () => {
  const csvOf = (args: string[], input?: string): string =>
    runCli([...args, "--format", "csv", "--quiet"], input === undefined ? {} : { input }).stdout;
  const formula =
    "=1+1 gains 7%. <!-- claim: { game: saltworks, config: full-65w, metric: average FPS, is: higher, by: 7% } -->";

  test("numbers are bare, and no text begins like a formula", () => {
    const [head, row] = parse(csvOf(["check", "-", "demo-data"], formula)) as string[][];
    const cell = (name: string): string => row?.[head?.indexOf(name) ?? -1] ?? "";
    expect(cell("sentence")).toBe("'=1+1 gains 7%.");
    expect(Number(cell("changePct"))).toBeCloseTo(6.94, 2);
    expect(cell("outcome")).toBe("holds");
  });

  const office = spawnSync("soffice", ["--version"], { encoding: "utf8" });
  // Where LibreOffice is installed, its own reading is the judge.
  test.runIf(office.status === 0)("LibreOffice reads numbers as numbers and no cell as a formula", () => {
    const folder = makeFolder();
    put(folder, "check.csv", csvOf(["check", "-", "demo-data"], formula));
    put(folder, "judge.csv", csvOf(["judge", "demo-data"]));
    for (const name of ["check", "judge"]) {
      const done = spawnSync(
        "soffice",
        [
          `-env:UserInstallation=file://${folder}/profile`,
          "--headless",
          "--convert-to",
          "fods",
          "--outdir",
          folder,
          path.join(folder, `${name}.csv`),
        ],
        {
          encoding: "utf8",
          timeout: 120_000,
          env: { PATH: process.env.PATH, HOME: folder, LC_ALL: "C.UTF-8" },
        },
      );
      expect(done.status, done.stderr).toBe(0);
      const sheet = readFileSync(path.join(folder, `${name}.fods`), "utf8");
      expect(sheet).not.toMatch(/table:formula/);
      expect([...sheet.matchAll(/office:value-type="float"/g)].length).toBeGreaterThan(
        name === "judge" ? 600 : 3,
      );
    }
    expect(readFileSync(path.join(folder, "check.fods"), "utf8")).toContain("=1+1 gains 7%.");
  });
});

describe("the README's section on the gate", () => {
  const readme = readFileSync("README.md", "utf8");
  const [, section = ""] = /## Gate the script\n([\s\S]*?)\n## /.exec(readme) ?? [];

  test("shows what its script gives", () => {
    const [, script = ""] = /```markdown\n([\s\S]*?)```/.exec(section) ?? [];
    const [, screen] =
      /```console\n\$ npx runjury check script.md demo-data\n([\s\S]*?)```/.exec(section) ?? [];
    const folder = makeFolder();
    put(folder, "script.md", script);
    const { stdout, status } = runCli(["check", "script.md", path.resolve("demo-data")], { cwd: folder });
    expect(stdout).toBe(screen);
    expect(status).toBe(1);
  });

  test("pipes JSON into a table that a spreadsheet opens", () => {
    const [, program = ""] = /\| node -e '(.*)' > verdicts\.tsv/.exec(section) ?? [];
    const { stdout: json } = runCli(["judge", "demo-data", "--format", "json"]);
    const { stdout } = spawnSync(process.execPath, ["-e", program], { input: json, encoding: "utf8" });
    const rows = parse(stdout, { delimiter: "\t" }) as string[][];
    expect(rows[0]).toEqual(["game", "config", "metric", "changePct", "verdict"]);
    expect(rows).toHaveLength(1 + JSON.parse(json).verdicts.length);
    for (const row of rows.slice(1)) expect(Number(row[3])).not.toBeNaN();
  });
});
