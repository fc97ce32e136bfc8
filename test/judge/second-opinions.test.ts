import { describe, expect, test } from "vitest";
import { judgeSession } from "../../src/judge/judge-session.ts";
import type { Judgement, Verdict } from "../../src/judge/judgement.ts";
import { passName } from "../../src/judge/mark-passes.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { type LowsDefinition, lowsDefinitions } from "../../src/shared/lows-definition.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { settingsFor } from "../support/session-fixtures.ts";
import { simulateSession } from "../support/simulate-session.ts";

const keyOf = ({ game, config, metric }: Verdict): string => JSON.stringify([game, config, metric]);
const wordsOf = ({ verdicts }: Judgement) => new Map(verdicts.map((row) => [keyOf(row), row.verdict]));
const isCalled = ({ verdict }: Pick<Verdict, "verdict">): boolean =>
  verdict === "higher" || verdict === "lower";
const all = settingsFor("baseline", { keepAll: true });

/** Small sessions with effects near what they can show, so that many verdicts hang on something. */
const sessions = [
  { seed: 1, passes: 3, spoiledShare: 0 },
  { seed: 2, passes: 4, spoiledShare: 0 },
  { seed: 3, passes: 2, spoiledShare: 0 },
  { seed: 4, passes: 5, spoiledShare: 0.1 },
  { seed: 5, passes: 4, spoiledShare: 0.1 },
].map(({ seed, passes, spoiledShare }) => ({
  what: `${passes} passes, seed ${seed}`,
  passes: simulateSession(
    {
      games: 3,
      passes,
      spoiledShare,
      truth: ({ game, config }) => (config === "first" ? 0.015 * (game + 1) : 0),
    },
    seededRandom(seed),
  ).passes,
}));

/** The same session without one pass, judged from the start; false where nothing is left to judge. */
const without = (passes: readonly PassSummary[], left: PassSummary) =>
  wordsOf(
    judgeSession(
      passes.filter((pass) => pass !== left),
      all,
    ),
  );

describe("hangsOnPass", () => {
  test.for(sessions)(
    "$what: is the first pass without which the whole judgement says another word",
    ({ passes }) => {
      const { verdicts } = judgeSession(passes, all);
      const inOrder = judgeSession(passes, all).passes.map(
        ({ game, config, pass }) =>
          passes.find(
            (own) => own.game === game && own.config === config && own.pass === pass,
          ) as PassSummary,
      );
      const judgedWithout = new Map(inOrder.map((left) => [left, without(passes, left)]));
      for (const row of verdicts) {
        const turning = inOrder.filter(
          (left) =>
            left.game === row.game &&
            (left.config === row.config || left.config === row.against) &&
            judgedWithout.get(left)?.get(keyOf(row)) !== row.verdict,
        );
        const expected = isCalled(row) && turning[0] !== undefined ? passName(turning[0]) : null;
        expect(row.hangsOnPass, keyOf(row)).toBe(expected);
      }
    },
  );

  test("the sessions above hold both kinds of called verdicts", () => {
    const called = sessions.flatMap(({ passes }) => judgeSession(passes, all).verdicts).filter(isCalled);
    const hanging = called.filter(({ hangsOnPass }) => hangsOnPass !== null);
    expect(hanging.length).toBeGreaterThan(3);
    expect(called.length - hanging.length).toBeGreaterThan(3);
  });

  test("the screen decides first: only passes that count are left out, and none is screened anew", () => {
    for (const { passes } of sessions) {
      const screened = judgeSession(passes, settingsFor("baseline"));
      const names = new Set(screened.passes.filter(({ counted }) => counted).map(passName));
      const counted = passes.filter((pass) => names.has(passName(pass)));
      const again = judgeSession(counted, all);
      expect(screened.verdicts.map(({ hangsOnPass }) => hangsOnPass)).toEqual(
        again.verdicts.map(({ hangsOnPass }) => hangsOnPass),
      );
    }
  });
});

describe("holdsWithAllPasses", () => {
  test("is whether the word is the same with every pass counted", () => {
    let changed = 0;
    for (let seed = 0; seed < 30; seed++) {
      const { passes } = simulateSession(
        { games: 4, passes: 4, spoiledShare: 0.1, truth: ({ config }) => (config === "first" ? 0.02 : 0) },
        seededRandom(100 + seed),
      );
      const everything = wordsOf(judgeSession(passes, all));
      for (const row of judgeSession(passes, settingsFor("baseline")).verdicts) {
        expect(row.holdsWithAllPasses).toBe(everything.get(keyOf(row)) === row.verdict);
        if (!row.holdsWithAllPasses) changed++;
      }
    }
    // The table above must hold what it is about.
    expect(changed).toBeGreaterThan(5);
  });
});

describe("otherLows", () => {
  const random = seededRandom(9);
  const withLows = (passes: readonly PassSummary[]): PassSummary[] =>
    passes.map((pass) => {
      // One config's frame times have another shape, so that the definitions disagree about it.
      const shape = pass.config === "first" ? 1 : 0;
      const lowsBy = (shift: number) => {
        const other = (low: number | null) =>
          low === null ? null : low * Math.exp(shift * shape + 0.1 * Math.abs(shift) * random.normal());
        return { low1Fps: other(pass.low1Fps), low01Fps: other(pass.low01Fps) };
      };
      const lows: Record<LowsDefinition, ReturnType<typeof lowsBy>> = {
        percentile: lowsBy(0),
        "tail-average": lowsBy(-0.1),
        "time-weighted": lowsBy(0.1),
      };
      return { ...pass, lows };
    });
  const by = (passes: readonly PassSummary[], lows: LowsDefinition): PassSummary[] =>
    passes.map((pass) => ({ ...pass, ...pass.lows?.[lows] }));

  test.for(lowsDefinitions.map((lows) => ({ lows })))(
    "judged by $lows: the words are those of sessions judged by the other two",
    ({ lows }) => {
      let differing = 0;
      for (const { passes } of sessions) {
        const known = withLows(passes);
        const judgement = judgeSession(by(known, lows), { ...all, lows });
        const others = lowsDefinitions.filter((other) => other !== lows);
        const words = new Map(
          others.map((other) => [other, wordsOf(judgeSession(by(known, other), { ...all, lows: other }))]),
        );
        for (const row of judgement.verdicts) {
          const isLow = row.metric === "low1Fps" || row.metric === "low01Fps";
          expect(row.otherLows).toEqual(
            isLow ? others.map((other) => ({ lows: other, verdict: words.get(other)?.get(keyOf(row)) })) : [],
          );
          if (row.otherLows.some(({ verdict }) => verdict !== row.verdict)) differing++;
        }
      }
      expect(differing).toBeGreaterThan(3);
    },
  );

  test("where one pass does not know its other lows, nothing is said about any", () => {
    const known = withLows(sessions[0]?.passes ?? []);
    const some = known.map((pass, i) => (i === 0 ? { ...pass, lows: undefined } : pass)) as PassSummary[];
    for (const { otherLows } of judgeSession(some, all).verdicts) expect(otherLows).toEqual([]);
  });

  test("a low that is higher by one definition and lower by another is told", () => {
    const passes = ["baseline", "parked"].flatMap((config) =>
      ["a", "b", "c"].flatMap((game) =>
        [0, 1, 2].map((i) => {
          const low1Fps = (config === "parked" ? 66 : 60) + 0.1 * i;
          const turned = (config === "parked" ? 54 : 60) + 0.1 * i;
          const low = (value: number) => ({ low1Fps: value, low01Fps: null });
          return {
            ...(sessions[0]?.passes[0] as PassSummary),
            game,
            config,
            pass: `pass-${i}`,
            fingerprint: "",
            avgFps: 100 + i,
            low1Fps,
            low01Fps: null,
            lows: { percentile: low(low1Fps), "tail-average": low(turned), "time-weighted": low(low1Fps) },
          };
        }),
      ),
    );
    const judgement = judgeSession(passes, all);
    const row = judgement.verdicts.find(({ metric }) => metric === "low1Fps");
    expect(row?.verdict).toBe("higher");
    expect(row?.otherLows.find(({ lows }) => lows === "tail-average")?.verdict).toBe("lower");
    const told = judgement.cautions.find(({ code }) => code === "lows-definition")?.text;
    expect(told).toContain("a/parked 1% low (higher; tail-average: lower)");
  });
});
