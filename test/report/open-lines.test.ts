import { expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Verdict } from "../../src/judge/judgement.ts";
import { openLines } from "../../src/report/judgement-words.ts";
import { makeVerdict } from "../support/make-verdict.ts";
import { passesOf, settingsFor } from "../support/session-fixtures.ts";

const empty = judgeSession(
  passesOf(["stock", "parked"].map((config) => ({ game: "saltworks", config, pass: "1", avgFps: 100 }))),
  settingsFor("stock"),
);
const linesOf = (verdicts: readonly Verdict[], isWhole = false): string[] =>
  openLines({ ...empty, verdicts }, isWhole);
const unclear = (game: string, change: Partial<Verdict> = {}): Verdict =>
  makeVerdict({ game, verdict: "unclear", resolvesPct: 18, ...change });
const games = ["saltworks", "kestrel-cup", "tide-runner"];

test("what would settle a comparison is counted in passes, beside what these would show", () => {
  expect(linesOf([unclear("saltworks", { passesNeeded: 79 })])).toEqual([
    "saltworks / parked: average FPS 79 passes (now 18%)",
  ]);
});

test("what three comparisons of a metric have in common stands in one line, after the others", () => {
  const hopeless = games.map((game, i) => unclear(game, { metric: "low01Fps", resolvesPct: 20 + 7 * i }));
  expect(linesOf([...hopeless, unclear("saltworks", { passesNeeded: 79 })])).toEqual([
    "saltworks / parked: average FPS 79 passes (now 18%)",
    "0.1% low in 3 comparisons: over 100 passes (now 20 to 34%)",
  ]);
});

test("two that have it in common keep their lines, and so do all where everything is asked for", () => {
  const hopeless = games.map((game) => unclear(game));
  const alone = (game: string): string => `${game} / parked: average FPS over 100 passes (now 18%)`;
  expect(new Set(linesOf(hopeless.slice(0, 2)))).toEqual(new Set(games.slice(0, 2).map(alone)));
  expect(new Set(linesOf(hopeless, true))).toEqual(new Set(games.map(alone)));
});

test("single passes, which show no noise, are told of with the passes that would show it", () => {
  const lone = games.map((game) =>
    unclear(game, { passes: 1, resolvesPct: null, lowPct: null, highPct: null }),
  );
  expect(linesOf(lone)).toEqual(["average FPS in 3 comparisons: 3 passes or more"]);
});

test("numbers of passes are not shared, however alike", () => {
  expect(linesOf(games.map((game) => unclear(game, { passesNeeded: 9 })))).toHaveLength(3);
});
