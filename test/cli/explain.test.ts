import { readFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { makeFolder, put, runCli } from "../support/run-cli.ts";

describe("runjury explain", () => {
  test("a code: what it means, how it is found, what to do, where the rule comes from", () => {
    const { status, stdout, stderr } = runCli(["explain", "unusually-slow"]);
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    for (const words of [
      "slower than its cell's other passes",
      "How it is found: ",
      "What to do: ",
      "Source: ",
    ]) {
      expect(stdout.replace(/\s+/g, " ")).toContain(words);
    }
  });

  test("no code: all of them, a line each; the method by its name", () => {
    const { stdout } = runCli(["explain"]);
    for (const code of ["few-frames", "one-boot", "log-empty"]) expect(stdout).toContain(`- \`${code}\`: `);
    expect(runCli(["explain", "method"]).stdout).toMatch(/^How runjury judges benchmark runs\n/);
  });

  test("as Markdown into a file, and as data", () => {
    const file = path.join(makeFolder(), "method.md");
    expect(runCli(["explain", "method", "--format", "markdown", "--output", file])).toMatchObject({
      status: 0,
      stdout: "",
    });
    expect(readFileSync(file, "utf8")).toMatch(/^# How runjury judges benchmark runs\n\n/);
    const { pages } = JSON.parse(runCli(["explain", "one-boot", "capped", "--format", "json"]).stdout);
    expect(pages.map(({ kind, code }: Record<string, string>) => `${kind} ${code}`)).toEqual([
      "caution one-boot",
      "flag capped",
      "caution capped",
    ]);
  });

  test("an unknown code ends with 2 and names the nearest", () => {
    const { status, stdout, stderr } = runCli(["explain", "unusualy-slow"]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
    expect(stderr).toMatch(/no page on "unusualy-slow"\n {2}did you mean "unusually-slow"\?/);
    const hostile = runCli(["explain", "\u001b[31m\u202e"]);
    expect(hostile.status).toBe(2);
    for (const sign of ["\u001b", "\u202e"]) expect(hostile.stderr).not.toContain(sign);
  });

  test("every code that a message hints at has a page", () => {
    const folder = makeFolder();
    put(folder, "saltworks/stock/pass-1.csv", "");
    const { stderr } = runCli(["judge", folder]);
    const [, codes = ""] = /^more: runjury explain (.*)$/m.exec(stderr) ?? [];
    expect(codes.split(" ")).toEqual(["log-empty", "nothing-to-judge"]);
    expect(runCli(["explain", ...codes.split(" ")]).status).toBe(0);
  });
});
