import { describe, expect, test } from "vitest";
import { makeFolder, runCli } from "../support/run-cli.ts";

const help = (args: readonly string[]): string => runCli([...args, "--help"]).stdout;
const examplesOf = (args: readonly string[]): string[] =>
  [...(help(args).split("\nExamples:\n")[1] ?? "").matchAll(/^ {2}(runjury .*)$/gm)].map(
    ([, line]) => line as string,
  );
const commands = [...help([]).matchAll(/^ {2}([a-z]+) (?=[<[])/gm)]
  .map(([, name]) => name as string)
  .filter((name) => name !== "help");
const examples = [[], ...commands.map((name) => [name])].flatMap(examplesOf);

describe("the examples in the help", () => {
  test("stand under every command", () => {
    expect(commands).toContain("completion");
    expect(commands.filter((name) => examplesOf([name]).length === 0)).toEqual([]);
  });

  test.for([...new Set(examples)])("%s is understood", (line) => {
    const args = (line.match(/"[^"]*"|\S+/g) ?? []).slice(1).map((word) => word.replaceAll('"', ""));
    // In an empty folder: whatever fails, it is the missing captures and not the command line.
    const { status, stderr } = runCli(args, { cwd: makeFolder() });
    expect(stderr).not.toMatch(/unknown|missing required|too many|argument missing|invalid|will not do/);
    if (status !== 0) expect(stderr).toMatch(/no such (?:folder|script|log)|cannot be read \(ENOENT\)/);
  });
});
