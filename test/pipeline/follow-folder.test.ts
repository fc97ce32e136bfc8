import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, truncateSync, utimesSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { afterEach, beforeEach, describe, expect, onTestFinished, test, vi } from "vitest";
import type { Happening } from "../../src/judge/follow-session.ts";
import { type FollowOptions, type FollowUpdate, followFolder } from "../../src/pipeline/follow-folder.ts";
import { WatchedLogs } from "../../src/read/watched-logs.ts";
import { putPipe } from "../support/put-pipe.ts";
import { refusalOf } from "../support/refusal-of.ts";
import { makeFolder, makeLog, put } from "../support/run-cli.ts";

let folder: string;

beforeEach(() => {
  folder = path.join(makeFolder(), "evening");
});

afterEach(() => {
  vi.restoreAllMocks();
});

/** A log that was written long ago. */
function putOld(name: string, content: string | Uint8Array): void {
  put(folder, name, content);
  utimesSync(path.join(folder, name), 1_700_000_000, 1_700_000_000);
}

/** Logs of 400 frames, of one game under two configs. */
function putSession(): void {
  let seed = 1;
  for (const [config, fps] of [
    ["parked", 90],
    ["stock", 100],
  ] as const)
    for (const pass of [1, 2]) putOld(`saltworks/${config}/pass-${pass}.csv`, makeLog(seed++, fps, 400));
}

/** What following tells, one call of the hook after the other; the test's own limit of time bounds every wait. */
class Follower {
  readonly updates: FollowUpdate[] = [];
  readonly ended: Promise<FollowUpdate>;
  readonly #abort = new AbortController();
  #seen = 0;
  #hear: () => void = () => undefined;

  constructor(options: FollowOptions = {}) {
    this.ended = followFolder(
      folder,
      { settleS: 0.05, pollS: 0.05, ...options },
      {
        onUpdate: (update) => {
          this.updates.push(update);
          this.#hear();
        },
        signal: this.#abort.signal,
      },
    );
    onTestFinished(() => this.#abort.abort());
  }

  /** The next update that is wanted; those before it are passed over. */
  async next(isWanted: (update: FollowUpdate) => boolean): Promise<FollowUpdate> {
    for (;;) {
      while (this.#seen < this.updates.length) {
        const update = this.updates[this.#seen++] as FollowUpdate;
        if (isWanted(update)) return update;
      }
      const isOver = await Promise.race([
        new Promise<false>((resolve) => {
          this.#hear = () => resolve(false);
        }),
        this.ended.then(() => true),
      ]);
      if (isOver && this.#seen === this.updates.length) throw new Error("following has ended");
    }
  }

  /** The next happening of a kind. */
  async tells<E extends Happening["event"]>(event: E): Promise<Extract<Happening, { event: E }>> {
    const find = (update: FollowUpdate) => update.happenings.find((own) => own.event === event);
    return find(await this.next((update) => find(update) !== undefined)) as Extract<Happening, { event: E }>;
  }

  async end(): Promise<FollowUpdate> {
    this.#abort.abort();
    return this.ended;
  }

  /** All that was told of passes, sessions and the folder. */
  said(): string[] {
    return this.updates
      .flatMap(({ happenings }) => happenings)
      .flatMap((own) => {
        if (own.event === "pass") return `${own.pass.config}/${own.pass.pass} ${own.again ?? "new"}`;
        if (own.event === "session") return `session ${own.isUsed} ${own.readAgain}`;
        if (own.event === "gone") return `gone ${own.name}`;
        if (own.event === "enough") return "enough";
        if (own.event === "folder") return `folder ${own.isThere}`;
        return own.event === "left-out" ? `left out ${path.basename(own.file)}` : [];
      });
  }
}

describe("following a folder", () => {
  test("starts with what lies there, in the standing that options and the session ask for", async () => {
    putSession();
    putOld("saltworks/stock/pass-9.csv", "");
    putOld("saltworks/stock/stray.csv", makeLog(9, 100, 50));
    put(
      folder,
      "session.yaml",
      "layout: '{game}/{config}/pass-{pass}'\nbaseline: stock\nmatters: 2%\ngames: { saltworks: {}, new-game: {} }\nconfigs: { parked: {}, third: {} }\n",
    );
    const follower = new Follower({ pollS: 60 });
    const { captures, leftOut } = await follower.tells("start");
    expect(captures).toBe(6);
    expect(leftOut.map(({ file, problems }) => [path.relative(folder, file), problems[0]?.code])).toEqual([
      [path.join("saltworks", "stock", "pass-9.csv"), "log-empty"],
      [path.join("saltworks", "stock", "stray.csv"), "layout-no-match"],
    ]);
    const file = path.join(folder, "saltworks/stock/stray.csv");
    expect(leftOut[1]?.problems).toMatchObject([{ severity: "error", at: { file } }]);
    const [{ standing, growing } = {} as FollowUpdate] = follower.updates;
    expect(growing).toEqual([]);
    expect(standing).toMatchObject({
      baseline: "stock",
      games: ["saltworks", "new-game"],
      configs: ["stock", "parked", "third"],
      mattersPct: 2,
    });
    expect(standing.passes.length).toBe(4);
    for (const { pass } of standing.passes) expect(pass.writtenAtMs).toBe(1_700_000_000_000);
    expect([...new Set(standing.comparisons.map(({ metric }) => metric))]).toEqual(["avgFps"]);
    // Nobody said what a pass costs.
    expect(standing.minutesLeft).toBeNull();
    // Three passes of each of six cells, where the session asks for nothing else.
    expect(standing.cells.map(({ needed }) => needed)).toEqual([3, 3, 3, 3, 3, 3]);
    const last = await follower.end();
    expect(last.happenings).toMatchObject([{ event: "end", captures: 6, growing: [] }]);
    expect(last.standing).toEqual(standing);
    expect(follower.updates.at(-1)).toEqual(last);
  });

  test("takes what is asked before what is usual", async () => {
    putSession();
    const follower = new Follower({
      baseline: "parked",
      mattersPct: 5,
      metrics: ["cpuPowerW"],
      rule: { leastPasses: 2 },
      costs: { passMinutes: 4, switchMinutes: 0 },
      lows: "tail-average",
      pollS: 60,
    });
    await follower.tells("start");
    const [{ standing } = {} as FollowUpdate] = follower.updates;
    expect(standing).toMatchObject({ baseline: "parked", mattersPct: 5 });
    expect(standing.comparisons.filter(({ metric }) => metric !== "cpuPowerW")).toEqual([]);
    expect(standing.cells.map(({ needed }) => needed)).toEqual([2, 2]);
    expect((await follower.end()).standing.passes.length).toBe(4);
  });

  test("knows a baseline in whatever form its letters are written", async () => {
    for (const pass of [1, 2]) putOld(`saltworks/cafe\u0301/pass-${pass}.csv`, makeLog(pass, 90, 300));
    putOld("saltworks/stock/pass-1.csv", makeLog(3, 90, 300));
    const follower = new Follower({ baseline: "cafe\u0301", pollS: 60 });
    await follower.tells("start");
    expect((await follower.end()).standing.baseline).toBe("caf\u00e9");
  });

  test("tells of a pass when it comes, is written again, gets its sensor log and goes", async () => {
    putSession();
    const follower = new Follower();
    await follower.tells("start");
    put(folder, "saltworks/stock/pass-3.csv", makeLog(11, 100, 400));
    expect(await follower.tells("pass")).toMatchObject({
      answer: "good",
      again: null,
      pass: { pass: "pass-3" },
    });
    put(folder, "saltworks/stock/pass-3.csv", makeLog(12, 100, 401));
    expect((await follower.tells("pass")).again).toBe("rewritten");
    put(
      folder,
      "saltworks/stock/pass-3.sensors.csv",
      "elapsed_s,cpu power [W]\n0,35\n1,36\n2,35\n3,36\n4,35\n",
    );
    const warm = await follower.tells("pass");
    expect(warm.again).toBe("sensors");
    expect(warm.pass.cpuPowerW).toBeGreaterThan(34);
    // With its sensor log it is written again like any other.
    put(folder, "saltworks/stock/pass-3.csv", makeLog(13, 100, 402));
    expect((await follower.tells("pass")).again).toBe("rewritten");
    rmSync(path.join(folder, "saltworks/stock/pass-3.csv"));
    expect(await follower.tells("gone")).toMatchObject({ name: "saltworks/stock/pass-3" });
    const { standing } = await follower.end();
    expect(standing.passes.length).toBe(4);
    expect(follower.said()).toEqual([
      "stock/pass-3 new",
      "stock/pass-3 rewritten",
      "stock/pass-3 sensors",
      "stock/pass-3 rewritten",
      "gone saltworks/stock/pass-3",
    ]);
  });

  test("waits for a log that is made before a capture and filled after it, and leaves out what is none", async () => {
    putSession();
    put(folder, "session.yaml", 'layout: "{game}/{config}/pass-{pass}"\n');
    const follower = new Follower();
    await follower.tells("start");
    put(folder, "saltworks/stock/pass-3.csv", "frame,elapsed_s,frame_time_ms\n");
    const growing = await follower.next((update) => update.growing.length > 0);
    expect(growing.growing).toEqual([path.join(folder, "saltworks/stock/pass-3.csv")]);
    // It has been looked at several times by then, and is still waited for.
    for (let looks = 0; looks < 4; looks++) await follower.next(({ growing: now }) => now.length > 0);
    put(folder, "saltworks/stock/pass-3.csv", makeLog(11, 100, 400));
    expect((await follower.tells("pass")).again).toBeNull();
    put(folder, "saltworks/stock/pass-4.csv", new Uint8Array(4096).fill(7));
    await follower.tells("left-out");
    put(folder, "saltworks/stock/odd.csv", makeLog(12, 100, 100));
    expect((await follower.tells("left-out")).problems).toMatchObject([{ code: "layout-no-match" }]);
    await follower.end();
    expect(follower.said()).toEqual(["stock/3 new", "left out pass-4.csv", "left out odd.csv"]);
  });

  test("tells at the end which logs were not whole", async () => {
    putSession();
    const follower = new Follower({ settleS: 60 });
    await follower.tells("start");
    put(folder, "saltworks/stock/pass-3.csv", makeLog(11, 100, 400));
    await follower.next(({ growing }) => growing.length > 0);
    const { happenings, growing } = await follower.end();
    expect(growing).toEqual([path.join(folder, "saltworks/stock/pass-3.csv")]);
    expect(happenings).toMatchObject([{ event: "end", captures: 4, growing }]);
  });

  test("a log that was written while it was read is told of once, when it is whole", async () => {
    putSession();
    const follower = new Follower();
    await follower.tells("start");
    const asFound = vi.spyOn(WatchedLogs.prototype, "isAsFound").mockResolvedValueOnce(false);
    put(folder, "saltworks/stock/pass-3.csv", makeLog(11, 100, 400));
    await follower.tells("pass");
    await follower.end();
    expect(asFound).toHaveBeenCalledTimes(2);
    expect(follower.said()).toEqual(["stock/pass-3 new"]);
  });

  test("tells of a folder that is away, and takes its session file for unchanged", async () => {
    putSession();
    put(folder, "session.yaml", "matters: 2%\n");
    const follower = new Follower();
    await follower.tells("start");
    renameSync(folder, `${folder}.away`);
    expect((await follower.tells("folder")).isThere).toBe(false);
    for (let looks = 0; looks < 3; looks++) await follower.next(() => true);
    renameSync(`${folder}.away`, folder);
    expect((await follower.tells("folder")).isThere).toBe(true);
    put(folder, "saltworks/stock/pass-3.csv", makeLog(11, 100, 400));
    await follower.tells("pass");
    expect((await follower.end()).standing.mattersPct).toBe(2);
    expect(follower.said()).toEqual(["folder false", "folder true", "stock/pass-3 new"]);
  });
});

describe("a session file that is edited while its folder is followed", () => {
  test("is used at once, and logs are read again only where it reads them otherwise", async () => {
    putSession();
    const follower = new Follower();
    await follower.tells("start");
    const edit = async (text: string) => {
      put(folder, "session.yaml", text);
      const { isUsed, problems, readAgain } = await follower.tells("session");
      return { isUsed, problems: problems.map(({ code }) => code), readAgain };
    };
    const used = (readAgain: number) => ({ isUsed: true, problems: [], readAgain });
    expect(await edit("matters: 2%\n")).toEqual(used(0));
    expect(await edit("matters: 2%\nlows: tail-average\n")).toEqual(used(4));
    expect(await edit("matters: 2%\n")).toEqual(used(4));
    expect(await edit("trim: { skip: 1s }\n")).toEqual(used(4));
    expect(await edit("trim: { skip: 1s }\nlog: { frame-time: { column: frame_time_ms } }\n")).toEqual(
      used(4),
    );
    expect(await edit("baseline: stock\n")).toEqual(used(4));
    // Names decide where a path could be split in several ways.
    expect(await edit("baseline: stock\ngames: { saltworks: {} }\n")).toEqual(used(4));
    expect(await edit("baseline: stock\ngames: { saltworks: {} }\nconfigs: { parked: {} }\n")).toEqual(
      used(4),
    );
    expect(await edit("baseline: stock\nmatters: [\n")).toEqual({
      isUsed: false,
      problems: ["yaml-broken"],
      readAgain: 0,
    });
    rmSync(path.join(folder, "session.yaml"));
    expect((await follower.tells("session")).readAgain).toBe(4);
    expect(await edit('layout: "{boot}/{config}/{game}_{pass}"\n')).toEqual(used(4));
    const { standing } = await follower.end();
    // The layout was read, by which these names are of no pass of any game.
    expect(standing.passes).toEqual([]);
    expect(follower.said().length).toBe(11 + 4);
  });

  test("stands elsewhere as well as in the folder", async () => {
    putSession();
    const elsewhere = makeFolder();
    put(elsewhere, "mine.yaml", "matters: 2%\n");
    put(folder, "session.yaml", "matters: 9%\n");
    const follower = new Follower({ sessionFile: path.join(elsewhere, "mine.yaml") });
    await follower.tells("start");
    expect(follower.updates[0]?.standing.mattersPct).toBe(2);
    put(elsewhere, "mine.yaml", "matters: 4%\n");
    expect((await follower.tells("session")).isUsed).toBe(true);
    rmSync(path.join(elsewhere, "mine.yaml"));
    expect((await follower.tells("session")).problems).toMatchObject([{ code: "session-missing" }]);
    expect((await follower.end()).standing.mattersPct).toBe(4);
  });

  test("is told of where it comes and cannot be read, and where that is over", async () => {
    putSession();
    const follower = new Follower();
    await follower.tells("start");
    putPipe(path.join(folder, "session.yaml"));
    expect(await follower.tells("session")).toMatchObject({
      isUsed: false,
      problems: [{ code: "not-a-file" }],
      readAgain: 0,
    });
    for (let looks = 0; looks < 3; looks++) await follower.next(() => true);
    rmSync(path.join(folder, "session.yaml"));
    expect(await follower.tells("session")).toMatchObject({ isUsed: true, problems: [], readAgain: 0 });
    await follower.end();
    expect(follower.said()).toEqual(["session false 0", "session true 0"]);
  });

  test("that lacks the answer to a question leaves the log out, and says for which logs it is to be given", async () => {
    putSession();
    put(folder, "session.yaml", "log: { stream: { column: program, equals: nobody.bin } }\n");
    const follower = new Follower();
    await follower.tells("start");
    const streams = fileURLToPath(new URL("../../fixtures/logs/streams/pass-1.csv", import.meta.url));
    put(folder, "saltworks/stock/pass-3.csv", readFileSync(streams));
    const { problems } = await follower.tells("left-out");
    expect(problems).toMatchObject([{ code: "log-stream-missing", for: "saltworks" }]);
    await follower.end();
  });

  test("that cannot be used at the start ends following", async () => {
    putSession();
    put(folder, "session.yaml", "matters: [\n");
    const closed = vi.spyOn(WatchedLogs.prototype, "close");
    expect(await refusalOf(() => new Follower().ended)).toMatchObject([{ code: "yaml-broken" }]);
    expect(closed).toHaveBeenCalled();
  });
});

describe("the end of following", () => {
  test("is heard at once, in whatever wait, and nothing is left behind", async () => {
    putSession();
    const closed = vi.spyOn(WatchedLogs.prototype, "close");
    const signal = new AbortController();
    const removed = vi.spyOn(signal.signal, "removeEventListener");
    const updates: FollowUpdate[] = [];
    await followFolder(
      folder,
      { settleS: 3600, pollS: 3600 },
      {
        onUpdate: (update) => {
          if (updates.push(update) === 1) setTimeout(() => signal.abort(), 0);
        },
        signal: signal.signal,
      },
    );
    expect(updates.map(({ happenings }) => happenings[0]?.event)).toEqual(["start", "end"]);
    expect(closed).toHaveBeenCalledTimes(1);
    expect(removed).toHaveBeenCalledTimes(1);
  });

  test("before anything is read is an end without captures", async () => {
    putSession();
    const signal = new AbortController();
    signal.abort();
    const updates: FollowUpdate[] = [];
    const last = await followFolder(
      folder,
      {},
      { onUpdate: (update) => updates.push(update), signal: signal.signal },
    );
    expect(last.happenings).toMatchObject([{ event: "end", captures: 0 }]);
    expect(updates.map(({ happenings }) => happenings[0]?.event)).toEqual(["start", "end"]);
  });

  const readUntilEnd = async (): Promise<{ captures: number; progress: object[] }> => {
    const signal = new AbortController();
    const progress: object[] = [];
    const last = await followFolder(
      folder,
      {},
      {
        onUpdate: () => undefined,
        onProgress: (now) => {
          progress.push(now);
          if (now.done > 0) signal.abort();
        },
        signal: signal.signal,
      },
    );
    const [end] = last.happenings;
    return { captures: end?.event === "end" ? end.captures : -1, progress };
  };

  test("does not wait for more than a part of many logs", async () => {
    const rows = "frame,elapsed_s,frame_time_ms\n1,0.01,10\n2,0.02,10\n";
    for (let pass = 1; pass <= 1002; pass++) putOld(`saltworks/stock/${pass}.csv`, rows);
    expect((await readUntilEnd()).captures).toBe(1000);
  });

  test("does not wait for more than a part of large ones", async () => {
    for (const pass of [1, 2, 3]) {
      putOld(`saltworks/stock/${pass}.csv`, new Uint8Array(8).fill(1));
      // A hole: no text, which its first bytes tell.
      truncateSync(path.join(folder, `saltworks/stock/${pass}.csv`), 32e6);
      utimesSync(path.join(folder, `saltworks/stock/${pass}.csv`), 1_700_000_000, 1_700_000_000);
    }
    const { captures, progress } = await readUntilEnd();
    expect(captures).toBe(2);
    const file = (pass: number) => path.join(folder, `saltworks/stock/${pass}.csv`);
    expect(progress).toEqual([
      { done: 0, total: 3, file: "" },
      { done: 1, total: 3, file: file(1) },
      { done: 2, total: 3, file: file(2) },
    ]);
  });
});

test("an empty folder is followed, and no progress is told of nothing", async () => {
  mkdirSync(folder);
  const signal = new AbortController();
  const progress: object[] = [];
  const { happenings } = await followFolder(
    folder,
    { pollS: 60 },
    { onUpdate: () => signal.abort(), onProgress: (now) => progress.push(now), signal: signal.signal },
  );
  expect(happenings).toMatchObject([{ event: "end", captures: 0 }]);
  expect(progress).toEqual([]);
});

describe("what following keeps of logs", () => {
  test("lies in the folder that is given for it, which must be none else", async () => {
    putSession();
    const cacheFolder = path.join(makeFolder(), "cache");
    const follower = new Follower({ cacheFolder, pollS: 60 });
    await follower.tells("start");
    await follower.end();
    expect(readdirSync(cacheFolder).length).toBeGreaterThan(0);
    const file = path.join(folder, "saltworks/stock/pass-1.csv");
    expect(await refusalOf(() => new Follower({ cacheFolder: file }).ended)).toMatchObject([
      { code: "bad-option", option: "--cache-dir" },
    ]);
  });

  test("is nothing where no folder is given, and following needs one that is there", async () => {
    expect(await refusalOf(() => new Follower().ended)).toMatchObject([{ at: { file: folder } }]);
  });
});
