import { readFileSync } from "node:fs";
import path from "node:path";
import { expect, test } from "vitest";
import { makeFolder, makeLog, put, runCli } from "../support/run-cli.ts";

/**
 * Loaded before the program in each of its threads: were threads never started, all would agree as well. The main
 * thread waits for each to tell of itself, since the work may be done before the last has started.
 */
const tellThreads = `
const fs = require("node:fs");
const threads = require("node:worker_threads");
if (threads.isMainThread) {
  let asked = 0;
  threads.Worker = class extends threads.Worker {
    constructor(...args) {
      super(...args);
      asked++;
      const pause = new Int32Array(new SharedArrayBuffer(4));
      while (fs.statSync(process.env.STARTED).size < asked) Atomics.wait(pause, 0, 0, 5);
    }
  };
  require("node:module").syncBuiltinESMExports();
} else fs.appendFileSync(process.env.STARTED, "x");
`;

test("one thread and several give the same bytes, problems included", () => {
  const folder = makeFolder();
  // Large enough for threads to pay (16 MB), with a log that cannot be read among the good ones.
  const long = makeLog(1, 100, 70_000);
  for (const config of ["stock", "parked"]) {
    for (let pass = 1; pass <= 5; pass++) {
      put(
        folder,
        `saltworks/${config}/pass-${pass}.csv`,
        `${makeLog(pass + config.length, 90)}${long.slice(30)}`,
      );
    }
  }
  put(folder, "saltworks/stock/pass-0.csv", "");
  put(folder, "saltworks/stock/pass-9.csv", `frame,frame_time_ms\n${"1,fast\n".repeat(40)}`);
  const tools = makeFolder();
  const preload = path.join(tools, "tell-threads.cjs");
  put(tools, "tell-threads.cjs", tellThreads);
  const judge = (threads: number) => {
    put(tools, "started", "");
    const args = ["judge", folder, "--format", "json", "--no-cache", "--threads", String(threads)];
    const said = runCli(args, {
      env: {
        PATH: process.env.PATH,
        NODE_OPTIONS: `--require ${preload}`,
        STARTED: path.join(tools, "started"),
      },
    });
    return { started: readFileSync(path.join(tools, "started"), "utf8").length, said };
  };
  const one = judge(1);
  expect(one.started).toBe(0);
  expect(one.said.status).toBe(0);
  expect(one.said.stderr).toMatch(/pass-0\.csv[\s\S]*pass-9\.csv/);
  for (const threads of [2, 7]) {
    const { started, said } = judge(threads);
    // The main thread takes its share of the logs.
    expect(started).toBe(threads - 1);
    expect(said).toEqual(one.said);
  }
});

test.for(["0", "two", "1.5"])("--threads %s is refused", (threads) => {
  expect(runCli(["judge", "demo-data", "--threads", threads]).status).toBe(2);
});
