import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { runCli } from "../support/run-cli.ts";

// The README shows a screen; it must be the one a user sees.
test("the README's screen is what judging the demo prints", () => {
  const readme = readFileSync("README.md", "utf8");
  const [, screen] = /```text\n([\s\S]*?)```/.exec(readme) ?? [];
  expect(runCli(["judge", "demo-data"]).stdout).toBe(screen);
});
