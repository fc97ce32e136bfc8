import { expect, test } from "vitest";
import { runLimited } from "./run-limited.ts";

test("a run within its limits says what it took", () => {
  const { status, stdout, seconds, megabytes } = runLimited(["--version"], { seconds: 30, megabytes: 200 });
  expect(status).toBe(0);
  expect(stdout).toMatch(/^\d+\.\d+\.\d+\n$/);
  expect(seconds).toBeGreaterThan(0.01);
  // An idle Node takes more than 20 MB.
  expect(megabytes).toBeGreaterThan(20);
});

test.for([
  { limit: "memory", limits: { seconds: 30, megabytes: 10 }, says: /\d MB, over the limit of 10/ },
  { limit: "time", limits: { seconds: 0.01, megabytes: 200 }, says: /\d s, over the limit of 0\.01/ },
])("a run beyond its limit of $limit is noticed", ({ limits, says }) => {
  expect(() => runLimited(["--version"], limits)).toThrow(says);
});

test("a run that waits for ever is ended", () => {
  expect(() => runLimited(["--version"], { seconds: 30, megabytes: 200 }, 0.01)).toThrow(/ETIMEDOUT/);
});
