import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import { readSavedJudgement } from "../../src/judge/saved-judgement.ts";
import { RunError } from "../../src/shared/problem.ts";
import { passesOf, settingsFor } from "../support/session-fixtures.ts";

const table = ["kestrel-cup", "saltworks"].flatMap((game) =>
  ["stock", "quiet"].flatMap((config) =>
    [1, 2, 3].map((i) => ({ game, config, pass: `pass-${i}`, avgFps: 100 + i, low1Fps: 70 + i })),
  ),
);
const titles = { games: [{ name: "saltworks", title: "Saltworks" }], configs: [] };
const judgement = {
  ...judgeSession(
    passesOf(table),
    settingsFor("stock", { title: "Living room", titles, tags: [{ game: "saltworks", tag: "racing" }] }),
  ),
  made: {
    ...{ version: "1.0.0", folder: "captures", session: "session.yaml", settingsSha256: "s" },
    captures: [{ file: "a.csv", sha256: "a" }],
  },
};
type Json = Record<string, unknown>;
const plain = (): Json => JSON.parse(JSON.stringify(judgement)) as Json;

describe("a saved judgement", () => {
  test("is read as it was written", () => {
    expect(readSavedJudgement(JSON.stringify(judgement), "saved.json")).toEqual(judgement);
  });

  test("may have keys of later versions, anywhere", () => {
    const later = plain();
    later.more = 1;
    for (const key of ["session", "made"]) Object.assign(later[key] as Json, { more: 1 });
    for (const key of ["passes", "verdicts", "suite"])
      Object.assign((later[key] as Json[])[0] as Json, { more: 1 });
    Object.assign((later.made as { captures: Json[] }).captures[0] as Json, { more: 1 });
    expect(readSavedJudgement(JSON.stringify(later), "saved.json")).toEqual(later);
  });

  test("need not say what it was made from, nor have titles and tags", () => {
    const bare = plain();
    delete bare.made;
    for (const key of ["titles", "tags"]) delete (bare.session as Json)[key];
    expect(readSavedJudgement(JSON.stringify(bare), "saved.json")).toEqual(bare);
  });

  test("lacks a metric that an older version did not know: the figure does not exist", () => {
    const older = plain();
    for (const pass of older.passes as Json[]) delete pass.joulesPerFrame;
    const { passes } = readSavedJudgement(JSON.stringify(older), "saved.json");
    expect(passes.map(({ joulesPerFrame }) => joulesPerFrame)).toEqual(table.map(() => null));
  });
});

describe("what is no saved judgement is refused, with the place where it is none", () => {
  const without = (...path: readonly (string | number)[]) => {
    const json = plain();
    const parent = path.slice(0, -1).reduce<Json>((at, step) => at[step] as Json, json);
    delete parent[path.at(-1) as string];
    return { text: JSON.stringify(json), path };
  };
  const sessionKeys = ["title", "baseline", "lows", "mattersPct", "confidencePct", "falseAlarmControl"];
  const verdictKeys = ["game", "config", "against", "metric", "verdict", "size", "value", "againstValue"];
  test.for([
    { text: "{", path: [] },
    { text: "null", path: [] },
    { text: "[]", path: [] },
    { text: JSON.stringify({ ...judgement, format: "runjury.judgement/2" }), path: ["format"] },
    ...["format", "session", "passes", "verdicts", "suite"].map((key) => without(key)),
    ...[...sessionKeys, "configs", "games", "noiseLevel"].map((key) => without("session", key)),
    ...["game", "config", "pass", "boot", "counted"].map((key) => without("passes", 1, key)),
    ...[...verdictKeys, "changePct", "lowPct", "highPct", "resolvesPct", "passesNeeded"].map((key) =>
      without("verdicts", 2, key),
    ),
    ...["passes", "againstPasses"].map((key) => without("verdicts", 0, key)),
    ...["tag", "config", "against", "metric", "verdict", "size", "changePct", "lowPct", "highPct"].map(
      (key) => without("suite", 0, key),
    ),
    ...["version", "folder", "session", "settingsSha256", "captures"].map((key) => without("made", key)),
    without("made", "captures", 0, "sha256"),
    without("session", "titles", "games", 0, "title"),
    without("session", "tags", 0, "tag"),
  ])("at $path", ({ text, path }) => {
    const read = () => readSavedJudgement(text, "saved.json");
    const problems = [{ code: "judgement-unreadable", severity: "error", at: { file: "saved.json" }, path }];
    expect(read).toThrow(RunError);
    expect(read).toThrow(expect.objectContaining({ problems }));
  });
});
