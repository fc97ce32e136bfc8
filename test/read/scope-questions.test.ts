import { describe, expect, test } from "vitest";
import { scopeQuestions } from "../../src/read/scope-questions.ts";
import type { FrameTimeCandidate, Problem } from "../../src/shared/problem.ts";

const placeOf = (file: string) => {
  const [game = "", config = "", pass = ""] = file.split("/");
  return { game, config, pass, boot: null };
};
const placesOf = (files: readonly string[]) => new Map(files.map((file) => [file, placeOf(file)]));

function streams(file: string, names: readonly string[]): Problem {
  return {
    code: "log-streams",
    severity: "error",
    at: { file },
    column: "program",
    streams: names.map((name) => ({ name, frames: 9, avgFps: 60 })),
  };
}

function columns(file: string, names: readonly string[]): Problem {
  const candidates = names.map(
    (column): FrameTimeCandidate => ({
      column,
      position: 1,
      unit: "ms",
      isClock: false,
      avgFps: 60,
      grounds: [],
    }),
  );
  return {
    code: "log-frame-time-unclear",
    severity: "error",
    at: { file },
    why: "columns-fit-alike",
    candidates,
  };
}

/** What each answer is said to be for, by file. */
function scopes(problems: readonly Problem[], files: readonly string[]): unknown {
  return scopeQuestions(problems, placesOf(files)).map((problem) => {
    if (problem.code === "log-streams") return problem.streams.map((part) => part.for ?? "all");
    if (problem.code === "log-frame-time-unclear")
      return problem.candidates.map((answer) => answer.for ?? "all");
    return "for" in problem ? problem.for : "all";
  });
}

const tide = ["tide/stock/1", "tide/parked/1"] as const;
const moss = ["moss/stock/1", "moss/parked/1"] as const;

describe("an answer is for as many logs as it is right for", () => {
  test("a stream that every log has is picked for all", () => {
    const asked = [...tide, ...moss].map((file) => streams(file, ["game.exe", "shell.exe"]));
    expect(scopes(asked, [...tide, ...moss])).toEqual(Array(4).fill(["all", "all"]));
  });

  test("where each game has a stream of its own, all answers are the game's", () => {
    const asked = [
      ...tide.map((file) => streams(file, ["tide.exe", "shell.exe"])),
      ...moss.map((file) => streams(file, ["moss.exe", "shell.exe"])),
    ];
    expect(scopes(asked, [...tide, ...moss])).toEqual([
      ["tide", "tide"],
      ["tide", "tide"],
      ["moss", "moss"],
      ["moss", "moss"],
    ]);
  });

  test("a game whose logs leave no question would be lost under another game's stream", () => {
    const asked = [streams(tide[0], ["tide.exe", "shell.exe"])];
    expect(scopes(asked, [...tide, ...moss])).toEqual([["tide", "tide"]]);
    expect(scopes(asked, tide)).toEqual([["all", "all"]]);
  });

  test("a column is named for the logs that all ask for it, and no others", () => {
    const all = [...tide, ...moss];
    const ask = (files: readonly string[]) => files.map((file) => columns(file, ["a", "b"]));
    expect(scopes(ask(all), all)).toEqual(Array(4).fill(["all", "all"]));
    expect(scopes(ask(tide), all)).toEqual(Array(2).fill(["tide", "tide"]));
    expect(scopes(ask(["tide/stock/1"]), [...all, "tide/stock/2"])).toEqual([
      ["tide/stock/1", "tide/stock/1"],
    ]);
    expect(scopes([columns(tide[0], ["a", "b"]), columns(tide[1], ["a", "c"])], tide)).toEqual([
      ["all", "tide/stock"],
      ["all", "tide/parked"],
    ]);
  });

  test("logs that cannot be read whatever is answered have no say", () => {
    const empty: Problem = { code: "log-empty", severity: "error", at: { file: moss[0] } };
    expect(scopes([columns(tide[0], ["a", "b"]), empty], [tide[0], moss[0]])).toEqual([
      ["all", "all"],
      "all",
    ]);
  });

  test("a stretch is picked of one pass, a missing stream is told of its game", () => {
    const restarted: Problem = {
      code: "log-restarted",
      severity: "warning",
      at: { file: tide[0] },
      segments: [],
    };
    const missing: Problem = {
      code: "log-stream-missing",
      severity: "error",
      at: { file: moss[0] },
      wanted: "tide.exe",
      column: "program",
      streams: ["moss.exe"],
    };
    expect(scopes([restarted, missing], [...tide, ...moss])).toEqual(["tide/stock/1", "moss"]);
    const inBoot = { ...placeOf(tide[0]), boot: "monday" };
    expect(scopeQuestions([restarted], new Map([[tide[0], inBoot]]))).toMatchObject([
      { for: "tide/stock/monday/1" },
    ]);
  });

  test("of a log without a place nothing is said", () => {
    const asked = [streams(tide[0], ["a", "b"])];
    expect(scopeQuestions(asked, new Map())).toEqual(asked);
  });
});
