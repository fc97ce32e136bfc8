import { expect, test } from "vitest";
import { makeFolder, makeLog, put, runCli } from "../support/run-cli.ts";

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
  // Were threads never started, all would agree as well: the preloaded line tells of each.
  const telltale =
    "import{isMainThread}from'node:worker_threads';if(!isMainThread)process.stdout.write('on%20a%20thread%5Cn')";
  const judge = (threads: number) => {
    const args = ["judge", folder, "--format", "json", "--no-cache", "--threads", String(threads)];
    const { stdout, ...others } = runCli(args, {
      env: { PATH: process.env.PATH, NODE_OPTIONS: `--import=data:text/javascript,${telltale}` },
    });
    const started = stdout.match(/^on a thread$/gm)?.length ?? 0;
    return { started, said: { ...others, stdout: stdout.replace(/^on a thread\n/gm, "") } };
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
