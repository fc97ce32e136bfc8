import { verdictKey } from "../../src/judge/judge-columns.ts";
import {
  findStanding,
  type StandingComparison,
  type StandingSettings,
} from "../../src/judge/session-standing.ts";
import { defaultStopRule } from "../../src/judge/stop-rule.ts";
import type { PassSummary } from "../../src/measure/pass-summary.ts";
import type { SeededRandom } from "./seeded-random.ts";
import { configs, type Scenario, simulateCells, simulateSession } from "./simulate-session.ts";

/** What one session showed to somebody who looked at it after every pass. */
export interface LookedAt {
  /** Comparisons of which a verdict that stood was a difference at any look. */
  readonly everCalled: readonly StandingComparison[];
  /** Comparisons of which the first verdict to appear was a difference, for those who stop at that. */
  readonly hastyCalled: readonly StandingComparison[];
  /** Each comparison at the end. */
  readonly end: readonly StandingComparison[];
  /** The same of other passes, as many of each cell, captured without a look; several times, since it costs little. */
  readonly unseen: readonly (readonly StandingComparison[])[];
  readonly passes: number;
  readonly cells: number;
}

const settings: StandingSettings = {
  baseline: configs[0],
  lows: "percentile",
  mattersPct: 3,
  confidencePct: 95,
  falseAlarmControl: "columns",
  keepAll: false,
  setAside: [],
  games: [],
  configs,
  metrics: ["avgFps", "low1Fps"],
  rule: defaultStopRule,
  costs: { passMinutes: null, switchMinutes: 0 },
};

const unseenTimes = 4;

/** Passes of a cell that are there to be captured: some are set aside and asked for again. */
const supply = 3 * defaultStopRule.mostPasses;

/**
 * Captures the pass that is asked for and looks at everything, again and again until nothing is asked for any more. What
 * it is held against has the same noise and as many passes of each cell, none of which anybody looked at before.
 */
export function lookAfterEveryPass(scenario: Omit<Scenario, "passes">, random: SeededRandom): LookedAt {
  const cells = [...simulateCells(scenario, random)];
  const games = [...new Set(cells.map(({ game }) => game))];
  const waiting = new Map(cells.map((cell) => [keyOf(cell), cell.capture(supply)]));
  const taken = new Map<string, number>();
  const passes: PassSummary[] = [];
  const everCalled = new Map<string, StandingComparison>();
  const firstVerdicts = new Map<string, StandingComparison>();
  const look = (captured: readonly PassSummary[], lastConfig: string | null) =>
    findStanding(captured, { ...settings, games }, lastConfig);
  let standing = look(passes, null);
  while (standing.next !== null) {
    const key = keyOf(standing.next);
    const number = taken.get(key) ?? 0;
    const pass = waiting.get(key)?.[number];
    if (pass === undefined) throw new Error("a cell asks for ever more passes");
    taken.set(key, number + 1);
    passes.push(pass);
    standing = look(passes, pass.config);
    for (const comparison of standing.comparisons) {
      const name = verdictKey(comparison);
      if (comparison.isSettled && isCalled(comparison)) everCalled.set(name, comparison);
      if (comparison.verdict !== "unclear" && !firstVerdicts.has(name)) firstVerdicts.set(name, comparison);
    }
  }
  const captureOthers = (): PassSummary[] =>
    cells.flatMap((cell) => cell.capture(taken.get(keyOf(cell)) ?? 0));
  return {
    everCalled: [...everCalled.values()],
    hastyCalled: [...firstVerdicts.values()].filter(isCalled),
    end: standing.comparisons,
    unseen: Array.from({ length: unseenTimes }, () => look(captureOthers(), null).comparisons),
    passes: passes.length,
    cells: cells.length,
  };
}

/** A session of so many passes of each cell, looked at once. */
export function lookOnce(scenario: Scenario, random: SeededRandom): readonly StandingComparison[] {
  return findStanding(simulateSession(scenario, random).passes, settings, null).comparisons;
}

export function isCalled({ verdict }: Pick<StandingComparison, "verdict">): boolean {
  return verdict === "higher" || verdict === "lower";
}

function keyOf({ game, config }: { game: string; config: string }): string {
  return `${game}/${config}`;
}
