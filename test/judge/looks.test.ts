import { mean, sampleVariance } from "simple-statistics";
import { describe, expect, test } from "vitest";
import type { StandingComparison } from "../../src/judge/session-standing.ts";
import { seededRandom } from "../support/seeded-random.ts";
import { isCalled, type LookedAt, lookAfterEveryPass, lookOnce } from "../support/simulate-looks.ts";
import type { Scenario } from "../support/simulate-session.ts";

/*
 * What looking after every pass does to the promises of a judgement. `npm run simulate:looks` plays thousands of
 * sessions of several kinds, and prints the table; what looks cost is read off sessions with as many passes of each
 * cell, of the same noise, that nobody looked at before the end.
 */
const isLong = (import.meta as { env?: { MODE?: string } }).env?.MODE === "simulation";

interface Shares {
  /** Sessions with a false verdict that stood at any look. */
  readonly ever: Share;
  /** Sessions with a false verdict in the judgement at the end. */
  readonly end: Share;
  /** The same of as many other passes, looked at once: what a judgement promises anyway. */
  readonly unseen: Share;
  /** What the looks add to it: `ever` and `end`, each less `unseen`, session by session. */
  readonly everAdds: Share;
  readonly endAdds: Share;
  /** Sessions with a false verdict for those who stop at the first that appears. */
  readonly hasty: Share;
  /** Intervals at the end that hold the truth, and those that nobody looked at before. */
  readonly coverage: Share;
  readonly coverageUnseen: Share;
  readonly same: Share;
  readonly passesPerCell: Share;
}

interface Share {
  readonly share: number;
  readonly error: number;
}

function shareOf(sessions: readonly LookedAt[], countOf: (session: LookedAt) => number): Share {
  const shares = sessions.map(countOf);
  return { share: mean(shares), error: Math.sqrt(sampleVariance(shares) / shares.length) };
}

/** @param truth that of every comparison, on the natural-log scale; what is called where it is not 0 is no false alarm */
function looks(
  seed: number,
  count: number,
  scenario: Omit<Scenario, "passes">,
  truth: (at: StandingComparison) => number = () => 0,
): Shares {
  const random = seededRandom(seed);
  const sessions = Array.from({ length: count }, () => lookAfterEveryPass(scenario, random));
  const isFalse = (comparison: StandingComparison): boolean =>
    isCalled(comparison) && truth(comparison) === 0;
  const anyFalse = (comparisons: readonly StandingComparison[]): number => Number(comparisons.some(isFalse));
  const shareThat =
    (
      comparisons: (session: LookedAt) => readonly StandingComparison[],
      is: (one: StandingComparison) => boolean,
    ) =>
    (session: LookedAt): number =>
      comparisons(session).filter(is).length / comparisons(session).length;
  const covers = (comparison: StandingComparison): boolean =>
    Math.log1p(comparison.lowPct! / 100) <= truth(comparison) &&
    truth(comparison) <= Math.log1p(comparison.highPct! / 100);
  const unseen = (session: LookedAt): number => mean(session.unseen.map(anyFalse));
  const ever = ({ everCalled }: LookedAt): number => anyFalse(everCalled);
  return {
    ever: shareOf(sessions, ever),
    end: shareOf(sessions, ({ end }) => anyFalse(end)),
    unseen: shareOf(sessions, unseen),
    everAdds: shareOf(sessions, (session) => ever(session) - unseen(session)),
    endAdds: shareOf(sessions, (session) => anyFalse(session.end) - unseen(session)),
    hasty: shareOf(sessions, ({ hastyCalled }) => anyFalse(hastyCalled)),
    coverage: shareOf(
      sessions,
      shareThat(({ end }) => end, covers),
    ),
    coverageUnseen: shareOf(
      sessions,
      shareThat((session) => session.unseen.flat(), covers),
    ),
    same: shareOf(
      sessions,
      shareThat(
        ({ end }) => end,
        ({ verdict }) => verdict === "same",
      ),
    ),
    passesPerCell: shareOf(sessions, ({ passes, cells }) => passes / cells),
  };
}

function row(name: string, shares: Shares): string {
  const percent = ({ share, error }: Share): string =>
    `${(100 * share).toFixed(1)}% (${(100 * error).toFixed(1)})`;
  const { ever, end, unseen, everAdds, endAdds, hasty, coverage, coverageUnseen, same, passesPerCell } =
    shares;
  return (
    `${name}: any false alarm at any look ${percent(ever)}, at the end ${percent(end)}, ` +
    `without looks ${percent(unseen)}; looks add ${percent(everAdds)}, at the end ${percent(endAdds)}; ` +
    `stopping at the first verdict ${percent(hasty)}; ` +
    `coverage ${percent(coverage)}, without looks ${percent(coverageUnseen)}; same ${percent(same)}; ` +
    `${passesPerCell.share.toFixed(2)} passes per cell`
  );
}

describe("a look after every pass", () => {
  test("adds no false alarms where the first passes say how many it takes, and many where verdicts stop", () => {
    const sessions = 60;
    const shares = looks(9, sessions, { games: 2 });
    console.info(row(`nothing differs: 2 games, ${sessions} sessions`, shares));
    // Promise 5%; with 60 sessions the upper 99.9% binomial bound is 10 of them (qbinom(0.999, 60, 0.05) = 10, R).
    expect(shares.ever.share).toBeLessThanOrEqual(10 / sessions);
    // 8 comparisons a session of 95%, 3 standard errors.
    expect(shares.coverage.share).toBeGreaterThan(0.95 - 3 * shares.coverage.error);
    // Whoever stops at the first verdict: 17% and more in long simulations.
    expect(shares.hasty.share).toBeGreaterThan(shares.ever.share);
  });

  test.runIf(isLong).for([
    { name: "1 game", seed: 1, sessions: 6000, scenario: { games: 1 } },
    { name: "2 games", seed: 2, sessions: 4000, scenario: { games: 2 } },
    { name: "4 games", seed: 3, sessions: 2500, scenario: { games: 4 } },
    { name: "2 games, equally noisy cells", seed: 4, sessions: 2500, scenario: { games: 2, sdFactor: 1 } },
    {
      name: "2 games, 5% of passes spoiled",
      seed: 5,
      sessions: 2500,
      scenario: { games: 2, spoiledShare: 0.05 },
    },
  ])("nothing differs: $name", { timeout: 3_600_000 }, ({ name, seed, sessions, scenario }) => {
    const shares = looks(seed, sessions, scenario);
    console.info(row(`nothing differs: ${name}, ${sessions} sessions`, shares));
    expect(shares.ever.error).toBeLessThan(0.005);
    expect(shares.ever.share).toBeLessThan(shares.hasty.share / 2);
    // No more than chance allows: 3 standard errors.
    expect(shares.everAdds.share).toBeLessThan(3 * shares.everAdds.error);
    expect(shares.coverage.share).toBeGreaterThan(shares.coverageUnseen.share - 0.005);
  });

  test.runIf(isLong)("where one game differs, no more is called of the other", { timeout: 3_600_000 }, () => {
    const differs = { avgFps: 0.03, low1Fps: 0.06, low01Fps: 0.1 } as const;
    const truth = ({ game, metric }: Pick<StandingComparison, "game" | "metric">): number =>
      game === "game-0" ? differs[metric as keyof typeof differs] : 0;
    const scenario: Omit<Scenario, "passes"> = {
      games: 2,
      truth: ({ game, metric }) => truth({ game: `game-${game}`, metric }),
    };
    const shares = looks(10, 2500, scenario, truth);
    console.info(row("one of 2 games differs, 2500 sessions", shares));
    expect(shares.everAdds.share).toBeLessThan(3 * shares.everAdds.error);
    expect(shares.coverage.share).toBeGreaterThan(shares.coverageUnseen.share - 0.005);
  });

  test.runIf(isLong)(
    "takes no more passes than a fixed plan that gives as many answers",
    { timeout: 3_600_000 },
    () => {
      const followed = looks(7, 500, { games: 4 });
      const random = seededRandom(8);
      const fixed = [5, 6, 7, 8, 9, 10].map((passes) => {
        const sessions = Array.from({ length: 500 }, () => lookOnce({ games: 4, passes }, random));
        const same = sessions.map(
          (all) => all.filter(({ verdict }) => verdict === "same").length / all.length,
        );
        return { passes, same: mean(same), error: Math.sqrt(sampleVariance(same) / same.length) };
      });
      console.info(row("nothing differs: 4 games, 500 sessions", followed));
      for (const { passes, same, error } of fixed) {
        console.info(
          `${passes} passes of each cell: same ${(100 * same).toFixed(1)}% (${(100 * error).toFixed(1)})`,
        );
      }
      const { same, passesPerCell } = followed;
      for (const plan of fixed.filter(({ passes }) => passes <= passesPerCell.share)) {
        expect(same.share).toBeGreaterThan(plan.same - 3 * Math.hypot(plan.error, same.error));
      }
    },
  );
});
