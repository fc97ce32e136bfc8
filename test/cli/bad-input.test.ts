import { execFileSync, spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, rmSync, symlinkSync, unlinkSync, writeFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { digestFolder, makeFolder, makeLog, put, putSession, runCli } from "../support/run-cli.ts";

/** A folder that cannot be judged: what is put into it, and what the user is told. */
interface Refused {
  readonly situation: string;
  readonly fill: (folder: string) => void;
  readonly args?: readonly string[];
  readonly says: readonly RegExp[];
}

const refused: readonly Refused[] = [
  {
    situation: "the folder is missing",
    fill: (folder) => rmSync(folder, { recursive: true }),
    says: [/error: there is no such folder/],
  },
  { situation: "the folder is empty", fill: () => undefined, says: [/error: the folder holds no logs/] },
  {
    situation: "the folder is a file",
    fill: (folder) => {
      rmSync(folder, { recursive: true });
      writeFileSync(folder, "x");
    },
    says: [/error: this is not a folder/],
  },
  {
    situation: "there are files but no logs",
    fill: (folder) => put(folder, "notes/monday.docx", "x"),
    says: [/holds no logs, only files such as monday\.docx/, /expected files named \.csv/],
  },
  {
    situation: "there is one config only",
    fill: (folder) => put(folder, "saltworks/stock/pass-1.csv", makeLog(1, 100)),
    says: [/the only config is "stock"/],
  },
  {
    situation: "the baseline is unknown",
    fill: putSession,
    args: ["--baseline", "stok"],
    says: [/no config is called "stok"/, /expected one of parked, stock/, /did you mean "stock"\?/],
  },
  {
    situation: "no config has a baseline's name",
    fill: (folder) => {
      for (const config of ["quiet-35w", "full-65w"]) {
        put(folder, `saltworks/${config}/pass-1.csv`, makeLog(config.length, 100));
      }
    },
    says: [/which config is the baseline\?/, /expected one of full-65w, quiet-35w/, /--baseline <config>/],
  },
  {
    situation: "every log is unreadable",
    fill: (folder) => {
      put(folder, "saltworks/stock/pass-1.csv", "");
      put(folder, "saltworks/parked/pass-1.csv", "");
    },
    says: [/pass-1\.csv: error: /, /nothing to judge/],
  },
  {
    situation: "--only names nothing that exists",
    fill: putSession,
    args: ["--only", "saltwork"],
    says: [/no game or config is called "saltwork"/, /did you mean "saltworks"\?/],
  },
  {
    situation: "an option has a value that makes no sense",
    fill: putSession,
    args: ["--matters", "a lot"],
    says: [/--matters/, /Expected a percent/],
  },
  {
    situation: "an option is unknown",
    fill: putSession,
    args: ["--colour"],
    says: [/unknown option '--colour'/],
  },
  {
    situation: "the session file is missing",
    fill: putSession,
    args: ["--session", "elsewhere.yaml"],
    says: [/elsewhere\.yaml: error: /],
  },
  {
    situation: "the result cannot be written",
    fill: putSession,
    args: ["--output", "/no/such/folder/result.json"],
    says: [/\/no\/such\/folder\/result\.json: error: cannot be written \(ENOENT\)/],
  },
];

describe("what cannot be done ends with exit code 2 and a message that says what to do", () => {
  test.for(refused)("$situation", ({ fill, args = [], says }) => {
    const folder = makeFolder();
    fill(folder);
    const { status, stdout, stderr } = runCli(["judge", folder, ...args]);
    for (const words of says) expect(stderr).toMatch(words);
    expect(stdout).toBe("");
    expect(status).toBe(2);
  });
});

/** One bad thing among a good session: what is reported, and that the rest is judged. */
interface Survived {
  readonly situation: string;
  readonly fill: (folder: string) => void;
  readonly says: RegExp;
  /** Passes in the judgement; the good session has 12. */
  readonly passes: number;
}

const extra = "saltworks/stock/pass-4.csv";
const survived: readonly Survived[] = [
  {
    situation: "a log that cannot be opened",
    fill: (folder) => symlinkSync("/no/such/file", path.join(folder, extra)),
    says: /pass-4\.csv: error: cannot be read \(ENOENT\)/,
    passes: 12,
  },
  {
    situation: "a log with words in its frame-time column",
    fill: (folder) =>
      put(
        folder,
        extra,
        `frame,frame_time_ms\n${Array.from({ length: 50 }, (_, i) => `${i},fast`).join("\n")}\n`,
      ),
    says: /pass-4\.csv:.*error: .*frame_time_ms.*"fast"/,
    passes: 12,
  },
  {
    situation: "an empty log",
    fill: (folder) => put(folder, extra, ""),
    says: /pass-4\.csv: error: .*empty/,
    passes: 12,
  },
  {
    situation: "a log with a header only",
    fill: (folder) => put(folder, extra, "frame,elapsed_s,frame_time_ms\n"),
    says: /pass-4\.csv.*: error: /,
    passes: 12,
  },
  {
    situation: "a binary file with a log's name",
    fill: (folder) =>
      put(
        folder,
        extra,
        Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919) % 256),
      ),
    says: /pass-4\.csv: error: /,
    passes: 12,
  },
  {
    situation: "a folder named x.csv",
    fill: (folder) => mkdirSync(path.join(folder, "saltworks/stock/x.csv")),
    says: /x\.csv: warning: a folder with a log's name/,
    passes: 12,
  },
  {
    situation: "a link that leads back to the session",
    fill: (folder) => symlinkSync(folder, path.join(folder, "saltworks/again")),
    says: /again: warning: this link leads to a folder that is read already/,
    passes: 12,
  },
  {
    situation: "a link to itself",
    fill: (folder) => symlinkSync("itself.csv", path.join(folder, "saltworks/stock/itself.csv")),
    says: /itself\.csv: warning: this link/,
    passes: 12,
  },
  {
    situation: "a sensor log whose log is gone",
    fill: (folder) =>
      put(folder, "saltworks/stock/pass-4.sensors.csv", "elapsed_s,cpu_power_w\n0,50\n1,52\n"),
    says: /pass-4\.sensors\.csv: warning: a sensor log without a log of frames beside it/,
    passes: 12,
  },
  {
    situation: "a pipe with a log's name",
    fill: (folder) => execFileSync("mkfifo", [path.join(folder, extra)]),
    says: /pass-4\.csv: warning: not an ordinary file/,
    passes: 12,
  },
  {
    situation: "the same pass twice",
    fill: (folder) => put(folder, "saltworks/stock/pass-3.tsv", makeLog(99, 120).replaceAll(",", "\t")),
    says: /pass-3\.tsv: error: this pass is filed twice/,
    passes: 12,
  },
];

describe("one bad file never takes the session down", () => {
  test.for(survived)("$situation", ({ fill, says, passes }) => {
    const folder = makeFolder();
    putSession(folder);
    fill(folder);
    const before = digestFolder(folder);
    const { status, stdout, stderr } = runCli(["judge", folder, "--format", "json"]);
    expect(stderr).toMatch(says);
    expect(status).toBe(0);
    const judgement = JSON.parse(stdout);
    expect(judgement.passes).toHaveLength(passes);
    expect(judgement.verdicts).toHaveLength(4);
    expect(digestFolder(folder)).toBe(before);
  });

  test("a log with two frames is no pass: it stays in the list and does not count", () => {
    const folder = makeFolder();
    putSession(folder);
    put(folder, extra, "frame_time_ms\n8.1\n8.2\n");
    const { status, stdout } = runCli(["judge", folder, "--format", "json"]);
    expect(status).toBe(0);
    const judgement = JSON.parse(stdout);
    const pass = judgement.passes.find((row: { pass: string }) => row.pass === "pass-4");
    expect(pass).toMatchObject({
      frames: 2,
      counted: false,
      notCountedBecause: "too short to be a pass: 2 frames",
    });
  });

  test("a log that was left out is named in the judgement itself", () => {
    const folder = makeFolder();
    putSession(folder);
    put(folder, extra, "");
    const { cautions } = JSON.parse(runCli(["judge", folder, "--format", "json"]).stdout);
    expect(cautions).toContainEqual({ code: "not-read", text: `One log was not read: ${folder}/${extra}.` });
  });
});

describe("names are untrusted text", () => {
  // ESC [ 31 m, a bell, a newline, a right-to-left override, and C1 CSI.
  const hostile = "evil\u001b[31m\u0007\n\u202etxt\u009b5m";

  test.for(["table", "csv", "markdown", "json"])("no control character of a name reaches %s", (format) => {
    const folder = makeFolder();
    putSession(folder);
    for (const pass of [1, 2, 3]) {
      put(folder, `${hostile}/stock/pass-${pass}.csv`, makeLog(100 + pass, 90));
      put(folder, `${hostile}/parked/${hostile}-${pass}.csv`, makeLog(200 + pass, 90));
    }
    put(folder, `${hostile}/parked/empty.csv`, "");
    const { status, stdout, stderr } = runCli(["judge", folder, "--format", format]);
    expect(status).toBe(0);
    expect((stderr + stdout).replace(/\r?\n/g, "")).not.toMatch(/[\p{Cc}\p{Cf}]/u);
    expect(stdout).toContain("evil");
    expect(stderr).toContain("\\x1b[31m\\x07\\n\\u{202e}txt\\x9b5m");
    if (format === "json") expect(JSON.parse(stdout).session.games).toContain(hostile);
  });

  test.for(["=1+1", "+1", "-1", "@sum", "'=1"])("a game called %s is no formula in CSV", (game) => {
    const folder = makeFolder();
    for (const config of ["stock", "parked"]) {
      put(folder, `${game}/${config}/pass-1.csv`, makeLog(config.length, 90));
    }
    const { stdout } = runCli(["judge", folder, "--format", "csv"]);
    expect(stdout.split("\r\n")[1]?.startsWith(`'${game},`)).toBe(true);
  });
});

describe("other ways to end", () => {
  test("a reader that has seen enough ends it quietly", () => {
    const folder = makeFolder();
    putSession(folder);
    const program = path.resolve("bin/runjury.js");
    const shell = `"${process.execPath}" "${program}" judge "${folder}" --format json | head -n 1; echo "\${PIPESTATUS[0]}"`;
    const out = execFileSync("bash", ["-c", shell], { encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
    expect(out).toBe("{\n0\n");
  });

  test("a clone that was never built says so", () => {
    const folder = makeFolder();
    put(folder, "package.json", '{ "type": "module" }');
    put(folder, "bin/runjury.js", readFileSync("bin/runjury.js"));
    const program = path.join(folder, "bin/runjury.js");
    const { status, stderr } = spawnSync(process.execPath, [program, "--version"], { encoding: "utf8" });
    expect(status).toBe(2);
    expect(stderr).toBe(
      "runjury: error: it has not been built yet\n  run npm run build beside its package.json\n",
    );
  });

  test("--output leaves the whole result and nothing else", () => {
    const folder = makeFolder();
    putSession(folder);
    const out = makeFolder();
    const file = path.join(out, "judgement.json");
    const { status, stdout } = runCli(["judge", folder, "--format", "json", "--output", file]);
    expect([status, stdout]).toEqual([0, ""]);
    const direct = runCli(["judge", folder, "--format", "json"]).stdout;
    expect(execFileSync("cat", [file], { encoding: "utf8" })).toBe(direct);
    unlinkSync(file);
    expect(execFileSync("ls", ["-A", out], { encoding: "utf8" })).toBe("");
  });

  test("--quiet leaves standard error empty, but for errors", () => {
    const folder = makeFolder();
    putSession(folder);
    symlinkSync(folder, path.join(folder, "again"));
    expect(runCli(["judge", folder, "--quiet"]).stderr).toBe("");
    put(folder, extra, "");
    expect(runCli(["judge", folder, "--quiet"]).stderr).toMatch(/error/);
  });

  test("--version and --help end with 0, an unknown command's folder with 2", () => {
    expect(runCli(["--version"])).toMatchObject({
      status: 0,
      stdout: expect.stringMatching(/^\d+\.\d+\.\d+\n$/),
    });
    expect(runCli(["--help"]).status).toBe(0);
    expect(runCli([]).status).toBe(2);
  });
});
