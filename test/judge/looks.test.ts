import { mean, sampleVariance } from "simple-statistics";
import { describe, expect, test } from "vitest";
import type { StandingComparison } from "../../src/judge/session-standing.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { isCalled, type LookedAt, lookAfterEveryPass } from "../support/simulate-looks.ts";
import type { Scenario } from "../support/simulate-session.ts";

/*
 * What looking after every pass does to the promises of a judgement. `npm run simulate:looks` plays many more sessions
 * and more scenarios than the normal suite, and prints the table.
 */
const isLong = (import.meta as { env?: { MODE?: string } }).env?.MODE === "simulation";

interface Shares {
  /** Sessions with any false verdict that stood, at the moment it first stood. */
  readonly first: Share;
  /** The same at any look. */
  readonly ever: Share;
  /** The same in the judgement of the whole folder at the end. */
  readonly end: Share;
  /** The same with as many passes, fixed beforehand and looked at once: what a judgement promises anyway. */
  readonly unseen: Share;
  /** Sessions with any false verdict for those who stop at the first that appears. */
  readonly hasty: Share;
  /** Single comparisons whose interval excludes no difference, when they were settled. */
  readonly single: Share;
  readonly coverage: Share;
  readonly same: Share;
  readonly passes: number;
}

interface Share {
  readonly share: number;
  readonly error: number;
}

function shareOf(sessions: readonly LookedAt[], countOf: (session: LookedAt) => number): Share {
  const shares = sessions.map(countOf);
  return { share: mean(shares), error: Math.sqrt(sampleVariance(shares) / shares.length) };
}

function looks(seed: number, count: number, scenario: Omit<Scenario, "passes">, truth = 0): Shares {
  const random = seededRandom(seed);
  const sessions = Array.from({ length: count }, () => lookAfterEveryPass(scenario, random));
  const covers = ({ lowPct, highPct }: StandingComparison, value: number): boolean =>
    Math.log1p(lowPct! / 100) <= value && value <= Math.log1p(highPct! / 100);
  const settled = (is: (comparison: StandingComparison) => boolean) => (session: LookedAt) =>
    session.settled.filter(is).length / session.settled.length;
  return {
    first: shareOf(sessions, ({ settled }) => Number(settled.some(isCalled))),
    ever: shareOf(sessions, ({ everCalled }) => Number(everCalled > 0)),
    end: shareOf(sessions, ({ last }) => Number(last.some(isCalled))),
    unseen: shareOf(sessions, ({ unseen }) => Number(unseen.some(isCalled))),
    hasty: shareOf(sessions, ({ hasty }) => Number(hasty.some(isCalled))),
    single: shareOf(
      sessions,
      settled((comparison) => !covers(comparison, 0)),
    ),
    coverage: shareOf(
      sessions,
      settled((comparison) => covers(comparison, truth)),
    ),
    same: shareOf(
      sessions,
      settled(({ verdict }) => verdict === "same"),
    ),
    passes: mean(sessions.map(({ passes }) => passes)),
  };
}

function row(name: string, shares: Shares): string {
  const percent = ({ share, error }: Share): string =>
    `${(100 * share).toFixed(1)}% (${(100 * error).toFixed(1)})`;
  const { first, ever, end, unseen, hasty, single, coverage, same, passes } = shares;
  return (
    `${name}: any false alarm when settled ${percent(first)}, ever ${percent(ever)}, at the end ${percent(end)}, ` +
    `without looking ${percent(unseen)}, ` +
    `stopping at the first verdict ${percent(hasty)}; single p <= 5% ${percent(single)}, ` +
    `coverage ${percent(coverage)}, same ${percent(same)}; ${passes.toFixed(0)} passes`
  );
}

describe("a look after every pass", () => {
  test("adds hardly a false alarm where widths stop it, and many where verdicts do", () => {
    const shares = looks(9, 40, { games: 3 });
    console.info(row("3 games, nothing differs, 40 sessions", shares));
    // Promise 5%; with 40 sessions the upper 99.9% binomial bound is 17.5%.
    expect(shares.ever.share).toBeLessThanOrEqual(0.175);
    // 12 comparisons a session: 5% + 3 standard errors of about 1.3 points.
    expect(shares.single.share).toBeLessThan(0.05 + 3 * 0.013);
    // Whoever stops at the first verdict: 20% and more in long simulations.
    expect(shares.hasty.share).toBeGreaterThan(shares.ever.share);
  });

  test.runIf(isLong).for([
    { name: "2 games", seed: 1, sessions: 400, scenario: { games: 2 } },
    { name: "4 games", seed: 2, sessions: 400, scenario: { games: 4 } },
    { name: "4 games, equally noisy cells", seed: 3, sessions: 400, scenario: { games: 4, sdFactor: 1 } },
    {
      name: "4 games, 5% of passes spoiled",
      seed: 4,
      sessions: 400,
      scenario: { games: 4, spoiledShare: 0.05 },
    },
    { name: "8 games", seed: 5, sessions: 200, scenario: { games: 8 } },
  ])("nothing differs: $name", { timeout: 3_600_000 }, ({ name, seed, sessions, scenario }) => {
    const shares = looks(seed, sessions, scenario);
    console.info(row(`nothing differs: ${name}, ${sessions} sessions`, shares));
    expect(shares.ever.share).toBeLessThan(shares.hasty.share / 2);
    expect(shares.coverage.share).toBeGreaterThan(0.925);
  });

  test.runIf(isLong)("a difference of exactly 3% is rarely settled as the same", () => {
    const margin = Math.log(1.03);
    const shares = looks(6, 200, { games: 4, truth: () => margin }, margin);
    console.info(row("exactly 3%: 4 games, 200 sessions", shares));
    // Promise 2.5% (two one-sided tests at 2.5%).
    expect(shares.same.share).toBeLessThan(0.03);
  });
});
