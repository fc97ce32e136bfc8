import { readFileSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { describeFolder } from "../../src/pipeline/describe-folder.ts";
import { putPipe } from "../support/put-pipe.ts";
import { refusalOf } from "../support/refusal-of.ts";
import { makeFolder, makeLog, put } from "../support/run-cli.ts";

const fixture = (name: string): Buffer =>
  readFileSync(fileURLToPath(new URL(`../../fixtures/logs/${name}/pass-1.csv`, import.meta.url)));

/** Logs of so many passes of each cell. */
function putPasses(folder: string, cells: Readonly<Record<string, number>>): void {
  let seed = 1;
  for (const [cell, passes] of Object.entries(cells))
    for (let pass = 1; pass <= passes; pass++) put(folder, `${cell}${pass}.csv`, makeLog(seed++, 100, 50));
}

test("counts passes by game and by config, in the order of names, and finds the baseline by its name", async () => {
  const folder = makeFolder();
  putPasses(folder, { "b/stock/": 2, "b/full/": 3, "a/stock/": 1, "a/config-10/": 1, "a/config-9/": 1 });
  put(folder, "b/stock/1.sensors.csv", "elapsed_s,cpu power [W]\n0,35\n1,36\n");
  const logs: string[] = [];
  const progress: object[] = [];
  const { found, problems } = await describeFolder(
    folder,
    {},
    {
      onLogs: (files) => logs.push(...files),
      onProgress: (now) => progress.push(now),
    },
  );
  expect(problems).toEqual([]);
  expect(found).toEqual({
    title: null,
    layout: "{game}/{config}/{pass}",
    layoutIs: "usual",
    baseline: { name: "stock", because: "named" },
    games: [
      { name: "a", passes: 3 },
      { name: "b", passes: 5 },
    ],
    configs: [
      { name: "config-9", passes: 1 },
      { name: "config-10", passes: 1 },
      { name: "full", passes: 3 },
      { name: "stock", passes: 3 },
    ],
    log: {},
    questions: [],
  });
  const names = logs.map((file) => path.relative(folder, file).split(path.sep).join("/"));
  expect(names.length).toBe(9);
  expect(names).toContain("b/stock/1.sensors.csv");
  const read = logs.filter((file) => !file.includes("sensors"));
  expect(progress).toEqual([
    ...read.map((file, done) => ({ done, total: 8, file })),
    { done: 8, total: 8, file: "" },
  ]);
});

test("names the baseline that it is told, or none where no name says it", async () => {
  const folder = makeFolder();
  putPasses(folder, { "a/quiet/": 1, "a/full/": 1 });
  expect((await describeFolder(folder)).found.baseline).toBeNull();
  expect((await describeFolder(folder, { baseline: "full" })).found.baseline).toEqual({
    name: "full",
    because: "told",
  });
  expect(await refusalOf(() => describeFolder(folder, { baseline: "ful" }))).toMatchObject([
    { code: "baseline-unknown", baseline: "ful", nearest: "full", configs: ["full", "quiet"] },
  ]);
});

test("names the baseline that it is told in the form that paths are read in", async () => {
  const folder = makeFolder();
  putPasses(folder, { "a/cafe\u0301/": 1, "a/full/": 1 });
  const { found } = await describeFolder(folder, { baseline: "cafe\u0301" });
  expect(found.baseline).toEqual({ name: "caf\u00e9", because: "told" });
  expect(found.configs.map(({ name }) => name)).toContain("caf\u00e9");
});

test("tells the arrangement of flat names, below the folder alone", async () => {
  const folder = path.join(makeFolder(), "evening_one");
  putPasses(folder, { tide_stock_: 2, tide_full_: 2 });
  const { found } = await describeFolder(folder);
  expect(found.layout).toBe("{game}_{config}_{pass}");
  expect(found.games).toEqual([{ name: "tide", passes: 4 }]);
});

test("tells where names say config and pass, and folders the game", async () => {
  const folder = makeFolder();
  putPasses(folder, { "tide/stock_": 2, "tide/full_": 2, "moss/stock_": 2, "moss/full_": 2 });
  const { found, problems } = await describeFolder(folder);
  expect(problems).toEqual([]);
  expect(found.layout).toBe("{game}/{config}_{pass}");
  expect(found.games).toEqual([
    { name: "moss", passes: 4 },
    { name: "tide", passes: 4 },
  ]);
});

test("tells names of several words by what repeats in them", async () => {
  const folder = makeFolder();
  putPasses(folder, { tide_runner_stock_: 2, tide_runner_full_: 2, moss_stock_: 2, moss_full_: 2 });
  const { found, problems } = await describeFolder(folder);
  expect(problems).toEqual([]);
  expect(found.games).toEqual([
    { name: "moss", passes: 4 },
    { name: "tide_runner", passes: 4 },
  ]);
  expect(found.configs).toEqual([
    { name: "full", passes: 4 },
    { name: "stock", passes: 4 },
  ]);
});

test("leaves out notes that lie beside captures, in whatever they are written", async () => {
  for (const [name, content] of [
    ["notes.txt", "Fans were loud.\nThe room was warm.\n"],
    ["picture.log", new Uint8Array(fixture("binary"))],
  ] as const) {
    const folder = makeFolder();
    putPasses(folder, { tide_stock_: 2, tide_full_: 2 });
    put(folder, name, content);
    const { found, problems } = await describeFolder(folder);
    expect(found.layout).toBe("{game}_{config}_{pass}");
    expect(problems.map(({ code }) => code)).toEqual([name === "notes.txt" ? "log-no-table" : "log-binary"]);
  }
});

test("a log that is damaged otherwise still has its place", async () => {
  const folder = makeFolder();
  putPasses(folder, { "a/stock/": 1, "a/full/": 1 });
  put(folder, "a/full/2.csv", "");
  const { found, problems } = await describeFolder(folder);
  expect(problems.map(({ code, severity }) => [code, severity])).toEqual([["log-empty", "error"]]);
  expect(found.games).toEqual([{ name: "a", passes: 3 }]);
});

test("where nothing but notes lies there, they are placed by their paths", async () => {
  const folder = makeFolder();
  for (const config of ["stock", "full"])
    put(folder, `a/${config}/notes.txt`, "Fans were loud.\nIt was warm.\n");
  const { found, problems } = await describeFolder(folder);
  expect(found.games).toEqual([{ name: "a", passes: 2 }]);
  expect(problems.map(({ code }) => code)).toEqual(["log-no-table", "log-no-table"]);
});

test("tells of what a log cannot answer, and of logs that have no place, but not of what is merely noted", async () => {
  const folder = makeFolder();
  putPasses(folder, { "a/stock/": 1, "a/full/": 1 });
  put(folder, "a/full/2.csv", new Uint8Array(fixture("streams")));
  // A last row that was cut off is noted, and is no problem of the folder.
  put(folder, "a/stock/2.csv", makeLog(9, 100, 50).slice(0, -9));
  const { found, problems } = await describeFolder(folder);
  expect(problems.map(({ code }) => code)).toEqual(["log-streams"]);
  expect(found.questions).toMatchObject([
    {
      question: "Which of the streams in column program is the game?",
      answers: [
        { settings: { stream: { column: "program", equals: "tide-runner.bin" } } },
        { settings: { stream: { column: "program", equals: "overlay.bin" } } },
      ],
    },
  ]);
});

test("tells of what lies there like a log and is no file, before all else", async () => {
  const folder = makeFolder();
  putPasses(folder, { "a/stock/": 1, "a/full/": 1 });
  put(folder, "a/full/2.csv", "");
  putPipe(path.join(folder, "a/stock/2.csv"));
  const { problems } = await describeFolder(folder);
  expect(problems.map(({ code }) => code)).toEqual(["not-a-file", "log-empty"]);
});

test("a table that lies elsewhere than the captures is none of them, one that lies where they do is", async () => {
  const folder = makeFolder();
  putPasses(folder, { "a/stock/": 2, "a/full/": 2 });
  put(folder, "results/summary.csv", "");
  const { found, problems } = await describeFolder(folder);
  expect(found.games).toEqual([{ name: "a", passes: 4 }]);
  expect(problems.map(({ code }) => code)).toEqual(["log-empty"]);
  // Without captures that can be read there is nothing else to go by.
  const empty = makeFolder();
  for (const name of ["a/stock/1.csv", "a/full/1.csv"]) put(empty, name, "");
  put(empty, "a/full/notes.txt", "Fans were loud.\nIt was warm.\n");
  expect((await describeFolder(empty)).found.games).toEqual([{ name: "a", passes: 2 }]);
});

test("a log that was started anew leaves a question", async () => {
  const folder = makeFolder();
  putPasses(folder, { "a/stock/": 1, "a/full/": 1 });
  const twice = makeLog(7, 100, 300);
  put(folder, "a/full/2.csv", `${twice}${twice}`);
  const { found, problems } = await describeFolder(folder);
  expect(problems.map(({ code }) => code)).toEqual(["log-restarted"]);
  expect(found.questions.length).toBe(1);
});

test("a folder without logs is refused with what lies there instead", async () => {
  const folder = makeFolder();
  put(folder, "session.xlsx", "x");
  expect(await refusalOf(() => describeFolder(folder))).toEqual([
    { code: "no-logs", severity: "error", at: { file: folder }, seen: ["session.xlsx"] },
  ]);
});
