import { linkSync, symlinkSync } from "node:fs";
import path from "node:path";
import { expect, test } from "vitest";
import { digestFolder, makeFolder, put, putSession, runCli } from "../support/run-cli.ts";

const names = ["itself", "a link to it", "another name of it", "its sensor log"] as const;

test.for(names)("no command writes its result over a capture: %s", (name) => {
  const folder = makeFolder();
  putSession(folder);
  put(folder, "saltworks/stock/pass-1.sensors.csv", "elapsed_s,cpu_power_w\n0,50\n1,52\n9,50\n");
  const capture = path.join(folder, "saltworks/stock/pass-1.csv");
  const beside = path.join(makeFolder(), "result.csv");
  if (name === "a link to it") symlinkSync(capture, beside);
  if (name === "another name of it") linkSync(capture, beside);
  const output =
    name === "itself"
      ? capture
      : name === "its sensor log"
        ? path.join(folder, "saltworks/stock/pass-1.sensors.csv")
        : beside;
  const before = digestFolder(folder);
  for (const args of [
    ["judge", folder, "--format", "csv"],
    ["passes", folder, "--format", "csv"],
    ["findings", folder, "--format", "csv"],
    ["inspect", folder],
    ["cap", folder, "--format", "csv"],
    ["plan", folder, "--format", "csv"],
    ["chart", folder, "--format", "svg"],
    ["report", folder],
  ]) {
    const { status, stderr } = runCli([...args, "--output", output]);
    expect(stderr, args.join(" ")).toContain("one of the captures");
    expect(status).toBe(2);
  }
  expect(digestFolder(folder)).toBe(before);
});

test("inspect does not write over the log it shows", () => {
  const folder = makeFolder();
  putSession(folder);
  const capture = path.join(folder, "saltworks/stock/pass-1.csv");
  const before = digestFolder(folder);
  expect(runCli(["inspect", capture, "--output", capture]).status).toBe(2);
  expect(digestFolder(folder)).toBe(before);
});
