import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Judgement, Verdict } from "../../src/judge/judgement.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { type Metric, metrics } from "../../src/shared/metrics.ts";
import { expectClose } from "../support/expect-close.ts";
import { makePass } from "../support/make-pass.ts";
import { numbersIn, settingsFor } from "../support/session-fixtures.ts";

const measured = ["avgFps", "low1Fps", "low01Fps", "cpuPowerW"] as const satisfies readonly Metric[];

// Games at different levels, configs with true effects from none to large, noise from none (a frame cap) to heavy, one
// to five passes, absent cells and figures, now and then a spoiled pass.
const figure = fc.record({
  noise: fc.double({ min: -3, max: 3, noNaN: true }),
  isMissing: fc.integer({ min: 0, max: 19 }).map((k) => k === 0),
  isSpoiled: fc.integer({ min: 0, max: 29 }).map((k) => k === 0),
});
const cell = fc.record({
  effect: fc.oneof(fc.constant(0), fc.double({ min: -0.2, max: 0.2, noNaN: true })),
  sd: fc.oneof(fc.constant(0), fc.double({ min: 0.001, max: 0.08, noNaN: true })),
  passes: fc.array(fc.array(figure, { minLength: measured.length, maxLength: measured.length }), {
    minLength: 0,
    maxLength: 5,
  }),
});
const configs = ["balanced-54w", "quiet-35w", "full-65w"];
const someSession = fc
  .array(fc.array(cell, { minLength: configs.length, maxLength: configs.length }), {
    minLength: 1,
    maxLength: 5,
  })
  .map((games) =>
    games.flatMap((cells, g) =>
      cells.flatMap(({ effect, sd, passes }, c) =>
        passes.map((figures, p) =>
          makePass(
            { game: `game-${g}`, config: configs[c]!, pass: `pass-${p}` },
            Object.fromEntries(
              figures.map(({ noise, isMissing, isSpoiled }, m) => [
                measured[m],
                // A pass that has frames has an average.
                isMissing && m > 0
                  ? null
                  : 60 * (g + 1) * Math.exp(effect + sd * noise) * (isSpoiled ? 0.7 : 1),
              ]),
            ),
          ),
        ),
      ),
    ),
  )
  .filter(
    (passes) =>
      passes.some(({ config }) => config === configs[0]) &&
      passes.some(({ config }) => config === configs[1]),
  );
const settings = settingsFor("balanced-54w");
const runs = { numRuns: 200 };

const verdictKey = ({ game, config, metric }: Verdict) => `${game}/${config}/${metric}`;
const byKey = (judgement: Judgement) => new Map(judgement.verdicts.map((row) => [verdictKey(row), row]));
const words = (judgement: Judgement) =>
  judgement.verdicts
    .map(
      (row) => `${verdictKey(row)}: ${row.verdict} ${row.size} ${row.passesNeeded} ${row.holdsWithAllPasses}`,
    )
    .sort();
const countedPasses = (judgement: Judgement) =>
  judgement.passes
    .filter(({ counted }) => counted)
    .map(({ game, config, pass }) => `${game}/${config}/${pass}`)
    .sort();

/** A shuffle decided by fast-check, so that a failure shrinks. */
const shuffled = someSession.chain((passes) =>
  fc.tuple(
    fc.constant(passes),
    fc.shuffledSubarray(passes, { minLength: passes.length, maxLength: passes.length }),
  ),
);

describe("a judgement", () => {
  test("does not depend on the order in which passes come", () => {
    fc.assert(
      fc.property(shuffled, ([passes, inAnyOrder]) => {
        // Session order is a promise of its own, so everything may be compared as it stands.
        expect(judgeSession(inAnyOrder, settings)).toEqual(judgeSession(passes, settings));
      }),
      runs,
    );
  });

  test("does not depend on the names of games and configs", () => {
    // Renaming turns the order of both round.
    const rename = (pass: PassSummary): PassSummary => ({
      ...pass,
      game: `game-${9 - Number(pass.game.slice(5))}`,
      config: { "balanced-54w": "z", "quiet-35w": "y", "full-65w": "x" }[pass.config]!,
    });
    fc.assert(
      fc.property(someSession, (passes) => {
        const there = judgeSession(passes, settings);
        const back = byKey(judgeSession(passes.map(rename), settingsFor("z")));
        for (const row of there.verdicts) {
          const renamed = rename({ ...passes[0]!, game: row.game, config: row.config });
          const other = back.get(`${renamed.game}/${renamed.config}/${row.metric}`)!;
          expectClose(other.standardError, row.standardError, 1e-9, "standard error", 1e-14);
          expectClose(other.p, row.p, 1e-7, "p", 1e-14);
          expect(other.verdict).toBe(row.verdict);
        }
      }),
      runs,
    );
  });

  test("does not depend on the unit of a metric: only values change", () => {
    fc.assert(
      fc.property(
        someSession,
        fc.constantFrom(...measured),
        fc.constantFrom(0.001, 3, 1000),
        (passes, metric, factor) => {
          const scaled = passes.map((pass) => ({
            ...pass,
            [metric]: pass[metric] === null ? null : pass[metric] * factor,
          }));
          const there = judgeSession(passes, settings);
          const back = judgeSession(scaled, settings);
          expect(words(back)).toEqual(words(there));
          expect(countedPasses(back)).toEqual(countedPasses(there));
          const rows = byKey(back);
          for (const row of there.verdicts) {
            const other = rows.get(verdictKey(row))!;
            const times = row.metric === metric ? factor : 1;
            expectClose(other.value, row.value * times, 1e-10, "value");
            expectClose(other.againstValue, row.againstValue * times, 1e-10, "againstValue");
            for (const key of ["changePct", "lowPct", "highPct"] as const) {
              expectClose(other[key], row[key], 1e-7, `${verdictKey(row)} ${key}`, 1e-9);
            }
          }
        },
      ),
      runs,
    );
  });

  test("swapping config and baseline inverts the ratio, keeps the error and p, and flips the word", () => {
    const flipped = { higher: "lower", lower: "higher", same: "same", unclear: "unclear" } as const;
    fc.assert(
      fc.property(someSession, (passes) => {
        const two = passes.filter(({ config }) => config !== "full-65w");
        const there = judgeSession(two, settings);
        const back = byKey(judgeSession(two, settingsFor("quiet-35w")));
        expect(back.size).toBe(there.verdicts.length);
        for (const row of there.verdicts) {
          const other = back.get(`${row.game}/balanced-54w/${row.metric}`)!;
          expectClose(other.logDiff, -row.logDiff, 1e-12, "logDiff", 1e-15);
          expectClose(1 + other.changePct / 100, 1 / (1 + row.changePct / 100), 1e-12, "ratio");
          for (const key of ["standardError", "degreesOfFreedom", "p", "pAdjusted", "resolvesPct"] as const) {
            expectClose(other[key], row[key], 1e-7, key, 1e-14);
          }
          if (row.lowPct === null || row.highPct === null) expect(other.lowPct).toBeNull();
          else {
            expectClose(1 + other.lowPct! / 100, 1 / (1 + row.highPct / 100), 1e-8, "low");
            expectClose(1 + other.highPct! / 100, 1 / (1 + row.lowPct / 100), 1e-8, "high");
          }
          expect({ verdict: other.verdict, size: other.size, needed: other.passesNeeded }).toEqual({
            verdict: flipped[row.verdict],
            size: row.size,
            needed: row.passesNeeded,
          });
        }
      }),
      runs,
    );
  });

  test("holds only numbers and nulls where figures are expected, and agrees with itself", () => {
    fc.assert(
      fc.property(
        someSession,
        fc.constantFrom("columns", "strict"),
        fc.boolean(),
        (passes, control, keepAll) => {
          const judgement = judgeSession(
            passes,
            settingsFor("balanced-54w", { falseAlarmControl: control, keepAll }),
          );
          for (const { path, number } of numbersIn(judgement)) {
            if (!Number.isFinite(number)) expect.fail(`${path} is ${number}`);
          }
          // What JSON keeps is all there is: no undefined, no NaN turned null on the way.
          expect(JSON.parse(JSON.stringify(judgement))).toEqual(judgement);
          expect(judgement.passes).toHaveLength(passes.length);
          if (keepAll) expect(judgement.passes.every(({ counted }) => counted)).toBe(true);
          for (const row of judgement.verdicts) {
            const where = verdictKey(row);
            expectClose(
              100 * (row.value / row.againstValue - 1),
              row.changePct,
              1e-7,
              `${where}: changePct`,
              1e-9,
            );
            if (row.lowPct !== null && row.highPct !== null) {
              expect(row.lowPct, where).toBeLessThanOrEqual(row.changePct);
              expect(row.highPct, where).toBeGreaterThanOrEqual(row.changePct);
            } else expect([row.lowPct, row.highPct, row.p]).toEqual([null, null, null]);
            if (row.pAdjusted !== null) {
              expect(row.pAdjusted, where).toBeGreaterThanOrEqual(row.p! * (1 - 1e-12));
              expect(row.pAdjusted, where).toBeLessThanOrEqual(1);
            }
            const isCalled = row.verdict === "higher" || row.verdict === "lower";
            expect(isCalled, where).toBe(row.pAdjusted !== null && row.pAdjusted <= 0.05 + 1e-15);
            expect(row.size !== null, where).toBe(isCalled);
            // An adjusted p of at most 5% means that the 95% interval excludes 0.
            if (isCalled) expect(row.lowPct! > 0 || row.highPct! < 0, where).toBe(true);
            if (row.verdict === "higher") expect(row.changePct).toBeGreaterThan(0);
            if (row.verdict === "lower") expect(row.changePct).toBeLessThan(0);
            if (row.passes < 2 || row.againstPasses < 2) {
              expect([row.verdict, row.pAdjusted, row.resolvesPct, row.passesNeeded], where).toEqual([
                "unclear",
                null,
                null,
                null,
              ]);
            }
            if (row.passesNeeded !== null) {
              expect(row.verdict, where).toBe("unclear");
              expect(row.passesNeeded).toBeGreaterThan(Math.min(row.passes, row.againstPasses));
              expect(row.passesNeeded).toBeLessThanOrEqual(100);
            }
            expect(metrics).toContain(row.metric);
          }
          for (const row of judgement.suite) {
            expect(row.lowPct).toBeLessThanOrEqual(row.changePct);
            expect(row.highPct).toBeGreaterThanOrEqual(row.changePct);
            expect(row.theseGamesLowPct).toBeLessThanOrEqual(row.changePct);
            expect(row.theseGamesHighPct).toBeGreaterThanOrEqual(row.changePct);
            expect(row.pAdjusted).toBeGreaterThanOrEqual(row.p * (1 - 1e-12));
          }
        },
      ),
      { numRuns: 400 },
    );
  });

  test("is the same with and without the screen where every verdict is said to hold", () => {
    fc.assert(
      fc.property(someSession, (passes) => {
        const screened = judgeSession(passes, settings);
        const everything = byKey(judgeSession(passes, settingsFor("balanced-54w", { keepAll: true })));
        for (const row of screened.verdicts) {
          const same = everything.get(verdictKey(row))!.verdict === row.verdict;
          expect(row.holdsWithAllPasses, verdictKey(row)).toBe(same);
        }
      }),
      runs,
    );
  });
});
