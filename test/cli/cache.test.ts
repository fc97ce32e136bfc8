import { spawn, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmodSync,
  copyFileSync,
  cpSync,
  readdirSync,
  readFileSync,
  renameSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import path from "node:path";
import { expect, test } from "vitest";
import {
  type CliResult,
  digestFolder,
  makeFolder,
  makeLog,
  put,
  putSession,
  runCli,
} from "../support/run-cli.ts";

const judge = (folder: string, cache: string | null, ...more: string[]): CliResult =>
  runCli([
    "judge",
    folder,
    "--format",
    "json",
    ...(cache === null ? ["--no-cache"] : ["--cache-dir", cache]),
    ...more,
  ]);

/** A session with all that a log can bring along: problems, flags, sensors, a copy. */
function putAwkwardSession(folder: string): void {
  putSession(folder);
  put(folder, "saltworks/stock/pass-4.csv", "");
  put(folder, "saltworks/stock/pass-5.csv", `frame,frame_time_ms\n${"1,fast\n".repeat(40)}`);
  put(folder, "saltworks/stock/pass-6.csv", makeLog(77, 120).replace(/\n9,[^\n]*/, "\n9,,"));
  put(folder, "saltworks/stock/pass-6.sensors.csv", "elapsed_s,cpu_power_w\n0,50\n1,52\n2,54\n9,50\n");
  copyFileSync(
    path.join(folder, "kestrel-cup/stock/pass-1.csv"),
    path.join(folder, "kestrel-cup/stock/pass-9.csv"),
  );
}

const entriesOf = (cache: string): string[] =>
  readdirSync(cache, { recursive: true, encoding: "utf8" })
    .map((name) => path.join(cache, name))
    .filter((file) => statSync(file).isFile());

/** The file system's record of a file is believed two seconds after its last change. */
const settle = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, 2100));

test("without a cache, with an empty, a half-filled and a full one: the same bytes, problems included", async () => {
  const folder = makeFolder();
  const cache = path.join(makeFolder(), "cache");
  putAwkwardSession(folder);
  await settle();
  const untouched = digestFolder(folder);
  const afresh = judge(folder, null);
  expect(afresh.status).toBe(0);
  expect(afresh.stderr).toMatch(/pass-4\.csv[\s\S]*pass-5\.csv/);
  expect(judge(folder, cache)).toEqual(afresh);
  expect(judge(folder, cache)).toEqual(afresh);
  for (const [i, file] of entriesOf(cache).entries()) if (i % 2 === 0) writeFileSync(file, "");
  expect(judge(folder, cache)).toEqual(afresh);
  expect(digestFolder(folder)).toBe(untouched);
});

test("a sound entry is believed and a spoiled one is read as none", async () => {
  const folder = makeFolder();
  const cache = makeFolder();
  putSession(folder);
  await settle();
  const afresh = judge(folder, cache);
  const entries = entriesOf(cache).map((file) => ({ file, text: readFileSync(file, "utf8") }));
  const spoilings: readonly ((text: string) => string)[] = [
    (text) => text.slice(0, -9),
    (text) => text.replace('"frames":1200', '"frames":1201'),
    () => "\0\0\0",
  ];
  for (const spoil of spoilings) {
    for (const { file, text } of entries) writeFileSync(file, spoil(text));
    expect(judge(folder, cache)).toEqual(afresh);
  }
  // All this would hold without any cache; that a forged entry with the right sum shows would not.
  for (const { file, text } of entries) writeFileSync(file, text);
  forge(cache);
  expect(judge(folder, cache).stdout).toContain('"frames": 1201');
});

/** Makes what is kept of a pass tell a frame more, so that it shows in a judgement whether it was believed. */
function forge(cache: string): void {
  for (const file of entriesOf(cache)) {
    const text = readFileSync(file, "utf8");
    const forged = text.slice(text.indexOf("\n") + 1).replaceAll('"frames":1200', '"frames":1201');
    writeFileSync(file, `${createHash("sha256").update(forged).digest("hex")}\n${forged}`);
  }
}

test("a session that was moved, and logs that were renamed or touched, keep their summaries", async () => {
  const folder = makeFolder();
  const cache = makeFolder();
  putSession(folder);
  await settle();
  judge(folder, cache);
  forge(cache);
  const believed = (): number => (judge(moved, cache).stdout.match(/"frames": 1201/g) ?? []).length;
  const moved = path.join(makeFolder(), "moved");
  renameSync(folder, moved);
  expect(believed()).toBe(12);
  renameSync(path.join(moved, "saltworks/stock/pass-1.csv"), path.join(moved, "saltworks/stock/pass-7.csv"));
  utimesSync(path.join(moved, "saltworks/stock/pass-2.csv"), 1e9, 1e9);
  expect(believed()).toBe(12);
  // Kept under its new name, and nothing of the old one.
  const kept = entriesOf(cache).map((file) => readFileSync(file, "utf8"));
  expect(kept.filter((text) => text.includes("pass-7.csv"))).toHaveLength(1);
  expect(kept.filter((text) => /saltworks.stock.pass-1\.csv/.test(text))).toEqual([]);
});

test("what another build has measured is not believed", async () => {
  const folder = makeFolder();
  const cache = makeFolder();
  putSession(folder);
  await settle();
  const elsewhere = makeFolder();
  for (const part of ["bin", "dist/bundle", "package.json"]) {
    cpSync(part, path.join(elsewhere, part), { recursive: true });
  }
  symlinkSync(path.resolve("node_modules"), path.join(elsewhere, "node_modules"));
  const run = (): string =>
    spawnSync(
      process.execPath,
      [path.join(elsewhere, "bin/runjury.js"), "judge", folder, "--format", "json", "--cache-dir", cache],
      { encoding: "utf8" },
    ).stdout;
  const afresh = run();
  forge(cache);
  expect(run()).toContain('"frames": 1201');
  writeFileSync(path.join(elsewhere, "dist/bundle/code.sha256"), "of other code\n");
  expect(run()).toBe(afresh);
});

test("a log rewritten with the same size and the old time is read again", async () => {
  const folder = makeFolder();
  const cache = makeFolder();
  putSession(folder);
  await settle();
  judge(folder, cache);
  const file = path.join(folder, "saltworks/stock/pass-1.csv");
  const { atime, mtime, size } = statSync(file);
  const text = readFileSync(file, "utf8").replace(/,8\.(\d)/g, (_, digit: string) => `,9.${digit}`);
  writeFileSync(file, text);
  utimesSync(file, atime, mtime);
  expect(statSync(file).size).toBe(size);
  await settle();
  expect(judge(folder, cache)).toEqual(judge(folder, null));
});

test("a log that was written a moment ago is read again though its record may not show it", () => {
  const folder = makeFolder();
  const cache = makeFolder();
  putSession(folder);
  judge(folder, cache);
  put(folder, "saltworks/stock/pass-1.csv", makeLog(99, 60));
  expect(judge(folder, cache)).toEqual(judge(folder, null));
});

test("other settings, a moved folder and a pass under another name are judged as if read afresh", async () => {
  const folder = makeFolder();
  const cache = makeFolder();
  putAwkwardSession(folder);
  await settle();
  judge(folder, cache);
  for (const lows of ["tail-average", "time-weighted"]) {
    expect(judge(folder, cache, "--lows", lows)).toEqual(judge(folder, null, "--lows", lows));
  }
  put(folder, "session.yaml", "trim: { skip: 1s }\n");
  expect(judge(folder, cache)).toEqual(judge(folder, null));
  renameSync(path.join(folder, "saltworks"), path.join(folder, "tide-runner"));
  renameSync(
    path.join(folder, "kestrel-cup/stock/pass-9.csv"),
    path.join(folder, "kestrel-cup/parked/pass-8.csv"),
  );
  expect(judge(folder, cache)).toEqual(judge(folder, null));
});

test("several runs at once on one empty cache all give the right answer", async () => {
  const folder = makeFolder();
  const cache = path.join(makeFolder(), "cache");
  putSession(folder);
  await settle();
  const afresh = judge(folder, null).stdout;
  const program = path.resolve("bin/runjury.js");
  const runs = Array.from({ length: 4 }, async () => {
    const child = spawn(process.execPath, [
      program,
      "judge",
      folder,
      "--format",
      "json",
      "--cache-dir",
      cache,
    ]);
    let text = "";
    for await (const piece of child.stdout.setEncoding("utf8")) text += piece;
    return text;
  });
  expect(await Promise.all(runs)).toEqual([afresh, afresh, afresh, afresh]);
  expect(entriesOf(cache).filter((file) => path.basename(file).startsWith("."))).toEqual([]);
});

test.runIf(process.getuid?.() !== 0)("a cache folder that cannot be written is done without", () => {
  const folder = makeFolder();
  const cache = makeFolder();
  putSession(folder);
  chmodSync(cache, 0o500);
  expect(judge(folder, cache)).toEqual(judge(folder, null));
});

test("a file where the cache folder should be is named", () => {
  const folder = makeFolder();
  putSession(folder);
  const file = path.join(makeFolder(), "file");
  writeFileSync(file, "");
  const { status, stdout, stderr } = judge(folder, file);
  expect([status, stdout]).toEqual([2, ""]);
  expect(stderr).toContain("--cache-dir");
  expect(stderr).toContain(file);
  // Found while running: the same for a folder below a file was told as a fault of the program.
  expect(judge(folder, path.join(file, "below"))).toEqual(judge(folder, null));
});
