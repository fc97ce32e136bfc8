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
  const one = runCli(["judge", folder, "--format", "json", "--threads", "1"]);
  const two = runCli(["judge", folder, "--format", "json", "--threads", "2"]);
  expect(one.status).toBe(0);
  expect(one.stderr).toMatch(/pass-0\.csv[\s\S]*pass-9\.csv/);
  expect(two).toEqual(one);
});

test.for(["0", "two", "1.5"])("--threads %s is refused", (threads) => {
  expect(runCli(["judge", "demo-data", "--threads", threads]).status).toBe(2);
});
