import { describe, expect, test } from "vitest";
import { makeFolder, put, runCli } from "../support/run-cli.ts";

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

describe("the first word", () => {
  test("may be missing: then the help is shown, as for an error", () => {
    const { status, stdout, stderr } = runCli([]);
    expect([status, stdout]).toEqual([2, ""]);
    expect(stderr).toBe(help([]));
  });

  test.for([
    { args: ["judg", "captures"], meant: "judge" },
    { args: ["Plans"], meant: "plan" },
    { args: ["chek", "script.md", "captures"], meant: "check" },
  ])("$args is taken for $meant and not for a folder", ({ args, meant }) => {
    const { status, stderr } = runCli(args, { cwd: makeFolder() });
    expect(status).toBe(2);
    expect(stderr).toBe(
      `error: "${args[0]}" is no command and no folder; did you mean "${meant}"?\n(see runjury --help)\n`,
    );
  });

  test("that is a folder is one, however it is spelt, and so is one like no command", () => {
    const cwd = makeFolder();
    put(cwd, "judg/note.md", "no log");
    expect(runCli(["judg"], { cwd }).stderr).toContain("the folder holds no logs");
    expect(runCli(["captures"], { cwd }).stderr).toContain("there is no such folder");
    expect(runCli(["help", "judge"], { cwd }).stdout).toBe(help(["judge"]));
  });
});

test.for([
  { value: "0.03", says: "as 0.03% or as 3%: write the % sign" },
  { value: ".5", says: "as 0.5% or as 50%: write the % sign" },
  { value: "three", says: "Expected a percent above 0 and below 100" },
])("--matters $value: $says", ({ value, says }) => {
  const { status, stderr } = runCli(["judge", ".", "--matters", value]);
  expect(status).toBe(2);
  expect(stderr).toContain(says);
});

test("a percent below 1 is understood with its sign", () => {
  expect(runCli(["judge", "nowhere", "--matters", "0.5%"]).stderr).toContain("no such folder");
});
