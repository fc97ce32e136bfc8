import { describe, expect, test } from "vitest";
import { checkClaims } from "../../src/judge/check-claims.ts";
import type { ClaimDraft } from "../../src/judge/claim-draft.ts";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Judgement, Verdict } from "../../src/judge/judgement.ts";
import { readScript } from "../../src/read/read-script.ts";
import { makeSuiteRow, makeVerdict } from "../support/make-verdict.ts";
import { passesOf, settingsFor } from "../support/session-fixtures.ts";

const called = (changePct: number, more: Partial<Verdict>): Verdict =>
  makeVerdict({
    ...{ config: "quiet-35w", changePct, lowPct: changePct - 1, highPct: changePct + 1, size: "notable" },
    ...{ verdict: changePct > 0 ? "higher" : "lower", ...more },
  });
const session = judgeSession(
  passesOf(
    ["kestrel-cup", "saltworks"].flatMap((game, g) =>
      ["stock", "quiet-35w", "full-65w"].map((config, c) => ({
        ...{ game, config, pass: "1", avgFps: 100 + 50 * g + 5 * c, cpuPowerW: 60 - 10 * c },
      })),
    ),
  ),
  settingsFor("stock", {
    titles: {
      games: [{ name: "kestrel-cup", title: "The Great Cup" }],
      configs: [{ name: "full-65w", title: "Everything On" }],
    },
    tags: [
      { game: "kestrel-cup", tag: "racing" },
      { game: "saltworks", tag: "racing" },
    ],
  }),
);
/** Kestrel Cup: quiet loses 9% on average, full gains 9%; Saltworks stays. */
const own: Judgement = {
  ...session,
  verdicts: [
    called(-9, { game: "kestrel-cup" }),
    called(9, { game: "kestrel-cup", config: "full-65w" }),
    called(-15, { game: "kestrel-cup", metric: "low1Fps" }),
    called(-25, { game: "kestrel-cup", metric: "low01Fps" }),
    called(20, { game: "kestrel-cup", metric: "fpsPerWatt" }),
    called(-20, { game: "kestrel-cup", metric: "joulesPerFrame" }),
    called(-30, { game: "kestrel-cup", metric: "cpuPowerW" }),
    called(-40, { game: "kestrel-cup", metric: "gpuPowerW" }),
    makeVerdict({ config: "quiet-35w" }),
    makeVerdict({ config: "full-65w", verdict: "unclear" }),
    makeVerdict({
      config: "quiet-35w",
      metric: "low1Fps",
      verdict: "unclear",
      changePct: -3,
      lowPct: -8,
      highPct: 2,
    }),
  ],
  suite: [
    makeSuiteRow({ config: "quiet-35w", verdict: "lower", changePct: -5, lowPct: -6, highPct: -4 }),
    makeSuiteRow({ config: "full-65w", verdict: "same" }),
    makeSuiteRow({
      tag: "racing",
      config: "quiet-35w",
      verdict: "lower",
      changePct: -7,
      lowPct: -8,
      highPct: -6,
    }),
  ],
};
const suggestionsOf = (script: string): (ClaimDraft | null)[] =>
  checkClaims(
    readScript(script, "x.md"),
    { own, judgeAgainst: () => null },
    { strict: false, requireClaims: false },
  ).unclaimed.map(({ suggestion }) => suggestion);
const none = {
  ...{ game: null, tag: null, is: null, byPct: null, giveOrTakePct: null },
  ...{ about: null, differsAtMostPct: null },
};
const loss = { ...none, game: "kestrel-cup", config: "quiet-35w", metric: "avgFps", is: "lower", byPct: -9 };
const gain = { ...loss, config: "full-65w", is: "higher", byPct: 9 };

describe("a change that a sentence speaks of", () => {
  test.for([
    { text: "In Kestrel Cup the average drops by 9%.", is: loss },
    { text: "In Kestrel Cup the average rises by 9%.", is: gain },
    { text: "In the great cup the average drops by 9%.", is: loss },
    { text: "In Kestrel Cup the average changes by 9%.", is: null },
    { text: "In Kestrel Cup the average goes up and down by 9%.", is: null },
    { text: "In Kestrel Cup the average with quiet-35w changes by 9%.", is: loss },
    { text: "In Kestrel Cup the average at 35 watts changes by 9%.", is: loss },
    { text: "In Kestrel Cup the average with everything on changes by 9%.", is: gain },
    { text: "In Kestrel Cup the average at 35 watts rises by 9%.", is: null },
    { text: "In Kestrel Cup the average at 35 watts, lower or higher, is 9% off.", is: loss },
    { text: "In Kestrel Cup the average: -9%.", is: loss },
    { text: "In Kestrel Cup the average: +9%.", is: gain },
    { text: "In Kestrel Cup the average drops by 9.9%.", is: { ...loss, byPct: -9.9 } },
    { text: "In Kestrel Cup the average drops by 10.5%.", is: null },
    { text: "In Saltworks the average drops by 9%.", is: null },
    { text: "The average drops by 9% with quiet-35w.", is: loss },
    { text: "In Kestrel Cup the average drops by 9% and rises by 9%.", is: null },
    { text: "In Kestrel Cup the average drops from 8% to 9%.", is: null },
  ])("$text", ({ text, is }) => {
    expect(suggestionsOf(text)).toEqual([is]);
  });

  test("of what is not shown is no claim", () => {
    expect(suggestionsOf("In Saltworks the 1% low drops by 3%.")).toEqual([null]);
  });

  test.for([
    { text: "The 1% low drops by 15%.", metric: "low1Fps", byPct: -15 },
    { text: "The one percent low drops by 15%.", metric: "low1Fps", byPct: -15 },
    { text: "The 0.1% low drops by 25%.", metric: "low01Fps", byPct: -25 },
    { text: "Its efficiency is 20% better.", metric: "fpsPerWatt", byPct: 20 },
    { text: "Frames per watt are 20% up.", metric: "fpsPerWatt", byPct: 20 },
    { text: "The energy of a frame drops by 20%.", metric: "joulesPerFrame", byPct: -20 },
    { text: "The processor power drops by 30%.", metric: "cpuPowerW", byPct: -30 },
    { text: "The GPU draw drops by 40%.", metric: "gpuPowerW", byPct: -40 },
    // Another metric's size, and one that no metric has.
    { text: "The 1% low drops by 25%.", metric: null, byPct: null },
    { text: "It drops by 60%.", metric: null, byPct: null },
    // No metric is named, and only one fits.
    { text: "It drops by 40%.", metric: "gpuPowerW", byPct: -40 },
  ])("is of the metric named: $text", ({ text, metric, byPct }) => {
    const [draft] = suggestionsOf(`In Kestrel Cup: ${text}`);
    if (metric === null) expect(draft).toBeNull();
    else expect(draft).toMatchObject({ game: "kestrel-cup", config: "quiet-35w", metric, byPct });
  });
});

describe("games together", () => {
  const all = { ...loss, game: null, byPct: -5 };
  const racing = { ...all, tag: "racing", byPct: -7 };
  test.for([
    { text: "On average quiet-35w loses 5%.", is: all },
    { text: "In racing games quiet-35w loses 7% on average.", is: racing },
    { text: "On average quiet-35w loses 7%.", is: null },
    { text: "In racing games quiet-35w loses 5% on average.", is: null },
    { text: "In racing games quiet-35w loses 9% on average.", is: null },
    { text: "In Saltworks quiet-35w loses 5% on average.", is: null },
    { text: "In Saltworks, as in racing games, quiet-35w loses 7% on average.", is: null },
  ])("$text", ({ text, is }) => {
    expect(suggestionsOf(text)).toEqual([is]);
  });
});

describe("no difference", () => {
  const within = { ...none, game: "saltworks", config: "quiet-35w", metric: "avgFps", is: "within-noise" };
  test.for([
    { text: "In Saltworks the average at 35 watts is within the noise.", is: within },
    {
      text: "In Saltworks the average with everything on is within the noise.",
      is: { ...within, config: "full-65w" },
    },
    { text: "In Saltworks the 1% low is within the noise.", is: { ...within, metric: "low1Fps" } },
    // Two configs, and what is not so.
    { text: "In Saltworks the average is within the noise.", is: null },
    { text: "In Kestrel Cup the average at 35 watts is within the noise.", is: null },
    { text: "With quiet-35w the average is within the noise.", is: null },
  ])("$text", ({ text, is }) => {
    expect(suggestionsOf(text)).toEqual([is]);
  });
});

describe("a value", () => {
  const about = (value: number, more: object) => ({ ...none, metric: "avgFps", about: value, ...more });
  test.for([
    {
      text: "Kestrel Cup averages 105 FPS with quiet-35w.",
      is: about(105, { game: "kestrel-cup", config: "quiet-35w" }),
    },
    { text: "Kestrel Cup averages 105 FPS.", is: about(105, { game: "kestrel-cup", config: "quiet-35w" }) },
    { text: "It averages 155 FPS.", is: about(155, { game: "saltworks", config: "quiet-35w" }) },
    { text: "It averages 156.5 FPS.", is: about(156.5, { game: "saltworks", config: "quiet-35w" }) },
    { text: "It averages 152.5 FPS.", is: null },
    { text: "Saltworks averages 105 FPS.", is: null },
    { text: "Kestrel Cup averages 105 FPS with full-65w.", is: null },
    {
      text: "Kestrel Cup has 60 watts of CPU power.",
      is: about(60, { game: "kestrel-cup", config: "stock", metric: "cpuPowerW" }),
    },
    { text: "Kestrel Cup has 60 FPS on average.", is: null },
    { text: "Kestrel Cup runs at 60 FPS with stock.", is: null },
    { text: "It takes 60 watts of CPU power.", is: null },
  ])("$text", ({ text, is }) => {
    expect(suggestionsOf(text)).toEqual([is]);
  });
});

test("sentences are read each by itself, however often they name the same", () => {
  const text = "In Kestrel Cup the average with quiet-35w drops by 9%.";
  expect(suggestionsOf(`${text} ${text}\n\n${text}`)).toEqual([loss, loss, loss]);
});
