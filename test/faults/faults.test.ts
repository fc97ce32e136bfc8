import { execFile, execFileSync, spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import {
  appendFileSync,
  chmodSync,
  closeSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { promisify } from "node:util";
import { afterAll, describe, expect, onTestFinished, test } from "vitest";
import { digestFolder, makeFolder, makeLog, put, putSession, runCli } from "../support/run-cli.ts";

const program = path.resolve("bin/runjury.js");
const env = { PATH: process.env.PATH, NO_COLOR: "1", XDG_CACHE_HOME: "/dev/null/none" };

/** What a shell says of a command line, "runjury" being the built program. */
function shell(line: string): { status: number | null; stdout: string; stderr: string } {
  const script = `runjury() { "${process.execPath}" "${program}" "$@"; }\n${line}`;
  return spawnSync("bash", ["--norc", "-c", script], { encoding: "utf8", env, timeout: 110_000 });
}

function makeSession(): string {
  const folder = makeFolder();
  putSession(folder);
  return folder;
}

const noStack = /^(?![\s\S]*^\s+at )/m;

const claim = `Nothing changed. <!-- claim: { suite: true, config: parked, metric: average FPS, is: same } -->\n`;

describe("a disk that is full", () => {
  test.for([
    ["judge", "."],
    ["passes", "."],
    ["findings", "."],
    ["cap", "."],
    ["check", "script.md", "."],
    ["inspect", "."],
    ["inspect", "kestrel-cup/stock/pass-1.csv"],
    ["follow", "."],
    ["follow", ".", "--format", "jsonl"],
  ])("%s %s to standard output ends with 2 and a message", (args) => {
    const full = openSync("/dev/full", "w");
    const session = makeSession();
    put(session, "script.md", claim);
    const { status, stderr } = spawnSync(process.execPath, [program, ...args], {
      cwd: session,
      encoding: "utf8",
      env,
      stdio: ["ignore", full, "pipe"],
      timeout: 110_000,
    });
    closeSync(full);
    expect(stderr).toMatch(/standard output: error: cannot be written \(ENOSPC\)/);
    expect(stderr).toMatch(noStack);
    expect(status).toBe(2);
  });

  test("--help ends with 2", () => {
    expect(shell("runjury --help > /dev/full; exit $?").status).toBe(2);
  });

  test("--output beyond the largest file allowed: 2, no file, no draft", () => {
    const folder = makeSession();
    const out = makeFolder();
    // Blocks of 1,024 bytes; Node takes EFBIG where the shell ignores the signal.
    const { status, stderr } = shell(
      `trap '' XFSZ; ulimit -f 4; runjury judge "${folder}" --format json --output "${out}/judgement.json"; exit $?`,
    );
    expect(stderr).toMatch(/judgement\.json: error: cannot be written \(EFBIG\)/);
    expect(status).toBe(2);
    expect(readdirSync(out)).toEqual([]);
  });
});

/** A file system of 256 kB in memory; null where this user may not mount one. */
function mountSmall(): string | null {
  const folder = mkdtempSync(path.join(tmpdir(), "small-"));
  const { status } = spawnSync("mount", ["-t", "tmpfs", "-o", "size=256k", "tmpfs", folder]);
  if (status === 0) return folder;
  rmSync(folder, { recursive: true });
  return null;
}

const small = mountSmall();
afterAll(() => {
  if (small === null) return;
  execFileSync("umount", [small]);
  rmSync(small, { recursive: true });
});

describe.skipIf(small === null)("a file system with 4 kB left, or none", () => {
  const folder = small ?? "";
  const fill = (leaving: number): void => {
    const filled = path.join(folder, "filled");
    writeFileSync(filled, Buffer.alloc((256 - leaving) * 1024));
    onTestFinished(() => {
      for (const name of readdirSync(folder)) rmSync(path.join(folder, name), { recursive: true });
    });
  };
  const log = "kestrel-cup/stock/pass-1.csv";
  test.for([
    { args: ["judge", ".", "--format", "json"], output: "judgement.json" },
    { args: ["findings", "."], output: "findings.md", left: 0 },
    { args: ["passes", ".", "--format", "csv"], output: "passes.csv", left: 0 },
    { args: ["report", "."], output: "report.html" },
    { args: ["chart", "."], output: "verdicts.svg" },
    { args: ["chart", "."], output: "verdicts.png" },
    { args: ["captions", log, "--every", "0.05"], output: "captions.vtt" },
    { args: ["cap", ".", "--format", "json"], output: "caps.json", left: 0 },
    { args: ["check", "script.md", ".", "--format", "json"], output: "check.json", left: 0 },
    { args: ["inspect", log, "--format", "json"], output: "inspection.json", left: 0 },
    { args: ["plan", ".", "--passes", "9", "--sheet", "--format", "json"], output: "plan.json" },
  ])("$output: 2, a message, nothing half-written", ({ args, output, left = 4 }) => {
    const session = makeSession();
    put(session, "script.md", claim);
    const before = digestFolder(session);
    fill(left);
    const { status, stderr } = runCli([...args, "--output", path.join(folder, output)], { cwd: session });
    expect(stderr).toContain(`${output}: error: cannot be written (ENOSPC)`);
    expect(status).toBe(2);
    expect(readdirSync(folder)).toEqual(["filled"]);
    expect(digestFolder(session)).toBe(before);
  });

  test("init writes no half of a session file", () => {
    const session = makeSession();
    fill(0);
    const { status, stderr } = runCli(["init", session, "--output", path.join(folder, "session.yaml")]);
    expect(stderr).toContain("session.yaml: error: cannot be written (ENOSPC)");
    expect(status).toBe(2);
    expect(readdirSync(folder)).toEqual(["filled"]);
  });

  test("a cache that does not fit is done without", () => {
    const session = makeSession();
    const without = runCli(["judge", session, "--no-cache"]);
    fill(4);
    const cache = path.join(folder, "cache");
    for (const _ of [1, 2]) expect(runCli(["judge", session, "--cache-dir", cache])).toEqual(without);
    const drafts = readdirSync(cache, { recursive: true, encoding: "utf8" });
    expect(drafts.filter((name) => path.basename(name).startsWith("."))).toEqual([]);
  });
});

describe("an output that cannot be", () => {
  test("a folder is refused and left alone", () => {
    const out = makeFolder();
    put(out, "there/kept.txt", "x");
    const { status, stderr } = runCli(["judge", makeSession(), "--output", path.join(out, "there")]);
    expect(stderr).toMatch(/there: error: cannot be written \(EISDIR\)/);
    expect(status).toBe(2);
    expect(readdirSync(out, { recursive: true }).sort()).toEqual(["there", "there/kept.txt"]);
  });

  test("a folder without permission to write", () => {
    const folder = makeSession();
    const out = makeFolder();
    chmodSync(folder, 0o755);
    chmodSync(out, 0o555);
    // Root may write anywhere, so the program runs as nobody.
    const nobody = process.getuid?.() === 0 ? { uid: 65534, gid: 65534 } : {};
    const args = ["judge", folder, "--output", path.join(out, "judgement.txt")];
    const { status, stderr } = spawnSync(process.execPath, [program, ...args], {
      encoding: "utf8",
      env,
      ...nobody,
    });
    expect(stderr).toMatch(/judgement\.txt: error: cannot be written \((EACCES|EROFS)\)/);
    expect(status).toBe(2);
    expect(readdirSync(out)).toEqual([]);
  });

  test("a device is written to and stays a device", () => {
    const { status } = runCli(["judge", makeSession(), "--output", "/dev/null"]);
    expect(status).toBe(0);
    expect(statSync("/dev/null").isCharacterDevice()).toBe(true);
    expect(runCli(["judge", makeSession(), "--output", "/dev/full"])).toMatchObject({
      status: 2,
      stderr: expect.stringMatching(/\/dev\/full: error: cannot be written \(ENOSPC\)/),
    });
  });

  test("a link is followed, not replaced", () => {
    const out = makeFolder();
    writeFileSync(path.join(out, "real.txt"), "old");
    symlinkSync("real.txt", path.join(out, "link.txt"));
    expect(runCli(["judge", makeSession(), "--output", path.join(out, "link.txt")]).status).toBe(0);
    expect(readFileSync(path.join(out, "real.txt"), "utf8")).not.toBe("old");
    expect(readdirSync(out).sort()).toEqual(["link.txt", "real.txt"]);
  });

  test("a name as long as names may be", () => {
    const file = path.join(makeFolder(), "x".repeat(255));
    expect(runCli(["judge", makeSession(), "--output", file]).status).toBe(0);
    expect(existsSync(file)).toBe(true);
  });
});

describe("readers that leave early", () => {
  test.for(["table", "json", "csv", "markdown"])("judge as %s ends with 0 and says nothing", (format) => {
    const { stdout, stderr } = shell(
      `runjury judge "${makeSession()}" --format ${format} | true; echo "\${PIPESTATUS[0]}"`,
    );
    expect([stdout, stderr]).toEqual(["0\n", ""]);
  });

  test("a gate keeps its answer whoever reads it", async () => {
    const folder = makeSession();
    put(
      folder,
      "script.md",
      "It is 50% slower. <!-- claim: { game: kestrel-cup, config: parked, metric: average FPS, is: lower, by: 50% } -->\n",
    );
    const check = `runjury check "${folder}/script.md" "${folder}"`;
    expect(shell(`${check} | true; echo "\${PIPESTATUS[0]}"`).stdout).toBe("1\n");
    expect(shell(`${check} 2> >(exec true) >/dev/null; echo $?`).stdout).toBe("1\n");
    // Standard error is closed before anything is written to it; the result still has to be.
    const out = path.join(makeFolder(), "check.json");
    symlinkSync(folder, path.join(folder, "again"));
    const child = spawn(
      process.execPath,
      [program, "check", `${folder}/script.md`, folder, "--output", out, "--format", "json"],
      {
        env,
        stdio: ["ignore", "ignore", "pipe"],
      },
    );
    child.stderr.destroy();
    expect((await once(child, "close"))[0]).toBe(1);
    expect(JSON.parse(readFileSync(out, "utf8")).holds).toBe(false);
  });
});

describe("captures that change while they are read", () => {
  const changes = {
    grows: (file: string) => appendFileSync(file, makeLog(5, 100, 3000).slice(30)),
    "is truncated": (file: string) => truncateSync(file, 1_000_003),
    "is emptied": (file: string) => truncateSync(file, 0),
    "is deleted": (file: string) => rmSync(file, { force: true }),
    "is replaced by a folder": (file: string) => {
      rmSync(file, { force: true });
      mkdirSync(file);
    },
  };
  test.for(Object.keys(changes))("a log that %s: no crash, and the others are judged", async (what) => {
    const folder = makeSession();
    const file = path.join(folder, "saltworks/stock/pass-3.csv");
    const log = makeLog(3, 120, 400_000);
    for (const afterMs of [150, 250, 350]) {
      rmSync(file, { recursive: true, force: true });
      writeFileSync(file, log);
      const running = promisify(execFile)(process.execPath, [program, "judge", folder, "--format", "json"], {
        env,
        maxBuffer: 1e8,
      });
      await sleep(afterMs);
      changes[what as keyof typeof changes](file);
      const { stdout, stderr } = await running;
      expect(stderr).toMatch(noStack);
      expect(stderr).not.toMatch(/fault of runjury/);
      expect(JSON.parse(stdout).passes.length).toBeGreaterThanOrEqual(11);
    }
  });

  test("a log that grows all the while is told of", async () => {
    const folder = makeSession();
    const file = path.join(folder, "saltworks/stock/pass-3.csv");
    writeFileSync(file, makeLog(3, 120, 400_000));
    const running = promisify(execFile)(process.execPath, [program, "judge", folder], { env });
    let isRunning = true;
    const ended = running.finally(() => {
      isRunning = false;
    });
    while (isRunning) {
      appendFileSync(file, "#\n");
      await sleep(2);
    }
    expect((await ended).stderr).toMatch(/pass-3\.csv: warning: this log was written while it was read/);
  });
});

test("killed at 30 random moments, it leaves captures untouched and no half-written file", () => {
  const told = execFileSync(process.execPath, ["test/faults/kill-anytime.js", "30", "5"], {
    encoding: "utf8",
  });
  expect(told).toMatch(/^30 runs: .* 0 faults$/m);
}, 300_000);

test("nothing is written into a folder of captures by any command that reads it", () => {
  const folder = makeSession();
  const before = digestFolder(folder);
  for (const args of [
    ["judge"],
    ["passes"],
    ["findings"],
    ["inspect"],
    ["report", "--output", "/dev/null"],
    ["chart", "--output", "/dev/null", "--format", "svg"],
  ])
    runCli([args[0] as string, folder, ...args.slice(1)]);
  expect(digestFolder(folder)).toBe(before);
});
