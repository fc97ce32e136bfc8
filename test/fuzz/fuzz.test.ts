import { execFileSync } from "node:child_process";
import path from "node:path";
import { expect, test } from "vitest";
import { makeFolder } from "../support/run-cli.ts";

const fuzz = (...args: string[]): string =>
  execFileSync(process.execPath, ["test/fuzz/fuzz.js", ...args], { encoding: "utf8" });

test("every input that once failed keeps what the program promises", () => {
  const told = fuzz("--replay", "fixtures/fuzz");
  expect(told).toMatch(/^log: [1-9]\d* inputs/);
  expect(told).not.toMatch(/[1-9]\d* faults/);
}, 240_000);

test("mutated logs, session files, scripts, claims and judgements keep it as well", () => {
  const told = fuzz("--inputs", "400", "--seed", "7", "--keep", path.join(makeFolder(), "failures"));
  expect(told.match(/[1-9]\d* inputs in .* 0 faults/g)).toHaveLength(5);
}, 240_000);
