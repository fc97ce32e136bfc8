import { expect, test } from "vitest";
import { compareReadme } from "../docs/generated-readme.js";
import { runCli } from "../support/run-cli.ts";

// The README shows a screen and lists all codes; both must be what a user sees.
test("the README's screen and its list of codes are those that the program prints", () => {
  const { now, fresh } = compareReadme();
  expect(now, "npm run docs brings it up to date").toBe(fresh);
});

test("the README's table of options is that of the help of judge, values and defaults included", () => {
  const { now } = compareReadme();
  const table = now.slice(now.indexOf("| option | meaning |"), now.indexOf("Exit codes: 0 done"));
  const rows = [...table.matchAll(/^\| (?:`-\w`, )?`(--[a-z-]+)(?: (<\S+>))?` \| (.*?) \|(.*)\|$/gm)];
  // One line for each option, however the terminal wraps it.
  const help = runCli(["judge", "--help"])
    .stdout.replace(/\n {20,}/g, " ")
    .replace(/-h, --help.*/, "");
  const options = [...help.matchAll(/^ {2}(?:-\w, )?(--\S+)(?: (<\S+>))?(.*)$/gm)];
  expect(rows.map(([, name, value]) => `${name} ${value}`).sort()).toEqual(
    options.map(([, name, value]) => `${name} ${value}`).sort(),
  );
  for (const [, name, , , value = ""] of rows) {
    const [, fallback] = /default: "?([^")]+?)"?\)/.exec(options.find((o) => o[1] === name)?.[3] ?? "") ?? [];
    if (fallback !== undefined && /^[\w.%]+$/.test(fallback)) expect(value, name).toContain(fallback);
  }
});
