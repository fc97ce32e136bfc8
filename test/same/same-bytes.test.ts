import { spawnSync } from "node:child_process";
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
} from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { makeFolder, makeLog, put } from "../support/run-cli.ts";

const program = path.resolve("bin/runjury.js");

/** What the program says of captures in the folder where it is started. */
function say(cwd: string, args: readonly string[], env: NodeJS.ProcessEnv = {}): string {
  const { status, stdout, stderr } = spawnSync(process.execPath, [program, ...args], {
    encoding: "utf8",
    cwd,
    maxBuffer: 64_000_000,
    env: { PATH: process.env.PATH, XDG_CACHE_HOME: path.join(cwd, ".cache"), ...env },
  });
  expect(status, stderr).toBe(0);
  return stdout + stderr;
}

/** Two of the demo's games in a folder, written in an order of its own but with the times of the originals. */
function copyCaptures(folder: string, order: (files: string[]) => string[]): string {
  const files = readdirSync("demo-data", { recursive: true, encoding: "utf8" })
    .filter((file) => /^(?:tide-runner|saltworks)/.test(file) || file === "session.yaml")
    .filter((file) => statSync(path.join("demo-data", file)).isFile())
    .sort();
  for (const file of order(files)) {
    const target = path.join(folder, "captures", file);
    mkdirSync(path.dirname(target), { recursive: true });
    // Written under another name first, so that no folder lists its entries in the order of their names.
    cpSync(path.join("demo-data", file), `${target}.draft`);
    renameSync(`${target}.draft`, target);
    const at = new Date(1_750_000_000_000 + 60_000 * files.indexOf(file));
    utimesSync(target, at, at);
  }
  return folder;
}

/**
 * Two games whose names another language orders the other way round, and whose logs name the day and the time, without
 * a zone: in the hour that summer time skips or repeats.
 */
function putDatedLogs(folder: string): void {
  for (const [g, game] of ["aa-relay", "zinc-harbour"].entries()) {
    for (const [c, config] of ["balanced-54w", "full-65w"].entries()) {
      for (const [p, startMs] of [Date.UTC(2026, 2, 29, 2, 30), Date.UTC(2026, 9, 25, 1, 30)].entries()) {
        const dated = makeLog(100 * g + 10 * c + p, 100).replace(/(?<=^\d+,)[\d.]+/gm, (elapsedS) => {
          const at = new Date(startMs + 600_000 * (2 * c + g) + 1000 * Number(elapsedS)).toISOString();
          return at.replace("T", " ").replace("Z", "");
        });
        put(folder, `captures/${game}/${config}/pass-${p + 1}.csv`, dated.replace("elapsed_s", "time"));
      }
    }
  }
}

const everything = [
  ["judge", "captures", "--format", "json"],
  ["judge", "captures"],
  ["passes", "captures", "--format", "csv"],
  ["findings", "captures", "--format", "markdown"],
] as const;

const elsewhere: readonly { where: string; env: NodeJS.ProcessEnv }[] = [
  { where: "in Turkish, where I has two forms", env: { LANG: "tr_TR.UTF-8", LC_ALL: "tr_TR.UTF-8" } },
  {
    where: "in German, where the comma is the decimal sign",
    env: { LANG: "de_DE.UTF-8", LC_ALL: "de_DE.UTF-8" },
  },
  { where: "in Danish, where aa comes after z", env: { LANG: "da_DK.UTF-8", LC_ALL: "da_DK.UTF-8" } },
  { where: "without any locale", env: { LANG: "", LC_ALL: "C" } },
  { where: "in Kathmandu, 5:45 ahead", env: { TZ: "Asia/Kathmandu" } },
  { where: "in Berlin, where the clocks change", env: { TZ: "Europe/Berlin" } },
  { where: "in Apia, across the date line", env: { TZ: "Pacific/Apia" } },
  {
    where: "on a wide terminal that wants colour",
    env: { COLUMNS: "200", FORCE_COLOR: "3", TERM: "xterm-256color" },
  },
];

describe("the same captures give the same bytes", () => {
  let folder = "";
  const usual = new Map<string, string>();
  beforeAll(() => {
    folder = copyCaptures(mkdtempSync(path.join(tmpdir(), "same-")), (files) => files);
    for (const args of everything) usual.set(args.join(" "), say(folder, args, { TZ: "UTC", LC_ALL: "C" }));
  });

  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  test.for(elsewhere)("$where", ({ env }) => {
    for (const args of [everything[0], everything[1]])
      expect(say(folder, [...args, "--no-cache"], env), args.join(" ")).toBe(usual.get(args.join(" ")));
  });

  test.for(elsewhere)("$where, when a log names the day, which is UTC's", ({ env }) => {
    const folder = makeFolder();
    putDatedLogs(folder);
    const args = ["judge", "captures", "--baseline", "balanced-54w", "--format", "json", "--no-cache"];
    const said = say(folder, args, env);
    expect(said).toBe(say(folder, args, { TZ: "UTC", LC_ALL: "C" }));
    const { passes, session } = JSON.parse(said);
    expect(passes[0].startedAt).toBe("2026-03-29T02:30:00.000Z");
    expect(session.games).toEqual(["aa-relay", "zinc-harbour"]);
  });

  test("in every form, from what was kept of the last run", () => {
    for (const args of everything) expect(say(folder, args), args.join(" ")).toBe(usual.get(args.join(" ")));
  });

  test.for([
    { order: "the other way round", reorder: (files: string[]) => files.toReversed() },
    {
      order: "shuffled",
      reorder: (files: string[]) =>
        files.toSorted(
          (a, b) =>
            ((a.length * 7919 + a.charCodeAt(a.length - 5) * 31) % 97) -
            ((b.length * 7919 + b.charCodeAt(b.length - 5) * 31) % 97),
        ),
    },
  ])("in another folder, its files written $order", ({ reorder }) => {
    const other = copyCaptures(makeFolder(), reorder);
    for (const args of everything) expect(say(other, args), args.join(" ")).toBe(usual.get(args.join(" ")));
  });

  test("from a file system that lists folders backwards, with logs to complain of", () => {
    const other = copyCaptures(makeFolder(), (files) => files);
    for (const pass of [7, 8, 9]) put(other, `captures/saltworks/full-65w/pass-${pass}.csv`, "");
    // Most file systems list by creation or by a hash of the names, which no test can turn round.
    const preload =
      "import fs from'node:fs';import{syncBuiltinESMExports}from'node:module';const{readdir}=fs.promises;" +
      "fs.promises.readdir=async(...args)=>(await readdir(...args)).reverse();syncBuiltinESMExports()";
    const backwards = { NODE_OPTIONS: `--import=data:text/javascript,${encodeURIComponent(preload)}` };
    for (const args of everything) {
      const said = say(other, args);
      expect(said.match(/pass-\d\.csv: error/g)).toHaveLength(3);
      expect(say(other, args, backwards), args.join(" ")).toBe(said);
    }
  });

  test("beside files that are no captures", () => {
    const other = copyCaptures(makeFolder(), (files) => files);
    put(other, "captures/.hidden/x.csv", "1\n");
    put(other, "captures/notes.md", "x");
    expect(say(other, everything[0])).toBe(usual.get(everything[0].join(" ")));
  });
});
