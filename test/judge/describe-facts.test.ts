import { describe, expect, test } from "vitest";
import { type CautionFact, describeCaution } from "../../src/judge/describe-caution.ts";
import { describeFlag, type PassFlag } from "../../src/judge/describe-flag.ts";

// Whole sentences are held by the golden files; here what they must hold of their facts, and in what case.

describe("a flag in words", () => {
  const drops = { code: "throttled", kind: "drops", sensor: "cpu-clock", belowPct: 20, timePct: 25 } as const;
  const drop = { ...drops, isLoadKept: true, slowFramesPct: 80, framesPct: 21, p: 0.05 } as const;
  const siblings = { code: "throttled", kind: "siblings", sensor: "cpu-power", belowPct: 12 } as const;
  const few = { code: "few-frames", metric: "low1Fps", beyond: 9, needed: 1000, wanted: 2000 } as const;
  test.for([
    { flag: { code: "damaged", lostFrames: 10, frames: 1990 }, severity: "warning", says: ["10 of 2,000"] },
    { flag: { code: "restarted", segments: 3, picked: null }, severity: "bad", says: ["3 stretches"] },
    { flag: { code: "restarted", segments: 3, picked: 2 }, severity: "note", says: ["stretch 2 of 3"] },
    { flag: { code: "time-missing", frameSumS: 45, clockSpanS: 60 }, severity: "warning", says: ["75%"] },
    { flag: { code: "cut-short" }, severity: "note", says: ["cut off"] },
    {
      flag: { code: "coarse-times", stepMs: 1, usualMs: 8 },
      severity: "warning",
      says: ["1.00 ms", "13% of a usual"],
    },
    {
      flag: { code: "sensor-gap", roles: ["cpu-power"], heardPct: 30, isCounted: false },
      ...{ severity: "warning", says: ["CPU power was read for 30%", "left out"] },
    },
    {
      flag: { code: "sensor-gap", roles: ["cpu-power", "gpu-power"], heardPct: 90, isCounted: true },
      ...{ severity: "note", says: ["CPU power, GPU power were read for 90% of the pass only"] },
    },
    { flag: { ...few, frames: 999 }, severity: "note", says: ["no 1% low", "1,000 frames", "has 999"] },
    {
      flag: { ...few, frames: 1000 },
      severity: "note",
      says: ["rough 1% low", "9 of 1,000", "2,000 are advised"],
    },
    { flag: { ...few, metric: "low01Fps", frames: 9 }, severity: "note", says: ["no 0.1% low"] },
    { flag: { code: "too-short", frames: 5, needed: 10 }, severity: "bad", says: ["5 frames"] },
    {
      flag: {
        code: "too-short",
        frames: 0,
        needed: 10,
        trimmedFrom: { frames: 1500, seconds: 18.75, skipS: 90, keepS: 30 },
      },
      severity: "bad",
      says: ["0 frames of 1,500", "from 90.0 s to 120 s", "ends at 18.8 s"],
    },
    {
      flag: { code: "duplicate", of: "a/b/2", isFirst: true },
      severity: "note",
      says: ["a/b/2", "this one counts"],
    },
    {
      flag: { code: "length-differs", seconds: 20, medianSeconds: 60 },
      ...{ severity: "warning", says: ["lasts 20.0 s", "median is 60.0 s"] },
    },
    {
      flag: { code: "duplicate", of: "a/b/1", isFirst: false },
      severity: "bad",
      says: ["same frames as a/b/1"],
    },
    { flag: { code: "set-aside", why: "updated itself" }, severity: "bad", says: ["updated itself"] },
    {
      flag: { code: "unusually-slow", belowPct: { avgFps: 12, low1Fps: 30 }, p: 0.01 },
      ...{ severity: "bad", says: ["average FPS 12% and 1% low 30% below", "p 0.01"] },
    },
    {
      flag: { code: "unusually-slow", belowPct: { avgFps: 12, low1Fps: null }, p: 0.01 },
      ...{ severity: "bad", says: ["average FPS 12% below"] },
    },
    {
      flag: { code: "unusually-slow", belowPct: { avgFps: null, low1Fps: 30 }, p: 0.01 },
      ...{ severity: "bad", says: [": 1% low 30% below"] },
    },
    // In the one metric it is slower, in the other it is not.
    {
      flag: { code: "unusually-slow", belowPct: { avgFps: -0.2, low1Fps: 20 }, p: 0.01 },
      ...{ severity: "bad", says: [": 1% low 20% below"] },
    },
    { flag: { code: "unusually-fast" }, severity: "note", says: ["counted"] },
    { flag: { code: "passes-disagree", passes: 2 }, severity: "note", says: ["a third would tell"] },
    { flag: { code: "passes-disagree", passes: 3 }, severity: "warning", says: ["capture more"] },
    {
      flag: { code: "capped", kind: "value", rateFps: 60, timePct: 90 },
      severity: "note",
      says: ["60.0 FPS", "90%", "cap"],
    },
    {
      flag: { code: "capped", kind: "steps", rateFps: 60, timePct: 90 },
      ...{ severity: "note", says: ["whole multiples", "60.0 FPS", "90%"] },
    },
    { flag: { code: "gpu-bound", timePct: 80 }, severity: "note", says: ["95% or more", "80% of the time"] },
    {
      flag: { code: "power-limited", watts: 35, timePct: 70, games: 4 },
      severity: "note",
      says: ["35.0 W", "70%", "4 games"],
    },
    {
      flag: drop,
      severity: "warning",
      says: [
        "CPU clock fell by 20% for 25% of the time while the load stayed",
        "80% of the frames",
        "21% of all",
      ],
    },
    {
      flag: { ...drop, isLoadKept: null, sensor: "cpu-power" },
      severity: "warning",
      says: ["CPU power", "do not say"],
    },
    {
      flag: {
        ...siblings,
        slower: [
          { metric: "avgFps", belowPct: 3 },
          { metric: "low1Fps", belowPct: 8 },
        ],
      },
      ...{ severity: "warning", says: ["CPU power is 12% below", "average FPS by 3% and 1% low by 8%"] },
    },
    {
      flag: { ...siblings, slower: [{ metric: "low1Fps", belowPct: 8 }] },
      ...{ severity: "warning", says: ["so is 1% low by 8%:"] },
    },
  ] as { flag: PassFlag; severity: string; says: string[] }[])(
    "$flag.code: $says",
    ({ flag, severity, says }) => {
      const described = describeFlag(flag);
      expect(described).toMatchObject({ code: flag.code, severity });
      for (const words of says) expect(described.text).toContain(words);
      expect(described.text).not.toMatch(/null|undefined|NaN/);
    },
  );

  test.for([drop, { ...siblings, slower: [{ metric: "avgFps", belowPct: 3 }] }] as PassFlag[])(
    "what goes together is not called a cause: $kind",
    (flag) => {
      expect(describeFlag(flag).text).toMatch(/they go together, which does not show which causes which$/);
    },
  );
});

describe("a caution in words", () => {
  const boots = { code: "baseline-boots", metric: "1% low", first: "boot-1", last: "boot-2" } as const;
  const boot = { ...boots, changePct: -2, lowPct: -3, highPct: -1 } as const;
  const slower = { metric: "average FPS", changePct: -2, lowPct: -3, highPct: -1 };
  const unread = { file: "a.csv", cell: null };
  const capped = { code: "capped" } as const;
  const game = { game: "saltworks", configs: null, lowest: 60, highest: 60 };
  const held = {
    cell: "saltworks/quiet",
    slower: [{ metric: "1% low", changePct: -9 }],
    sensor: "CPU power",
  };
  const cells = (count: number): string[] => Array.from({ length: count }, (_, i) => `game-${i + 1}`);
  test.for([
    { fact: { code: "single-pass", cells: cells(1) }, says: ["about game-1:"] },
    { fact: { code: "length-differs", passes: cells(2) }, says: ["shows: game-1 and game-2. Keep"] },
    { fact: { code: "missing-cell", cells: cells(2) }, says: ["for game-1 and game-2:"] },
    {
      fact: { code: "passes-disagree", cells: cells(4) },
      says: ["of game-1, game-2, game-3 and game-4 disagree"],
    },
    {
      fact: { code: "time-missing", passes: cells(5) },
      says: ["In game-1, game-2, game-3, game-4 and 1 more the"],
    },
    { fact: { code: "coarse-times", passes: cells(2) }, says: ["In game-1 and game-2 the"] },
    { fact: { code: "sensor-gap", passes: cells(1) }, says: ["a part of game-1"] },
    { fact: { code: "pace-unknown", games: cells(7) }, says: ["game-3, game-4 and 3 more,"] },
    {
      fact: { code: "missing-lows", metric: "0.1% low", needed: 10_000, cells: cells(1) },
      says: ["No 0.1% low for game-1", "10,000 frames"],
    },
    {
      fact: { code: "no-noise-seen", config: "quiet", metric: "average FPS" },
      says: ["average FPS of quiet:"],
    },
    { fact: { code: "few-games", games: 3 }, says: ["over 3 games", "five or more"] },
    {
      fact: { code: "one-boot", isBaselineRepeated: true },
      says: ["the boot's and not the config's."],
      not: ["Set the baseline up again"],
    },
    { fact: { code: "one-boot", isBaselineRepeated: false }, says: ["Set the baseline up again", "{boot}"] },
    {
      fact: { ...boot, games: 1 },
      says: ["in boot boot-2 its 1% low is", "(-3.0 to -1.0%) of boot boot-1's", "over 1 game."],
    },
    { fact: { ...boot, games: 2 }, says: ["over 2 games."] },
    { fact: { code: "shared-boots" }, says: ["share its boots"] },
    { fact: { code: "order" }, says: ["Mix the order"] },
    {
      fact: { code: "drift", changes: [slower] },
      says: ["average FPS -2.0% per hour (-3.0 to -1.0%)"],
    },
    {
      fact: { code: "first-pass", changes: [slower] },
      says: ["average FPS -2.0% (-3.0 to -1.0%)", "set the first passes aside"],
    },
    {
      fact: { code: "uneven-passes", cells: ["saltworks/quiet"] },
      says: ["more passes of: saltworks/quiet."],
    },
    {
      fact: { code: "first-pass-or-drift", metric: "average FPS", firstPassPct: -2, perHourPct: 0.5 },
      says: ["in average FPS by -2.0%", "by +0.5% per hour", "cannot tell which"],
    },
    {
      fact: { code: "first-pass", changes: [slower, { ...slower, metric: "1% low" }] },
      says: ["average FPS -2.0% (-3.0 to -1.0%) and 1% low -2.0% (-3.0 to -1.0%)."],
    },
    {
      fact: {
        code: "hangs-on-one-pass",
        verdicts: [
          { cell: "saltworks/quiet", metric: "1% low", pass: "saltworks/quiet/1" },
          { cell: "saltworks/quiet", metric: "average FPS", pass: "saltworks/stock/2" },
          { cell: "saltworks/quiet", metric: "CPU power", pass: "saltworks/quiet/1" },
        ],
      },
      says: ["saltworks/quiet/1 (1% low, CPU power) and saltworks/stock/2 (saltworks/quiet average FPS)."],
    },
    {
      fact: { code: "lows-definition", verdicts: [{ cell: "saltworks/quiet", turns: "1% low (lower)" }] },
      says: ["saltworks/quiet 1% low (lower)."],
    },
    { fact: { code: "called-lows-overstate" }, says: ["direction more than its size"] },
    { fact: { ...capped, games: [game] }, says: ["saltworks (60.0 FPS):"] },
    { fact: { ...capped, games: [{ ...game, highest: 120 }] }, says: ["saltworks (60.0 FPS to 120 FPS):"] },
    // Figures that print alike are one.
    { fact: { ...capped, games: [{ ...game, highest: 60.001 }] }, says: ["saltworks (60.0 FPS):"] },
    {
      fact: {
        ...capped,
        games: [
          { ...game, configs: ["quiet", "full"] },
          { ...game, game: "kestrel-cup" },
        ],
      },
      says: ["saltworks/quiet, full (60.0 FPS) and kestrel-cup (60.0 FPS):"],
    },
    {
      fact: { code: "gpu-bound", games: [{ ...game, lowest: 80, highest: 99 }] },
      says: ["saltworks (at its ceiling 80% of the time to at its ceiling 99% of the time):"],
    },
    {
      fact: { code: "throttled", cells: [{ cell: "saltworks/quiet", throttled: 2, passes: 3 }] },
      says: ["saltworks/quiet (2 of 3 passes):"],
    },
    {
      fact: { code: "held-back", cells: [{ ...held, belowPct: 30, watts: 35 }] },
      says: [
        "saltworks/quiet (1% low -9.0%; CPU power held at 35.0 W, 30% below the baseline's)",
        "an association",
      ],
    },
    {
      fact: { code: "held-back", cells: [{ ...held, sensor: "CPU clock", belowPct: 10, watts: null }] },
      says: ["; CPU clock 10% below the baseline's)"],
      not: ["held at"],
    },
    { fact: { code: "not-read", files: [unread] }, says: ["One log was not read: a.csv."] },
    {
      fact: { code: "not-read", files: [unread, { ...unread, file: "b.csv" }] },
      says: ["2 logs were not read: a.csv and b.csv."],
    },
    // What is said of power defers to the maker's documentation.
    { fact: { code: "power-limits" }, says: ["maker"] },
  ] as { fact: CautionFact; says: string[]; not?: string[] }[])(
    "$fact.code: $says",
    ({ fact, says, not = [] }) => {
      const { code, text } = describeCaution(fact);
      expect(code).toBe(fact.code);
      for (const words of says) expect(text).toContain(words);
      for (const words of not) expect(text).not.toContain(words);
      expect(text).not.toMatch(/null|undefined|NaN/);
    },
  );
});
