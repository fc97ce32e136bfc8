import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import path from "node:path";
import { describe, expect, test } from "vitest";
import { makeFolder, put, runCli } from "../support/run-cli.ts";

const shells = ["bash", "zsh", "fish"] as const;
type Shell = (typeof shells)[number];

const scripts = Object.fromEntries(
  shells.map((shell) => [shell, runCli(["completion", shell]).stdout]),
) as Record<Shell, string>;

function run(shell: Shell, args: readonly string[], cwd: string): string {
  const { stdout, stderr, status, error } = spawnSync(shell, [...args], {
    cwd,
    encoding: "utf8",
    timeout: 60_000,
    env: { PATH: process.env.PATH, HOME: cwd, TERM: "dumb", LC_ALL: "C.UTF-8" },
  });
  if (error !== undefined || status !== 0) throw new Error(`${shell}: ${error?.message ?? stderr}`);
  return stdout;
}

const isInstalled = (shell: Shell): boolean => spawnSync(shell, ["-c", "true"]).status === 0;

/** What the shell itself offers for a line that ends where the cursor stands. */
const offered: Readonly<Record<Shell, (line: readonly string[], folder: string) => string[]>> = {
  bash: (words, folder) => {
    put(folder, "completion.bash", scripts.bash);
    const list = words.map((word) => `'${word}'`).join(" ");
    // As bash calls it on the Tab key.
    const text = run(
      "bash",
      [
        "--norc",
        "-c",
        `source completion.bash; COMP_WORDS=(${list}); COMP_CWORD=${words.length - 1}
         _runjury; printf '%s\\n' "\${COMPREPLY[@]}"`,
      ],
      folder,
    );
    return text.split("\n").filter(Boolean);
  },
  fish: (words, folder) => {
    put(folder, "completion.fish", scripts.fish);
    const line = words.map((word) => word.replaceAll(" ", "\\ ")).join(" ");
    const text = run("fish", ["--no-config", "-c", `source completion.fish; complete -C '${line}'`], folder);
    return text.split("\n").flatMap((row) => row.split("\t")[0] || []);
  },
  zsh: (words, folder) => {
    put(folder, "completion.zsh", scripts.zsh);
    // A zsh inside zsh, on a terminal of its own: the Tab key completes what is clear and lists what is not. The key
    // after it redraws the screen and says that it did, so that nothing has to be waited for by the clock.
    put(
      folder,
      "ask.zsh",
      `zmodload zsh/zpty
zpty z zsh -f -i
zpty -w z 'PROMPT=; unsetopt beep; autoload -Uz compinit; compinit -u -D; source ./completion.zsh; LISTMAX=1000
  told() { zle -R; print; print -rn TO""LD }; zle -N told; bindkey "^T" told; print REA""DY'
zpty -r -m z chunk '*READY*'
zpty -w -n z "$1"$'\\t\\t\\x14'
zpty -r -m z chunk '*TOLD*'
print -rn -- "$chunk"
zpty -d z
`,
    );
    const line = words.map((word) => word.replaceAll(" ", "\\ ")).join(" ");
    const screen = run("zsh", ["-f", "ask.zsh", line], folder);
    const typed = words.slice(0, -1);
    return screen
      .split(/(?<!\\)[\s\b]+/)
      .map((word) => word.replace(/=$/, ""))
      .filter((word) => !typed.includes(word));
  },
};

interface Case {
  readonly words: readonly string[];
  readonly has: readonly string[];
  readonly lacks: readonly string[];
}
const cases: readonly Case[] = [
  { words: ["runjury", ""], has: ["judge", "captions", "explain"], lacks: ["--format"] },
  { words: ["runjury", "pa"], has: ["passes"], lacks: ["judge"] },
  { words: ["runjury", "judge", "--fo"], has: ["--format"], lacks: ["--lows", "--every"] },
  { words: ["runjury", "captions", "--e"], has: ["--every"], lacks: ["--format"] },
  {
    words: ["runjury", "judge", "captures", "--lows", ""],
    has: ["percentile", "tail-average"],
    lacks: ["judge"],
  },
  { words: ["runjury", "judge", "--format", "j"], has: ["json"], lacks: ["table"] },
  { words: ["runjury", "captures", "--base"], has: ["--baseline"], lacks: ["--every"] },
  { words: ["runjury", "schema", ""], has: ["session", "claims", "plan"], lacks: ["judge"] },
  {
    words: ["runjury", "explain", "unusually-"],
    has: ["unusually-slow", "unusually-fast"],
    lacks: ["one-boot"],
  },
  { words: ["runjury", "explain", "one-boot", "cap"], has: ["capped"], lacks: ["captions"] },
];

describe.for(shells.filter(isInstalled))("completion in %s", (shell) => {
  // A terminal of its own takes zsh a second each.
  test.for(shell === "zsh" ? cases.filter((_, i) => i % 3 !== 0) : cases)(
    "$words: $has",
    ({ words, has, lacks }) => {
      const folder = makeFolder();
      put(folder, "captures/note.txt", "");
      const found = offered[shell](words, folder);
      expect(found).toEqual(expect.arrayContaining([...has]));
      for (const word of lacks) expect(found).not.toContain(word);
    },
  );

  test("what was typed is never run", () => {
    const folder = makeFolder();
    offered[shell](["runjury", "judge", "$(touch run)", "`touch run`", "--fo"], folder);
    expect(existsSync(path.join(folder, "run"))).toBe(false);
  });
});

test("the scripts know every command and option that --help shows", () => {
  const help = (args: readonly string[]): string => runCli([...args, "--help"]).stdout;
  const commands = [...help([]).matchAll(/^ {2}([a-z]+) \[options\]/gm)].map(([, name]) => name as string);
  expect(commands.length).toBeGreaterThan(10);
  for (const command of commands) {
    const options = [...help([command]).matchAll(/^ {2}(?:-\w, )?--([a-z-]+)/gm)].map(([, name]) => name);
    for (const shell of shells) {
      expect(scripts[shell]).toMatch(new RegExp(`\\b${command}\\b`));
      const flag = shell === "fish" ? "-l " : "--";
      for (const option of options) expect(scripts[shell]).toMatch(new RegExp(`${flag}${option}\\b`));
    }
    // The text of a script has options of other commands as well; what bash offers is this command's.
    const offers = offered.bash(["runjury", command, "--"], makeFolder());
    expect(offers, command).toEqual(expect.arrayContaining(options.map((option) => `--${option}`)));
  }
});

test("another shell is refused with those there are", () => {
  expect(runCli(["completion", "tcsh"])).toMatchObject({ status: 2, stderr: expect.stringMatching(/bash/) });
});
