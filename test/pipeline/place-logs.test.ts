import { expect, test } from "vitest";
import { filesOfLogs, placeFile, placeLogs, requireLogs } from "../../src/pipeline/place-logs.ts";
import { defaultSession } from "../../src/read/default-session.ts";
import type { FoundLog } from "../../src/read/files.ts";
import { readSession, type Session } from "../../src/read/session-file.ts";
import { type Problem, RunError } from "../../src/shared/problem.ts";

const logAt = (file: string, sensorFile: string | null = null): FoundLog => {
  const source = (name: string) => ({ file: name, open: () => (async function* () {})() });
  return {
    source: source(file),
    sensorSource: sensorFile === null ? null : source(sensorFile),
    parts: file.split("/"),
    ...{ bytes: 0, writtenAtMs: 0, version: "1" },
  };
};

const sessionOf = (text: string): Session => readSession(text, "session.yaml").session as Session;

test("each log is followed by the sensor log beside it", () => {
  const logs = [logAt("a.csv", "a.sensors.csv"), logAt("b.csv")];
  expect(filesOfLogs(logs)).toEqual(["a.csv", "a.sensors.csv", "b.csv"]);
});

test("a folder is refused only where it has no logs, with what was noticed before", () => {
  const problem: Problem = { code: "unreadable", severity: "warning", at: { file: "x" }, why: "EACCES" };
  requireLogs("f", { logs: [logAt("a.csv")], folders: [], others: [], problems: [problem] });
  let thrown: unknown = null;
  try {
    requireLogs("f", { logs: [], folders: [], others: ["a.xlsx"], problems: [problem] });
  } catch (error) {
    thrown = error;
  }
  expect(thrown).toBeInstanceOf(RunError);
  expect((thrown as RunError).problems).toEqual([
    problem,
    { code: "no-logs", severity: "error", at: { file: "f" }, seen: ["a.xlsx"] },
  ]);
});

test("logs are placed by the session's layout; one without a place is told of", () => {
  const logs = [logAt("x/tide_full_1.csv"), logAt("x/odd.csv")];
  const { placed, problems } = placeLogs(logs, sessionOf('layout: "{game}_{config}_{pass}"'));
  expect(placed).toEqual([{ log: logs[0], place: { game: "tide", config: "full", pass: "1", boot: null } }]);
  expect(problems).toMatchObject([{ code: "layout-no-match", severity: "error", at: { file: "x/odd.csv" } }]);
});

test("names that the session knows decide where a path could be split in several ways", () => {
  const layout = 'layout: "{game}_{config}_{pass}"\n';
  const logs = [logAt("tide_full_65w_1.csv")];
  const placesOf = (text: string) => {
    const { placed, problems } = placeLogs(logs, sessionOf(layout + text));
    return placed.map(({ place }) => [place.game, place.config]).concat(problems.map(({ code }) => [code]));
  };
  expect(placesOf("")).toEqual([["layout-unclear"]]);
  expect(placesOf("configs: { full_65w: {} }")).toEqual([["tide", "full_65w"]]);
  expect(placesOf("games: { tide_full: {} }")).toEqual([["tide_full", "65w"]]);
  expect(placesOf("games: { tide_full: {} }\nconfigs: { 65w: {} }")).toEqual([["tide_full", "65w"]]);
  expect(placesOf("games: { tide: {} }\nconfigs: { full_65w: {} }")).toEqual([["tide", "full_65w"]]);
});

test("of two logs of one pass the first is taken, and boots tell passes apart", () => {
  const logs = ["a/b/1.csv", "a/b/1.txt", "a/c/1.csv", "b/b/1.csv", "a/b/2.csv"].map((file) => logAt(file));
  const { placed, problems } = placeLogs(logs, defaultSession);
  expect(placed.map(({ log }) => log.source.file)).toEqual([
    "a/b/1.csv",
    "a/c/1.csv",
    "b/b/1.csv",
    "a/b/2.csv",
  ]);
  expect(problems).toEqual([
    { code: "pass-filed-twice", severity: "error", at: { file: "a/b/1.txt" }, other: "a/b/1.csv" },
  ]);
  const booted = ["a/b/x/1.csv", "a/b/y/1.csv"].map((file) => logAt(file));
  const told = placeLogs(booted, sessionOf('layout: "{game}/{config}/{boot}/{pass}"'));
  expect(told.placed.map(({ place }) => place.boot)).toEqual(["x", "y"]);
  expect(told.problems).toEqual([]);
});

test("a file is placed by the folders that it lies in, whether or not it is there", () => {
  expect(placeFile("tide/full/1.csv", defaultSession)).toEqual({
    ...{ game: "tide", config: "full", pass: "1", boot: null },
  });
  expect(placeFile("/full/1.csv", defaultSession)).toBeNull();
  expect(placeFile("odd.csv", sessionOf('layout: "{game}_{config}_{pass}"'))).toBeNull();
});
