import {
  findStanding,
  type StandingComparison,
  type StandingSettings,
} from "../../src/judge/session-standing.ts";
import { defaultStopRule } from "../../src/judge/stop-rule.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import type { SeededRandom } from "./seeded-random.ts";
import { configs, type Scenario, simulateSession } from "./simulate-session.ts";

/** What one session showed to somebody who looked at it after every pass. */
export interface LookedAt {
  /** Each comparison as it was when its verdict first stood. */
  readonly settled: readonly StandingComparison[];
  /** Comparisons of which a verdict that stood was ever a difference. */
  readonly everCalled: number;
  /** Each comparison as it was when a verdict first appeared, for those who stop at that. */
  readonly hasty: readonly StandingComparison[];
  /** Each comparison of as many passes as it took here, captured without a look, the same number in every cell. */
  readonly unseen: readonly StandingComparison[];
  /** Each comparison at the end. */
  readonly last: readonly StandingComparison[];
  readonly passes: number;
}

/** Passes of a cell that are there to be captured: some are set aside and asked for again. */
const supply = 3 * defaultStopRule.mostPasses;

/** Captures the pass that is asked for and looks at everything, again and again until nothing is asked for any more. */
export function lookAfterEveryPass(scenario: Omit<Scenario, "passes">, random: SeededRandom): LookedAt {
  const { passes: all } = simulateSession({ ...scenario, passes: supply }, random);
  const waiting = new Map<string, PassSummary[]>();
  for (const pass of all) {
    const key = cellOf(pass);
    waiting.set(key, [...(waiting.get(key) ?? []), pass]);
  }
  const settings: StandingSettings = {
    baseline: configs[0],
    lows: "percentile",
    mattersPct: 3,
    confidencePct: 95,
    falseAlarmControl: "columns",
    keepAll: false,
    setAside: [],
    games: [...new Set(all.map(({ game }) => game))],
    configs,
    metrics: ["avgFps", "low1Fps"],
    rule: defaultStopRule,
    costs: { passMinutes: 2, switchMinutes: 0 },
  };
  const passes: PassSummary[] = [];
  const settled = new Map<string, StandingComparison>();
  const called = new Set<string>();
  const hasty = new Map<string, StandingComparison>();
  let standing = findStanding(passes, settings, null, null);
  while (standing.next !== null) {
    const pass = waiting.get(cellOf(standing.next))?.shift();
    if (pass === undefined) throw new Error("a cell asks for ever more passes");
    passes.push(pass);
    standing = findStanding(passes, settings, pass.config, standing);
    for (const comparison of standing.comparisons) {
      const key = JSON.stringify([comparison.game, comparison.config, comparison.metric]);
      if (comparison.isSettled && !settled.has(key)) settled.set(key, comparison);
      if (comparison.isSettled && isCalled(comparison)) called.add(key);
      if (comparison.verdict !== "unclear" && !hasty.has(key)) hasty.set(key, comparison);
    }
  }
  const perCell = Math.round(passes.length / standing.cells.length);
  const fixed = all.filter(({ pass }) => Number(pass.slice("pass-".length)) < perCell);
  return {
    unseen: findStanding(fixed, settings, null, null).comparisons,
    settled: [...settled.values()],
    everCalled: called.size,
    hasty: [...hasty.values()],
    last: standing.comparisons,
    passes: passes.length,
  };
}

export function isCalled({ verdict }: Pick<StandingComparison, "verdict">): boolean {
  return verdict === "higher" || verdict === "lower";
}

function cellOf({ game, config }: { game: string; config: string }): string {
  return `${game}/${config}`;
}
