import { execFileSync, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdirSync, rmSync, symlinkSync, truncateSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { makeFolder, makeLog, put, putSession, runCli } from "../support/run-cli.ts";
import { runLimited } from "../support/run-limited.ts";

const limits = { seconds: 20, megabytes: 400 };

describe("what lies in a folder beside captures is neither waited for nor followed out of bounds", () => {
  test("pipes, devices and sockets with the names of logs", async () => {
    const folder = makeFolder();
    putSession(folder);
    const odd = path.join(folder, "saltworks/stock");
    execFileSync("mkfifo", [path.join(odd, "pipe.csv")]);
    symlinkSync("/dev/zero", path.join(odd, "zeros.csv"));
    symlinkSync("/dev/tty", path.join(odd, "terminal.log"));
    const socket = createServer();
    socket.listen(path.join(odd, "socket.csv"));
    await once(socket, "listening");
    try {
      const { status, stderr } = runLimited(["judge", folder, "--baseline", "stock"], limits);
      expect(stderr.match(/warning: not an ordinary file; it is not read/g)).toHaveLength(4);
      expect(status).toBe(0);
    } finally {
      socket.close();
    }
  });

  test("a session.yaml that is a pipe or a device is refused by name", () => {
    const folder = makeFolder();
    putSession(folder);
    const session = path.join(folder, "session.yaml");
    for (const make of [() => execFileSync("mkfifo", [session]), () => symlinkSync("/dev/zero", session)]) {
      make();
      const { status, stderr } = runLimited(["judge", folder], limits);
      expect(stderr).toMatch(/session\.yaml: error: not an ordinary file/);
      expect(status).toBe(2);
      rmSync(session);
    }
  });

  test.for(["/dev/zero", "/dev/urandom"])("%s as script or judgement ends with a message", (device) => {
    const folder = makeFolder();
    putSession(folder);
    const wide = { seconds: 20, megabytes: 1000 };
    for (const args of [
      ["check", device, folder],
      ["check", "README.md", device],
    ]) {
      const { status, stderr } = runLimited(args, wide);
      expect(stderr).toMatch(/larger than any file of its kind: over 256 MB/);
      expect(status).toBe(2);
    }
  });

  test("standard input without end as a script ends with a message", async () => {
    const folder = makeFolder();
    putSession(folder);
    const program = path.resolve("bin/runjury.js");
    const child = spawn("sh", ["-c", `"${process.execPath}" "${program}" check - "${folder}" </dev/zero`]);
    let stderr = "";
    child.stderr.on("data", (text) => {
      stderr += text;
    });
    const [status] = await once(child, "close");
    expect(stderr).toMatch(/larger than any file of its kind/);
    expect(status).toBe(2);
  });

  test("inspect refuses a pipe that nobody writes to, instead of waiting for ever", () => {
    const folder = makeFolder();
    execFileSync("mkfifo", [path.join(folder, "pass-1.csv")]);
    const { status, stderr } = runLimited(["inspect", path.join(folder, "pass-1.csv")], limits);
    expect(stderr).toMatch(/error: not an ordinary file/);
    expect(status).toBe(2);
  });

  test("links that make loops or lead out are entered once", () => {
    const folder = makeFolder();
    putSession(folder);
    symlinkSync("..", path.join(folder, "saltworks/stock/up"));
    symlinkSync(".", path.join(folder, "saltworks/here"));
    symlinkSync("b", path.join(folder, "saltworks/a"));
    symlinkSync("a", path.join(folder, "saltworks/b"));
    const outside = makeFolder();
    symlinkSync(outside, path.join(folder, "outside"));
    symlinkSync(folder, path.join(outside, "back"));
    const { status, stdout } = runLimited(["judge", folder, "--format", "json"], limits);
    expect(status).toBe(0);
    expect(JSON.parse(stdout).passes).toHaveLength(12);
  });

  test("names and layouts that climb out of the folder reach nothing outside", () => {
    const folder = makeFolder();
    putSession(folder);
    for (const layout of ["../{game}/{config}/{pass}", "{game}/../{config}/{pass}"]) {
      writeFileSync(path.join(folder, "session.yaml"), `layout: "${layout}"\n`);
      expect(runLimited(["judge", folder], limits).status).toBe(2);
    }
    writeFileSync(
      path.join(folder, "session.yaml"),
      "set-aside:\n  - { pass: ../../../etc/passwd, why: x }\n",
    );
    const { status, stdout, stderr } = runLimited(["judge", folder], limits);
    expect(stdout + stderr).not.toContain("root:");
    expect([0, 2]).toContain(status);
  });

  test("a log of 1 TB that is mostly a hole is refused unread, and the others are judged", () => {
    const folder = makeFolder();
    putSession(folder);
    const log = path.join(folder, "saltworks/stock/pass-9.csv");
    put(folder, "saltworks/stock/pass-9.csv", makeLog(9, 120));
    truncateSync(log, 2 ** 40);
    const { status, stdout, stderr } = runLimited(["judge", folder, "--format", "json"], limits);
    expect(stderr).toMatch(/pass-9\.csv: error: the log is longer than any capture/);
    expect(status).toBe(0);
    expect(JSON.parse(stdout).passes).toHaveLength(12);
  });

  test("folders within folders, 300 deep, are walked", () => {
    const folder = makeFolder();
    putSession(folder);
    mkdirSync(path.join(folder, ...Array.from({ length: 300 }, () => "d")), { recursive: true });
    expect(runLimited(["judge", folder], limits).status).toBe(0);
  });
});

describe("names that mean something to JavaScript are names like any other", () => {
  const names = ["__proto__", "constructor", "toString", "hasOwnProperty", "prototype"];

  test("as games, configs, titles, tags, columns and keys of a session file", () => {
    const folder = makeFolder();
    for (const [g, game] of names.entries()) {
      for (const [i, config] of ["stock", "__proto__", "constructor"].entries()) {
        for (const pass of [1, 2])
          put(folder, `${game}/${config}/pass-${pass}.csv`, makeLog(100 * g + 10 * i + pass, 90));
      }
    }
    const games = names.map((name) => `  ${name}: { title: ${name} title, tags: [__proto__, ${name}] }`);
    put(folder, "session.yaml", `games:\n${games.join("\n")}\nconfigs:\n  __proto__: { title: strange }\n`);
    const { status, stdout } = runCli(["judge", folder, "--format", "json"]);
    expect(status).toBe(0);
    const { session, passes, verdicts, suite } = JSON.parse(stdout);
    expect(new Set(session.games)).toEqual(new Set(names));
    expect(passes).toHaveLength(30);
    expect(verdicts.filter(({ game }: { game: string }) => game === "__proto__")).toHaveLength(4);
    expect(new Set(suite.map(({ tag }: { tag: string | null }) => tag))).toContain("__proto__");
  });

  test.for([
    "__proto__: { baseline: stock }",
    "constructor: { prototype: { baseline: stock } }",
    "trim: { __proto__: 1 }",
  ])("%s in a session file is an unknown key", (line) => {
    const folder = makeFolder();
    putSession(folder);
    put(folder, "session.yaml", `${line}\n`);
    const { status, stderr } = runCli(["judge", folder]);
    expect(stderr).toMatch(/session\.yaml:1:\d+: error: /);
    expect(status).toBe(2);
  });

  test("in a saved judgement and in claims", () => {
    const folder = makeFolder();
    putSession(folder);
    const saved = runCli(["judge", folder, "--format", "json"]).stdout;
    const strange = saved.replace(
      "{",
      '{ "__proto__": { "holds": true }, "constructor": { "prototype": null },',
    );
    put(folder, "out/judgement.json", strange);
    put(
      folder,
      "out/claims.yaml",
      "- { say: x, game: __proto__, config: parked, metric: 1% low, is: lower }\n",
    );
    const { status, stderr } = runCli([
      "check",
      path.join(folder, "out/claims.yaml"),
      path.join(folder, "out/judgement.json"),
    ]);
    expect(stderr).toMatch(/no game .*"__proto__"/);
    expect(status).toBe(2);
  });
});

describe("YAML that grows when it is read", () => {
  const bomb = ["a: &a [x, x, x, x, x, x, x, x, x]"];
  for (let i = 1; i < 12; i++) {
    const above = `*${String.fromCharCode(96 + i)}`;
    const name = String.fromCharCode(97 + i);
    bomb.push(`${name}: &${name} [${Array(9).fill(above).join(", ")}]`);
  }
  test.for([
    { what: "aliases of aliases", text: bomb.join("\n"), says: /more than 100 aliases/ },
    { what: "100,000 open brackets", text: "[".repeat(100_000), says: /nested more than 64 deep/ },
    {
      what: "40,000 nested mappings",
      text: `title: ${"{a: ".repeat(40_000)}`,
      says: /nested more than 64 deep/,
    },
    {
      what: "a chain of anchors",
      text: Array.from({ length: 5000 }, (_, i) => `k${i}: &a${i} [${i === 0 ? "x" : `*a${i - 1}`}]`).join(
        "\n",
      ),
      says: /more than 100 aliases/,
    },
    {
      what: "a scalar of 50 MB",
      text: `title: ${"x".repeat(50_000_000)}`,
      says: /expected at most 200000 characters/,
    },
  ])("$what: refused within 20 s and 400 MB", ({ text, says }) => {
    const folder = makeFolder();
    putSession(folder);
    put(folder, "session.yaml", text);
    const { status, stderr } = runLimited(["judge", folder], limits);
    expect(stderr).toMatch(/session\.yaml.*: error: /);
    expect(stderr).toMatch(says);
    expect(status).toBe(2);
  });
});
