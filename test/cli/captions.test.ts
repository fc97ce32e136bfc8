import { existsSync, linkSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { parse } from "csv-parse/sync";
import * as mediaCaptions from "media-captions";
import { describe, expect, test } from "vitest";
import { makeFolder, makeLog, put, runCli } from "../support/run-cli.ts";

const demo = (config: string, pass = "pass-1"): string => `demo-data/ninth-lantern/${config}/${pass}.csv.gz`;

interface Cue {
  readonly startTime: number;
  readonly endTime: number;
  readonly text: string;
}
// Its own types do not resolve for modules of Node.
const { parseText } = mediaCaptions as unknown as {
  readonly parseText: (
    text: string,
    options: { readonly type: "vtt" | "srt"; readonly strict: boolean },
  ) => Promise<{ readonly cues: readonly Cue[]; readonly errors: readonly unknown[] }>;
};

/** Cues by a parser of another project (media-captions, MIT); it throws on a breach of the grammar. */
async function cuesOf(text: string, type: "vtt" | "srt") {
  const { cues, errors } = await parseText(text, { type, strict: true });
  expect(errors).toEqual([]);
  return cues.map(({ startTime, endTime, text: shown }) => ({
    startTime,
    endTime,
    lines: shown.split("\n"),
  }));
}

interface Row {
  readonly track: string;
  readonly atS: string;
  readonly frames: string;
  readonly avgFps: string;
  readonly low1Fps: string;
  readonly low01Fps: string;
}
const rowsOf = (csv: string): Row[] => parse(csv, { columns: true }) as Row[];

describe("captions of one capture", () => {
  test.for(["vtt", "srt"] as const)(
    "as %s: one cue each half second, without a gap, to the end",
    async (form) => {
      const { status, stdout, stderr } = runCli(["captions", demo("quiet-35w"), "--format", form]);
      expect([status, stderr]).toEqual([0, ""]);
      const cues = await cuesOf(stdout, form);
      expect(cues.length).toBeGreaterThan(100);
      for (const [i, { startTime, endTime }] of cues.entries()) {
        expect(startTime).toBeCloseTo(i / 2, 6);
        expect(endTime).toBeCloseTo(cues[i + 1]?.startTime ?? endTime, 6);
        expect(endTime).toBeGreaterThan(startTime);
      }
      // Lows appear with the frames that carry them, and no figure is invented before.
      expect(cues[0]?.lines).toEqual(["average FPS too early", "1% low too early", "0.1% low too early"]);
      expect(cues.at(-1)?.lines.join()).toMatch(/^average FPS \d+,1% low \d+,0\.1% low \d+$/);
    },
  );

  test("the figures shown are those of the CSV, rounded", async () => {
    const cues = await cuesOf(runCli(["captions", demo("quiet-35w")]).stdout, "vtt");
    const rows = rowsOf(runCli(["captions", demo("quiet-35w"), "--format", "csv"]).stdout);
    expect(rows).toHaveLength(cues.length);
    for (const [i, { avgFps, low1Fps, low01Fps }] of rows.entries()) {
      const shown = (text: string): string => (text === "" ? "too early" : Number(text).toFixed(0));
      expect(cues[i]?.lines).toEqual([
        `average FPS ${shown(avgFps)}`,
        `1% low ${shown(low1Fps)}`,
        `0.1% low ${shown(low01Fps)}`,
      ]);
    }
  });

  test("the last figures are the pass's own where the captions reach its end", () => {
    const folder = makeFolder();
    const log = makeLog(3, 100, 12_000);
    put(folder, "saltworks/stock/pass-1.csv", log);
    const file = path.join(folder, "saltworks/stock/pass-1.csv");
    const rows = rowsOf(runCli(["captions", file, "--format", "csv", "--every", "0.02"]).stdout);
    const passes = JSON.parse(runCli(["passes", folder, "--format", "json"]).stdout).passes;
    const last = rows.at(-1);
    // The last moment lies less than 0.02 s, two frames, before the end.
    expect(passes[0].frames - Number(last?.frames)).toBeLessThanOrEqual(3);
    for (const metric of ["avgFps", "low1Fps", "low01Fps"] as const) {
      expect(Number(last?.[metric]) / passes[0][metric]).toBeCloseTo(1, 2);
    }
  });
});

describe("captions of several captures", () => {
  const three = ["quiet-35w", "balanced-54w", "full-65w"].map((config) => demo(config));

  test("one file each, all of one length, named apart by their folders", async () => {
    const folder = path.join(makeFolder(), "tracks");
    const { status, stdout, stderr } = runCli(["captions", ...three, "--names", "-o", folder]);
    expect([status, stdout]).toEqual([0, ""]);
    expect(stderr).toMatch(/^3 tracks of \d+\.\d s each in /);
    expect(readdirSync(folder).sort()).toEqual([
      "balanced-54w-pass-1.vtt",
      "full-65w-pass-1.vtt",
      "quiet-35w-pass-1.vtt",
    ]);
    const ends = [];
    for (const name of readdirSync(folder).sort()) {
      const cues = await cuesOf(readFileSync(path.join(folder, name), "utf8"), "vtt");
      ends.push([cues.length, cues.at(-1)?.endTime]);
      expect(cues[0]?.lines[0]).toMatch(/^(Balanced 54 W|Full 65 W|Quiet 35 W)$/);
    }
    expect(new Set(ends.map(String)).size).toBe(1);
  });

  test("one CSV for all", () => {
    const rows = rowsOf(runCli(["captions", ...three, "--format", "csv", "--keep", "10"]).stdout);
    expect(new Set(rows.map(({ track }) => track)).size).toBe(3);
    expect(rows).toHaveLength(3 * 20);
  });

  test("--skip and --keep cut all to one window", async () => {
    const text = runCli([
      "captions",
      three[0] as string,
      "--skip",
      "30s",
      "--keep",
      "5s",
      "--every",
      "1",
    ]).stdout;
    const cues = await cuesOf(text, "vtt");
    expect(cues.map(({ startTime }) => startTime)).toEqual([0, 1, 2, 3, 4]);
    expect(cues.at(-1)?.endTime).toBeLessThanOrEqual(5);
  });

  test("one log that cannot be read: no track at all", () => {
    const folder = makeFolder();
    put(folder, "empty.csv", "");
    const output = path.join(folder, "tracks");
    const { status, stderr } = runCli([
      "captions",
      three[0] as string,
      path.join(folder, "empty.csv"),
      "-o",
      output,
    ]);
    expect(status).toBe(2);
    expect(stderr).toContain("empty.csv: error: ");
    expect(existsSync(output)).toBe(false);
  });
});

describe("captions that cannot be made", () => {
  test.for([
    { what: "no such file", args: ["captions", "none.csv"], says: "none.csv: error: there is no such log" },
    { what: "a folder", args: ["captions", "demo-data"], says: "demo-data: error: this is a folder" },
    {
      what: "a window after the end",
      args: ["captions", demo("quiet-35w"), "--skip", "500"],
      says: "no frame lies in",
    },
    {
      what: "two tracks for one file",
      args: ["captions", demo("quiet-35w"), demo("full-65w"), "-o", "a.vtt"],
      says: "a folder: 2 captures",
    },
    {
      what: "two tracks for standard output",
      args: ["captions", demo("quiet-35w"), demo("full-65w")],
      says: "a folder: 2 captures",
    },
    {
      what: "captions too often",
      args: ["captions", demo("quiet-35w"), "--every", "0.001"],
      says: "Expected seconds from 0.02",
    },
    {
      what: "a window that is no number",
      args: ["captions", demo("quiet-35w"), "--keep", "long"],
      says: "Expected seconds",
    },
  ])("$what", ({ args, says }) => {
    const { status, stdout, stderr } = runCli(args);
    expect([status, stdout]).toEqual([2, ""]);
    expect(stderr).toContain(says);
    expect(existsSync("a.vtt")).toBe(false);
  });
});

test("a hostile title stays text", async () => {
  const folder = makeFolder();
  const title = "<c.red>--> \u202e&amp;\u001b[31m\n\n00:00:00.000 --> 00:00:09.000\nforged";
  put(folder, "saltworks/stock/pass-1.csv", makeLog(1, 100));
  put(folder, "session.yaml", `configs:\n  stock: { title: ${JSON.stringify(title)} }\n`);
  const file = path.join(folder, "saltworks/stock/pass-1.csv");
  const vtt = runCli(["captions", file, "--names"]).stdout;
  for (const character of ["\u001b", "\u202e"]) expect(vtt).not.toContain(character);
  const cues = await cuesOf(vtt, "vtt");
  expect(cues[0]?.lines).toHaveLength(4);
  expect(cues.every(({ lines }) => !lines.includes("forged"))).toBe(true);
  expect(
    (await cuesOf(runCli(["captions", file, "--names", "--format", "srt"]).stdout, "srt"))[0]?.lines,
  ).toHaveLength(4);
});

test("all tracks or none: where one cannot be put in its place, the others are as they were", () => {
  const folder = makeFolder();
  for (const [seed, config] of ["a", "b", "c"].entries()) put(folder, `g/${config}.csv`, makeLog(seed, 100));
  put(folder, "tracks/a.vtt", "mine");
  put(folder, "tracks/c.vtt/in-the-way.txt", "");
  const logs = ["a", "b", "c"].map((config) => path.join(folder, `g/${config}.csv`));
  const { status, stderr } = runCli(["captions", ...logs, "-o", path.join(folder, "tracks")]);
  expect(status).toBe(2);
  expect(stderr).toContain("cannot be written");
  expect(readFileSync(path.join(folder, "tracks/a.vtt"), "utf8")).toBe("mine");
  expect(readdirSync(path.join(folder, "tracks")).sort()).toEqual(["a.vtt", "c.vtt"]);
});

describe("captures are safe, and so is the order of time", () => {
  test("the output is never one of the captures, not even by another name", () => {
    const folder = makeFolder();
    put(folder, "a.csv", makeLog(1, 100));
    const file = path.join(folder, "a.csv");
    linkSync(file, path.join(folder, "b.csv"));
    const before = readFileSync(file, "utf8");
    const { status, stderr } = runCli(["captions", file, "-o", path.join(folder, "b.csv")]);
    expect(status).toBe(2);
    expect(stderr).toContain("this is one of the captures, which are never changed");
    expect(readFileSync(file, "utf8")).toBe(before);
    expect(readdirSync(folder).sort()).toEqual(["a.csv", "b.csv"]);
  });

  test("a restarted log has no one time, so it gets no captions until a stretch is chosen", () => {
    const folder = makeFolder();
    const [head, ...rows] = makeLog(5, 100, 1500).trimEnd().split("\n");
    put(folder, "s/g/c/pass-1.csv", [head, ...rows, ...rows].join("\n"));
    const file = path.join(folder, "s/g/c/pass-1.csv");
    const { status, stdout, stderr } = runCli(["captions", file]);
    expect([status, stdout]).toEqual([2, ""]);
    expect(stderr).toContain("pass-1.csv: error: the log was restarted");
    put(folder, "s/session.yaml", "log: { segment: 2 }\n");
    expect(runCli(["captions", file]).status).toBe(0);
  });
});
