import { type ChildProcess, spawn } from "node:child_process";
import { chmodSync, existsSync, readFileSync, renameSync, rmSync, statSync, utimesSync } from "node:fs";
import path from "node:path";
import { createInterface } from "node:readline";
import { describe, expect, onTestFinished, test, vi } from "vitest";
import { cacheHome, digestFolder, makeFolder, makeLog, put, runCli } from "../support/run-cli.ts";

type Event = { event: string; at: string; format: string } & Record<string, unknown>;

/** The built program following a folder without a terminal. */
class FollowPipe {
  readonly lines: string[] = [];
  readonly #process: ChildProcess;
  readonly #exit: Promise<number | null>;
  #onLine: () => void = () => undefined;

  constructor(folder: string, options: readonly string[] = [], env: NodeJS.ProcessEnv = {}) {
    const program = path.resolve("bin/runjury.js");
    const args = [program, "follow", folder, "--settle", "0.3", "--poll", "0.5", ...options];
    this.#process = spawn(process.execPath, args, {
      env: { PATH: process.env.PATH, XDG_CACHE_HOME: cacheHome, ...env },
      stdio: ["ignore", "pipe", "inherit"],
    });
    createInterface({ input: this.#process.stdout! }).on("line", (line) => {
      this.lines.push(line);
      this.#onLine();
    });
    this.#exit = new Promise((resolve) => this.#process.on("close", resolve));
    onTestFinished(() => void this.#process.kill("SIGKILL"));
  }

  async says(text: string): Promise<void> {
    await new Promise<void>((resolve, reject) => {
      this.#onLine = () => {
        if (this.lines.some((line) => line.includes(text))) resolve();
      };
      void this.#exit.then(() => reject(new Error(`ended before it said "${text}"`)));
      this.#onLine();
    });
  }

  async end(): Promise<number | null> {
    this.#process.kill("SIGTERM");
    return this.#exit;
  }

  get events(): Event[] {
    return this.lines.map((line) => JSON.parse(line) as Event);
  }
}

/** Loaded before the program: notes the name of every file that is opened. */
const noteOpened = `
const fs = require("node:fs");
const append = fs.appendFileSync;
const noting = (object, name) => {
  const original = object[name];
  object[name] = function (file, ...rest) {
    append(process.env.OPENED, String(file) + "\\n");
    return original.call(this, file, ...rest);
  };
};
for (const name of ["openSync", "open", "createReadStream", "readFileSync"]) noting(fs, name);
noting(fs.promises, "open");
require("node:module").syncBuiltinESMExports();
`;

function putOld(folder: string, name: string, log: string): void {
  put(folder, name, log);
  utimesSync(path.join(folder, name), 1_700_000_000, 1_700_000_000);
}

function putOldSession(folder: string): void {
  let seed = 1;
  for (const game of ["kestrel-cup", "saltworks"]) {
    for (const config of ["parked", "stock"]) {
      for (const pass of [1, 2, 3])
        putOld(folder, `${game}/${config}/pass-${pass}.csv`, makeLog(seed++, 150));
    }
  }
}

describe("following without a terminal", () => {
  test("prints a line per event and ends with the state when it is told to", async () => {
    const folder = makeFolder();
    const follow = new FollowPipe(folder);
    await follow.says("no captures yet");
    put(folder, "saltworks/stock/pass-1.csv", makeLog(1, 150));
    await follow.says("pass-1: good");
    await follow.says("next: ");
    expect(await follow.end()).toBe(0);
    expect(follow.lines).toEqual([
      "following: no captures yet",
      "saltworks/stock/pass-1: good: average FPS 149, 1% low 124",
      "next: saltworks/stock, pass 2 (too few there to tell anything); left: about 2 passes until the intervals are narrow",
      "ended: 1 capture",
      "",
      "0 of 1 cell complete",
      "Next: saltworks/stock, pass 2 (too few there to tell anything)",
      "Left: about 2 passes until the intervals are narrow",
      "game       stock",
      "saltworks  1 of 3",
    ]);
  });

  test("waits for a folder that is away, and takes its session file for the same when it is back", async () => {
    const folder = path.join(makeFolder(), "session");
    putOldSession(folder);
    put(folder, "session.yaml", "baseline: parked\n");
    const follow = new FollowPipe(folder);
    await follow.says("12 captures there");
    await follow.says("next: ");
    renameSync(folder, `${folder}.away`);
    await follow.says("the folder cannot be looked at");
    renameSync(`${folder}.away`, folder);
    await follow.says("the folder is there again");
    put(folder, "saltworks/stock/pass-4.csv", makeLog(20, 150));
    await follow.says("pass-4: good");
    expect(await follow.end()).toBe(0);
    expect(follow.lines.filter((line) => /session file|deleted/.test(line))).toEqual([]);
  });

  test("--format jsonl gives events with the keys of the data contract; names steer nothing", async () => {
    const folder = makeFolder();
    putOldSession(folder);
    const follow = new FollowPipe(folder, ["--format", "jsonl"]);
    await follow.says('"event":"next"');
    const name = "saltworks/stock/pass \u001b[31m\u202e.csv";
    put(folder, name, makeLog(20, 100));
    await follow.says('"event":"pass"');
    rmSync(path.join(folder, name));
    await follow.says('"event":"gone"');
    expect(await follow.end()).toBe(0);
    expect(follow.events.map(({ event }) => event)).toEqual(["start", "next", "pass", "gone", "end"]);
    for (const { format, at } of follow.events) {
      expect(format).toBe("runjury.follow/1");
      expect(new Date(at).toISOString()).toBe(at);
    }
    for (const character of ["\u001b", "\u202e"]) expect(follow.lines.join("")).not.toContain(character);
    expect(follow.events[2]).toMatchObject({
      answer: "repeat",
      again: null,
      pass: { game: "saltworks", config: "stock", pass: "pass \u001b[31m\u202e", counted: false },
    });
    const passes = JSON.parse(runCli(["passes", folder, "--format", "json"]).stdout).passes as object[];
    expect(passes).toHaveLength(12);
    expect(follow.events.at(-1)).toMatchObject({
      captures: 12,
      standing: { baseline: "stock", cells: [{}, {}, {}, {}] },
    });
  });

  test("says of each pass what passes says of it", async () => {
    const folder = makeFolder();
    putOldSession(folder);
    const follow = new FollowPipe(folder, ["--format", "jsonl"]);
    await follow.says('"event":"next"');
    put(folder, "saltworks/stock/pass-4.csv", makeLog(21, 150));
    await follow.says("pass-4");
    await follow.end();
    const { passes } = JSON.parse(runCli(["passes", folder, "--format", "json"]).stdout) as {
      passes: { pass: string; game: string; config: string }[];
    };
    const told = follow.events.find(({ event }) => event === "pass") as unknown as { pass: object };
    expect(told.pass).toEqual(
      passes.find(({ game, config, pass }) => `${game}/${config}/${pass}` === "saltworks/stock/pass-4"),
    );
  });

  test("--exec starts a program on a bad pass, and no name of a file becomes a command", async () => {
    const folder = makeFolder();
    const tools = makeFolder();
    putOldSession(folder);
    const program = path.join(tools, "alarm");
    put(
      tools,
      "alarm",
      `#!/bin/sh\nprintf '%s\\n' "$#" "$RUNJURY_NAME" "$RUNJURY_REASON" > "$0.new" && mv "$0.new" "$0.out"\n`,
    );
    chmodSync(program, 0o755);
    const follow = new FollowPipe(folder, ["--format", "jsonl", "--exec", program]);
    await follow.says('"event":"next"');
    put(folder, "saltworks/stock/pass-4.csv", makeLog(22, 150));
    await follow.says('"answer":"good"');
    const hostile = "$(touch pwned); `touch pwned` & 'x' \"";
    put(folder, `saltworks/stock/${hostile}.csv`, makeLog(23, 100));
    await follow.says('"answer":"repeat"');
    await vi.waitFor(() => expect(existsSync(`${program}.out`)).toBe(true), {
      timeout: 20_000,
      interval: 20,
    });
    await follow.end();
    const [count, name, reason] = readFileSync(`${program}.out`, "utf8").split("\n");
    expect({ count, name }).toEqual({ count: "0", name: `saltworks/stock/${hostile}` });
    expect(reason).toMatch(/^slower than chance allows/);
    expect(existsSync("pwned") || existsSync(path.join(folder, "pwned"))).toBe(false);
  });

  test("starting again goes on where it ended, and opens no log that it has read", async () => {
    const folder = makeFolder();
    putOldSession(folder);
    utimesSync(path.join(folder, "saltworks/stock"), 1_700_000_000, 1_700_000_000);
    const before = digestFolder(folder);
    const tools = makeFolder();
    // The record of a file that has just been written is not believed yet.
    const ageMs = (): number =>
      Date.now() - statSync(path.join(folder, "saltworks/stock/pass-3.csv")).ctimeMs;
    await vi.waitFor(() => expect(ageMs()).toBeGreaterThan(2000), { timeout: 20_000, interval: 50 });
    put(tools, "note-opened.cjs", noteOpened);
    const opened = path.join(tools, "opened.txt");
    const env = { NODE_OPTIONS: `--require ${path.join(tools, "note-opened.cjs")}`, OPENED: opened };
    const follow = async (): Promise<{ events: object[]; opened: string[] }> => {
      put(tools, "opened.txt", "");
      const run = new FollowPipe(
        folder,
        ["--format", "jsonl", "--cache-dir", path.join(tools, "cache")],
        env,
      );
      await run.says('"event":"next"');
      expect(await run.end()).toBe(0);
      const files = readFileSync(opened, "utf8")
        .split("\n")
        .filter((file) => file.endsWith(".csv"));
      return { events: run.events.map(({ at: _time, ...rest }) => rest), opened: [...new Set(files)] };
    };
    const first = await follow();
    expect(first.opened).toHaveLength(12);
    const second = await follow();
    expect(second.opened).toEqual([]);
    expect(second.events).toEqual(first.events);
    putOld(folder, "saltworks/stock/pass-4.csv", makeLog(24, 150));
    const third = await follow();
    expect(third.opened).toEqual([path.join(folder, "saltworks/stock/pass-4.csv")]);
    rmSync(path.join(folder, "saltworks/stock/pass-4.csv"));
    utimesSync(path.join(folder, "saltworks/stock"), 1_700_000_000, 1_700_000_000);
    expect(digestFolder(folder)).toBe(before);
  });

  test.for([
    { args: ["nowhere"], says: "there is no such folder" },
    { args: ["fixtures", "--session", "nowhere.yaml"], says: "session" },
    { args: ["fixtures", "--settle", "0"], says: "Expected a number above 0" },
    { args: ["fixtures", "--metric", "speed"], says: "Allowed choices" },
  ])("what cannot be done ends with 2: $args", ({ args, says }) => {
    const { status, stderr, stdout } = runCli(["follow", ...args]);
    expect(status).toBe(2);
    expect(stderr).toContain(says);
    expect(stdout).toBe("");
  });
});
