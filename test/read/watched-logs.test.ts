import { appendFileSync, mkdirSync, renameSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import path from "node:path";
import { gzipSync } from "node:zlib";
import { afterEach, beforeEach, describe, expect, onTestFinished, test, vi } from "vitest";
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

describe("by a clock that the test sets", () => {
  const startMs = 1_800_000_000_000;
  const settleMs = 1000;
  let folder: string;
  let logs: WatchedLogs;

  beforeEach(async () => {
    vi.useFakeTimers({ toFake: ["Date"], now: startMs });
    folder = makeFolder();
    logs = new WatchedLogs(folder, { settleMs, pollMs: 500, hasEvents: false });
    onTestFinished(() => logs.close());
    await logs.open();
  });

  afterEach(() => {
    vi.useRealTimers();
  });

  const takeAt = async (ms: number) => {
    vi.setSystemTime(startMs + ms);
    const { whole, gone } = await logs.take();
    return [...whole.map(({ source }) => source.file), ...gone.map((file) => `-${file}`)].map((file) =>
      file.replace(folder, "").replace(path.sep, ""),
    );
  };
  const text = makeLog(1, 100, 50);
  const growing = () => logs.growing().map((file) => path.basename(file));

  test("the folder is looked at again after the time between looks", async () => {
    put(folder, "pass-1.csv", text);
    expect(await takeAt(499)).toEqual([]);
    expect(growing()).toEqual([]);
    expect(await takeAt(500)).toEqual([]);
    expect(growing()).toEqual(["pass-1.csv"]);
    expect(await takeAt(1499)).toEqual([]);
    expect(await takeAt(1500)).toEqual(["pass-1.csv"]);
  });

  test("a log that ends within a row is waited for ten times as long", async () => {
    put(folder, "pass-1.csv", text.slice(0, -3));
    for (let ms = 500; ms < 10_500; ms += 500) expect(await takeAt(ms)).toEqual([]);
    expect(await takeAt(10_500)).toEqual(["pass-1.csv"]);
  });

  test("a log whose sensor log ends within a row is not whole", async () => {
    const sensors = "elapsed_s,cpu power [W]\n0,35\n1,36\n";
    put(folder, "pass-1.csv", text);
    put(folder, "pass-1.sensors.csv", sensors.slice(0, -2));
    for (const ms of [500, 1500, 2500]) expect(await takeAt(ms)).toEqual([]);
    put(folder, "pass-1.sensors.csv", sensors);
    expect(await takeAt(3000)).toEqual([]);
    expect(await takeAt(4000)).toEqual(["pass-1.csv"]);
  });

  test("a log that is read is not named again; one that was written meanwhile is", async () => {
    put(folder, "pass-1.csv", text);
    await takeAt(500);
    vi.setSystemTime(startMs + 1500);
    const [log] = (await logs.take()).whole;
    expect(logs.lastRead(log!.source.file)).toBeNull();
    // Written again before it is marked.
    put(folder, "pass-1.csv", makeLog(2, 100, 60));
    expect(await logs.isAsFound(log!)).toBe(false);
    logs.markRead(log!);
    expect(logs.lastRead(log!.source.file)).toBe(log);
    expect(logs.allRead()).toEqual([log]);
    expect(growing()).toEqual(["pass-1.csv"]);
    vi.setSystemTime(startMs + 2500);
    const [again] = (await logs.take()).whole;
    expect(again!.version).not.toBe(log!.version);
    logs.markRead(again!);
    expect(growing()).toEqual([]);
    expect(await takeAt(9000)).toEqual([]);
    rmSync(path.join(folder, "pass-1.csv"));
    expect(await takeAt(9500)).toEqual(["-pass-1.csv"]);
    expect(logs.lastRead(log!.source.file)).toBeNull();
    expect(logs.allRead()).toEqual([]);
  });

  test("a log that holds nothing yet is named again after a while", async () => {
    put(folder, "pass-1.csv", "frame,frame_time_ms\n");
    await takeAt(500);
    vi.setSystemTime(startMs + 1500);
    const [log] = (await logs.take()).whole;
    logs.markEmpty(log!);
    expect(await takeAt(2499)).toEqual([]);
    expect(await takeAt(2500)).toEqual(["pass-1.csv"]);
  });

  test("a log that goes before it was read is not named as gone", async () => {
    put(folder, "pass-1.csv", text);
    await takeAt(500);
    rmSync(path.join(folder, "pass-1.csv"));
    expect(await takeAt(1000)).toEqual([]);
    expect(growing()).toEqual([]);
    expect(await takeAt(1500)).toEqual([]);
  });

  test("logs that are seen in one look are whole at one moment", async () => {
    for (const name of ["pass-1.csv", "pass-2.csv", "pass-3.csv"]) put(folder, name, text);
    await takeAt(500);
    expect(await takeAt(1500)).toEqual(["pass-1.csv", "pass-2.csv", "pass-3.csv"]);
  });

  test("that the folder is away is said once, and that it is there again", async () => {
    const isThereAt = async (ms: number) => {
      vi.setSystemTime(startMs + ms);
      return (await logs.take()).isThere;
    };
    // Before the folder is looked at again, and after.
    expect(await isThereAt(1)).toBeNull();
    expect(await isThereAt(500)).toBeNull();
    renameSync(folder, `${folder}.away`);
    expect(await isThereAt(999)).toBeNull();
    expect(await isThereAt(1000)).toBe(false);
    expect(await isThereAt(1100)).toBeNull();
    expect(await isThereAt(1500)).toBeNull();
    renameSync(`${folder}.away`, folder);
    expect(await isThereAt(1999)).toBeNull();
    expect(await isThereAt(2000)).toBe(true);
    expect(await isThereAt(2001)).toBeNull();
  });

  test("a wait ends when something is due, or at the time that is given, or when it is woken", async () => {
    const waits = vi.spyOn(globalThis, "setTimeout");
    const waited = async (untilMs: number) => {
      waits.mockClear();
      const wait = logs.wait(startMs + untilMs);
      logs.wake();
      await wait;
      return waits.mock.calls[0]?.[1];
    };
    expect(await waited(200)).toBe(200);
    // The next look.
    expect(await waited(9000)).toBe(500);
    put(folder, "pass-1.csv", text);
    await takeAt(500);
    vi.setSystemTime(startMs + 900);
    await logs.take();
    // The look after that; then the log may be whole.
    expect(await waited(9000)).toBe(100);
    vi.setSystemTime(startMs + 1499);
    await logs.take();
    expect(await waited(9000)).toBe(1);
    expect(await waited(0)).toBe(0);
  });
});

describe("what is found at the start by the clock", () => {
  test("is whole from the moment on at which it has not been written for long enough", async () => {
    const folder = makeFolder();
    put(folder, "pass-1.csv", makeLog(1, 100, 50));
    utimesSync(path.join(folder, "pass-1.csv"), 1_700_000_000, 1_700_000_000);
    onTestFinished(() => {
      vi.useRealTimers();
    });
    for (const [afterMs, count] of [
      [999, 0],
      [1000, 1],
    ] as const) {
      vi.useFakeTimers({ toFake: ["Date"], now: 1_700_000_000_000 + afterMs });
      const logs = new WatchedLogs(folder, { settleMs: 1000, pollMs: 60_000, hasEvents: false });
      expect((await logs.open()).length).toBe(count);
      logs.close();
    }
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
