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

/** A game whose logs name the day and the time, without a zone, one pass in the hour that summer time skips or repeats. */
function putDatedLogs(folder: string): void {
  for (const [c, config] of ["balanced-54w", "full-65w", "quiet-35w"].entries()) {
    for (const [p, startMs] of [Date.UTC(2026, 2, 29, 2, 30), Date.UTC(2026, 9, 25, 1, 30)].entries()) {
      const log = makeLog(10 * c + p, 100);
      const dated = log.replace(/(?<=^\d+,)[\d.]+/gm, (elapsedS) =>
        new Date(startMs + 3_600_000 * c + 1000 * Number(elapsedS))
          .toISOString()
          .replace("T", " ")
          .replace("Z", ""),
      );
      put(folder, `captures/kestrel-cup/${config}/pass-${p + 1}.csv`, dated.replace("elapsed_s", "time"));
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

  test.for(elsewhere.filter(({ env }) => "TZ" in env))(
    "$where, when a log names the day: taken for UTC",
    ({ env }) => {
      const dated = makeFolder();
      putDatedLogs(dated);
      const args = ["judge", "captures", "--baseline", "balanced-54w", "--format", "json", "--no-cache"];
      const said = say(dated, args, env);
      expect(said).toBe(say(dated, args, { TZ: "UTC" }));
      expect(JSON.parse(said).passes[0].startedAt).toBe("2026-03-29T02:30:00.000Z");
    },
  );

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

  test("beside files that are no captures", () => {
    const other = copyCaptures(makeFolder(), (files) => files);
    put(other, "captures/.hidden/x.csv", "1\n");
    put(other, "captures/notes.md", "x");
    expect(say(other, everything[0])).toBe(usual.get(everything[0].join(" ")));
  });
});
