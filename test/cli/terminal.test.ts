import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { makeFolder, putSession } from "../support/run-cli.ts";

/** Runs the program on a terminal of its own (util-linux script), where both streams arrive together. */
function onTerminal(args: string, environment = "", columns = 100): string {
  const program = path.resolve("bin/runjury.js");
  const command = `stty cols ${columns}; ${environment} "${process.execPath}" "${program}" ${args}`;
  return execFileSync("script", ["-qec", command, "/dev/null"], {
    encoding: "utf8",
    env: { PATH: process.env.PATH, TERM: "xterm" },
    stdio: ["ignore", "pipe", "pipe"],
  });
}

const colors = ["\u001b[31m", "\u001b[32m", "\u001b[33m"];

describe("on a terminal", () => {
  test("progress shows and goes, and words are coloured", () => {
    const folder = makeFolder();
    putSession(folder);
    const screen = onTerminal(`judge "${folder}"`);
    expect(screen).toContain("reading logs 12/12");
    expect(colors.some((code) => screen.includes(code))).toBe(true);
  });

  test("NO_COLOR takes the colour away", () => {
    const folder = makeFolder();
    putSession(folder);
    const screen = onTerminal(`judge "${folder}"`, "NO_COLOR=1");
    expect(colors.some((code) => screen.includes(code))).toBe(false);
  });

  test("--quiet shows no progress", () => {
    const folder = makeFolder();
    putSession(folder);
    expect(onTerminal(`judge "${folder}" --quiet`)).not.toContain("reading logs");
  });

  test("findings stay within the lines and words, and pass the check as they stand there", () => {
    const folder = makeFolder();
    putSession(folder);
    const screen = onTerminal(`findings "${folder}" --quiet`, "NO_COLOR=1", 60).replaceAll("\r", "");
    const lines = screen.split("\n");
    expect(lines.filter((line) => line.length > 60)).toEqual([]);
    expect(lines.filter((line) => line.startsWith("- ")).length).toBeGreaterThan(2);
    const script = path.join(folder, "script.md");
    writeFileSync(script, screen);
    const checked = onTerminal(
      `check "${script}" "${folder}" --strict --require-claims --quiet`,
      "NO_COLOR=1",
    );
    expect(checked).toMatch(/^passed: \d+ of \d+ claims hold/);
  });

  test("says that a file was written, which --quiet leaves out", () => {
    const folder = makeFolder();
    putSession(folder);
    const file = path.join(makeFolder(), "result.csv");
    const screen = onTerminal(`judge "${folder}" --format csv -o "${file}"`, "NO_COLOR=1");
    expect(screen.replaceAll("\r", "")).toContain(`${file} was written\n`);
    expect(onTerminal(`judge "${folder}" --format csv -o "${file}" --quiet`, "NO_COLOR=1")).toBe("");
  });

  test("messages break between words", () => {
    const screen = onTerminal("judge captures --matters 0.03 || true", "NO_COLOR=1", 40);
    const message = screen.replaceAll("\r", "").split("\n(usage")[0] as string;
    expect(message.replaceAll("\n  ", " ")).toBe(
      "error: option '--matters <percent>' argument '0.03' is invalid. It could be meant as 0.03% or as 3%: write the % sign.",
    );
    expect(message.split("\n").every((line) => line.length <= 40)).toBe(true);
  });

  test.for(["report", "chart", "chart --format png"])(
    "%s writes no page or picture over the screen",
    (command) => {
      const screen = onTerminal(`${command} captures || true`, "NO_COLOR=1");
      expect(screen).toMatch(/^error: a (?:page|terminal) .*give --output/);
    },
  );

  test.for(["--help", "judge --help", "plan --help"])("%s fits a narrow terminal", (args) => {
    const help = onTerminal(args, "NO_COLOR=1", 50).split("\nExamples:")[0] as string;
    const lines = help.replaceAll("\r", "").split("\n");
    expect(lines.length).toBeGreaterThan(20);
    expect(lines.filter((line) => line.length > 50)).toEqual([]);
  });
});
