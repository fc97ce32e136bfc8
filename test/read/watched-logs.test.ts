import { appendFileSync, mkdirSync, renameSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import path from "node:path";
import { gzipSync } from "node:zlib";
import { describe, expect, onTestFinished, test } from "vitest";
import { hasWholeEnd } from "../../src/read/watch-files.ts";
import { WatchedLogs } from "../../src/read/watched-logs.ts";
import { makeFolder, makeLog, put } from "../support/run-cli.ts";

const places = [
  { place: "where the system tells events", hasEvents: true, pollMs: 60_000 },
  { place: "where it tells none, as on many shares", hasEvents: false, pollMs: 50 },
];

async function openWatch(
  folder: string,
  { hasEvents, pollMs }: (typeof places)[number],
): Promise<WatchedLogs> {
  const logs = new WatchedLogs(folder, { settleMs: 100, pollMs, hasEvents });
  onTestFinished(() => logs.close());
  await logs.open();
  return logs;
}

/** Takes until something has come or gone; a wait in vain runs into the test's own time limit. */
async function takeNext(logs: WatchedLogs): Promise<{ whole: string[]; gone: string[] }> {
  for (;;) {
    await logs.wait(Date.now() + 1000);
    const { whole, gone } = await logs.take();
    for (const log of whole) logs.markRead(log);
    if (whole.length + gone.length > 0) {
      return {
        whole: whole.map(({ source }) => path.basename(source.file)),
        gone: gone.map((file) => path.basename(file)),
      };
    }
  }
}

/** Lets a growing file be seen as it is. */
async function seeGrowing(logs: WatchedLogs): Promise<void> {
  while (logs.growing().length === 0) {
    await logs.wait(Date.now() + 1000);
    expect((await logs.take()).whole).toEqual([]);
  }
}

test("a folder that is away for a while has lost no log", async () => {
  const folder = path.join(makeFolder(), "session");
  put(folder, "pass-1.csv", makeLog(1, 100, 50));
  const logs = new WatchedLogs(folder, { settleMs: 100, pollMs: 50 });
  onTestFinished(() => logs.close());
  await logs.open();
  expect(await takeNext(logs)).toEqual({ whole: ["pass-1.csv"], gone: [] });
  const nextNews = async (): Promise<boolean> => {
    for (;;) {
      await logs.wait(Date.now() + 1000);
      const { whole, gone, isThere } = await logs.take();
      expect([...whole, ...gone]).toEqual([]);
      if (isThere !== null) return isThere;
    }
  };
  renameSync(folder, `${folder}.away`);
  expect(await nextNews()).toBe(false);
  renameSync(`${folder}.away`, folder);
  expect(await nextNews()).toBe(true);
  put(folder, "pass-2.csv", makeLog(2, 100, 50));
  expect(await takeNext(logs)).toEqual({ whole: ["pass-2.csv"], gone: [] });
});

describe.for(places)("watching a folder $place", (how) => {
  test("names a log once, when it is whole, and again when it is written again", async () => {
    const folder = makeFolder();
    const file = path.join(folder, "pass-1.csv");
    const logs = await openWatch(folder, how);
    const text = makeLog(1, 100, 50);
    writeFileSync(file, text.slice(0, 300));
    await seeGrowing(logs);
    appendFileSync(file, text.slice(300));
    expect(await takeNext(logs)).toEqual({ whole: ["pass-1.csv"], gone: [] });
    writeFileSync(file, makeLog(2, 100, 60));
    expect(await takeNext(logs)).toEqual({ whole: ["pass-1.csv"], gone: [] });
    rmSync(file);
    expect(await takeNext(logs)).toEqual({ whole: [], gone: ["pass-1.csv"] });
  });

  test("sees what is renamed into place, in folders that come later too", async () => {
    const folder = makeFolder();
    const logs = await openWatch(folder, how);
    put(folder, "pass-1.part", makeLog(1, 100, 50));
    renameSync(path.join(folder, "pass-1.part"), path.join(folder, "pass-1.csv"));
    expect((await takeNext(logs)).whole).toEqual(["pass-1.csv"]);
    mkdirSync(path.join(folder, "game/config"), { recursive: true });
    put(folder, "game/config/pass-2.csv", makeLog(2, 100, 50));
    expect((await takeNext(logs)).whole).toEqual(["pass-2.csv"]);
    renameSync(path.join(folder, "game/config/pass-2.csv"), path.join(folder, "game/config/pass-3.csv"));
    const moved = [await takeNext(logs)];
    while (moved.flatMap(({ whole }) => whole).length === 0) moved.push(await takeNext(logs));
    expect(moved.flatMap(({ gone }) => gone)).toEqual(["pass-2.csv"]);
    expect(moved.flatMap(({ whole }) => whole)).toEqual(["pass-3.csv"]);
  });

  test("a sensor log that comes later makes its log new", async () => {
    const folder = makeFolder();
    const logs = await openWatch(folder, how);
    put(folder, "pass-1.csv", makeLog(1, 100, 50));
    expect((await takeNext(logs)).whole).toEqual(["pass-1.csv"]);
    put(folder, "pass-1.sensors.csv", "elapsed_s,cpu power [W]\n0,35\n1,36\n");
    expect((await takeNext(logs)).whole).toEqual(["pass-1.csv"]);
  });
});

describe("a log that goes while it is read", () => {
  test("is no longer as it was found, and is named as gone afterwards", async () => {
    const folder = makeFolder();
    const logs = new WatchedLogs(folder, { settleMs: 100, pollMs: 60_000, hasEvents: false });
    onTestFinished(() => logs.close());
    put(folder, "pass-1.csv", makeLog(1, 100, 50));
    utimesSync(path.join(folder, "pass-1.csv"), 1_700_000_000, 1_700_000_000);
    const [log] = await logs.open();
    logs.markRead(log!);
    expect(await logs.isAsFound(log!)).toBe(true);
    rmSync(path.join(folder, "pass-1.csv"));
    expect(await logs.isAsFound(log!)).toBe(false);
    expect((await logs.take()).gone).toEqual([path.join(folder, "pass-1.csv")]);
    expect((await logs.take()).gone).toEqual([]);
  });
});

describe("what is there at the start", () => {
  test("is whole, but for what was written a moment ago", async () => {
    const folder = makeFolder();
    put(folder, "old.csv", makeLog(1, 100, 50));
    utimesSync(path.join(folder, "old.csv"), 1_700_000_000, 1_700_000_000);
    put(folder, "new.csv", makeLog(2, 100, 50));
    const logs = new WatchedLogs(folder, { settleMs: 60_000, pollMs: 60_000 });
    onTestFinished(() => logs.close());
    expect((await logs.open()).map(({ source }) => path.basename(source.file))).toEqual(["old.csv"]);
  });
});

describe("the end of a log", () => {
  const text = "elapsed_s,frame_time_ms\n0.01,10\n0.02,10\n";
  const utf16 = Buffer.from(`\ufeff${text}`, "utf16le");
  test.for([
    { what: "a last row with its line end", bytes: Buffer.from(text), expected: true },
    { what: "CR alone", bytes: Buffer.from(text.replaceAll("\n", "\r")), expected: true },
    { what: "within a row", bytes: Buffer.from(text.slice(0, -1)), expected: false },
    { what: "nothing yet", bytes: Buffer.from(""), expected: false },
    { what: "UTF-16, little end first", bytes: utf16, expected: true },
    { what: "UTF-16, big end first", bytes: Buffer.from(utf16).swap16(), expected: true },
    { what: "UTF-16 within a row", bytes: utf16.subarray(0, -2), expected: false },
    { what: "packed", bytes: gzipSync(text), expected: true },
    { what: "packing cut off", bytes: gzipSync(text).subarray(0, -9), expected: false },
    { what: "packed within a row", bytes: gzipSync(text.slice(0, -1)), expected: false },
  ])("$what: whole $expected", async ({ bytes, expected }) => {
    const folder = makeFolder();
    put(folder, "pass-1.csv", bytes);
    expect(await hasWholeEnd(path.join(folder, "pass-1.csv"))).toBe(expected);
  });
});
