import path from "node:path";
import { expect, test } from "vitest";
import { makeFolder } from "../support/run-cli.ts";
import { type Limits, runLimited } from "../support/run-limited.ts";
import { bigInputs, writeWideLog } from "./big-input.js";

/** The full sizes are those of `npm run hostile`; here, sizes that a limit missing would already show at. */
const megabytes = 64;
const limits: Limits = { seconds: 30, megabytes: 200 };

const tooLong = /: error: this line is too long for a row of a table; the log is left out/;
const tooMany = /: error: the log is longer than any capture: over 30,000,000 lines; it is left out/;

const cases: readonly { input: string; megabytes: number; limits: Limits; says: RegExp }[] = [
  { input: "one line", megabytes, limits, says: tooLong },
  { input: "one line from the start", megabytes, limits, says: tooLong },
  { input: "one line of commas", megabytes, limits, says: tooLong },
  { input: "a hole in the file", megabytes: 1 << 20, limits, says: /over 4,294,967,296 bytes unpacked/ },
  { input: "packed zeros", megabytes: 10_000, limits, says: tooLong },
  { input: "packed blank lines", megabytes: 10_000, limits: { ...limits, seconds: 60 }, says: tooMany },
];

test.for(cases)("$input, $megabytes MB: refused within $limits.seconds s and $limits.megabytes MB", (row) => {
  const file = path.join(makeFolder(), row.input.startsWith("packed") ? "pass-1.csv.gz" : "pass-1.csv");
  bigInputs[row.input]?.(file, row.megabytes);
  const { status, stderr } = runLimited(["inspect", file], row.limits);
  expect(stderr).toMatch(row.says);
  expect(status).toBe(2);
});

test.for([
  { columns: 1000, says: /frame time/ },
  { columns: 100_000, says: /the log has 100,000 columns.*\n.*at most 2,000 columns/ },
  { columns: 1_000_000, says: tooLong },
])("$columns columns are read or refused within 10 s and 200 MB", ({ columns, says }) => {
  const file = path.join(makeFolder(), "pass-1.csv");
  writeWideLog(file, columns);
  const { stdout, stderr } = runLimited(["inspect", file], { seconds: 10, megabytes: 200 });
  expect(stdout + stderr).toMatch(says);
});
