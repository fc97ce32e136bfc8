import { expect, test } from "vitest";
import { compareReadme } from "../docs/generated-readme.js";

// The README shows a screen and lists all codes; both must be what a user sees.
test("the README's screen and its list of codes are those that the program prints", () => {
  const { now, fresh } = compareReadme();
  expect(now, "npm run docs brings it up to date").toBe(fresh);
});
