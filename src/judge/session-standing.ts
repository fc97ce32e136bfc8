import type { PassSummary } from "../measure/pass-summary.ts";
import { compareNames } from "../shared/compare-names.ts";
import type { Metric } from "../shared/metrics.ts";
import { type AskedComparison, askedPasses, neededPasses } from "./asked-passes.ts";
import { cellKey, mapByCell } from "./cells.ts";
import { guessBaseline, putFirst } from "./choose-baseline.ts";
import { studentTQuantile } from "./distributions.ts";
import {
  type Column,
  type ColumnRow,
  decideRow,
  judgeColumns,
  noiseLevel,
  type SessionNames,
  verdictKey,
} from "./judge-columns.ts";
import type { JudgeSettings } from "./judgement.ts";
import { pctOfLog } from "./log-scale.ts";
import { countedPasses, type MarkedPass, markPasses, sortPasses } from "./mark-passes.ts";
import { chooseNextPass, type NextPass, type PassCosts, sumMinutes } from "./next-pass.ts";
import type { StopReason, StopRule } from "./stop-rule.ts";
import type { VerdictWord } from "./verdict.ts";

/** What is asked of a session that is still being captured. */
export interface StandingSettings
  extends Pick<
    JudgeSettings,
    "lows" | "mattersPct" | "confidencePct" | "falseAlarmControl" | "keepAll" | "setAside"
  > {
  /** null: the config with a usual name, as soon as there is one. */
  readonly baseline: string | null;
  /** Games and configs that are to be captured, where the session lists them; those captured are added. */
  readonly games: readonly string[];
  readonly configs: readonly string[];
  /** Metrics that are to be settled. */
  readonly metrics: readonly Metric[];
  readonly rule: StopRule;
  readonly costs: PassCosts;
}

/** One game, config and metric against the baseline, as far as it can be told. */
export interface StandingComparison {
  readonly game: string;
  readonly config: string;
  readonly metric: Metric;
  /** Counted passes of its two cells. */
  readonly passes: number;
  readonly againstPasses: number;
  readonly changePct: number;
  readonly lowPct: number | null;
  readonly highPct: number | null;
  /** On the log scale; null where the noise is unknown. */
  readonly halfWidth: number | null;
  /** Only a verdict so far while it is not settled. */
  readonly verdict: VerdictWord;
  /** Why it asks for no more passes; null while it does. */
  readonly stop: StopReason | null;
  /**
   * Every cell of the session has its first passes, and neither this comparison nor any other of its game and config
   * asks for more. Only then the verdict stands: one that is looked at on and on while other metrics ask for more passes
   * will sooner or later find something.
   */
  readonly isSettled: boolean;
  /** Passes per config that it asks for; null where it asks for no more, or its first passes are not there yet. */
  readonly passesNeeded: number | null;
}

export interface StandingCell {
  readonly game: string;
  readonly config: string;
  /** Passes that count. */
  readonly counted: number;
  readonly notCounted: number;
  /** Counted passes it should have in the end, as far as is known. */
  readonly needed: number;
  readonly isComplete: boolean;
}

/** Where a session stands: what is settled, what is open, and what to capture next. */
export interface Standing {
  /** null while nobody can tell. */
  readonly baseline: string | null;
  readonly games: readonly string[];
  /** The baseline first. */
  readonly configs: readonly string[];
  readonly mattersPct: number;
  readonly noiseLevel: "pass" | "boot";
  /** In session order. */
  readonly passes: readonly MarkedPass[];
  readonly comparisons: readonly StandingComparison[];
  /** Every game under every config. */
  readonly cells: readonly StandingCell[];
  /** null where nothing is left to capture. */
  readonly next: NextPass | null;
  readonly passesLeft: number;
  /** null where nobody said what a pass costs. */
  readonly minutesLeft: number | null;
  /** There is something to compare, and all of it is settled. */
  readonly isEnough: boolean;
}

/**
 * Where a session stands after some of its passes: a pure function, whatever order they came in. It judges as
 * judgeSession does and leaves out what a glance does not need (suite, second opinions), so that it is quick.
 * @param passes one summary per capture; game, config, boot and pass name together are unique
 * @param lastConfig the config that the machine is in; staying in it costs no reboot
 */
export function findStanding(
  passes: readonly PassSummary[],
  settings: StandingSettings,
  lastConfig: string | null,
): Standing {
  const marked = markPasses(sortPasses(passes), settings);
  const counted = countedPasses(marked);
  const captured = [...new Set(passes.map(({ config }) => config))].sort(compareNames);
  const known = [...new Set([...settings.configs, ...captured])];
  const baseline = settings.baseline ?? guessBaseline(known);
  const games = [...new Set([...settings.games, ...passes.map(({ game }) => game).sort(compareNames)])];
  const configs = putFirst(baseline, known);
  const level = noiseLevel(counted);

  // A baseline without passes has no comparisons.
  const comparing = baseline === null ? null : { ...settings, title: null, baseline };
  const names = { games, configs };
  const asked = comparing === null ? [] : askedPasses(counted, names, level, comparing);
  const cells = standingCells(marked, names, neededPasses(asked, baseline, settings.rule), settings.rule);
  const comparisons = comparing === null ? [] : compareWatched(counted, names, comparing, cells, asked);
  return {
    baseline,
    games,
    configs,
    mattersPct: settings.mattersPct,
    noiseLevel: level,
    passes: marked,
    comparisons,
    cells,
    next: chooseNextPass({
      ...settings,
      cells,
      open: comparisons.filter(({ stop }) => stop === null),
      baseline,
      lastConfig,
    }),
    passesLeft: cells.reduce((sum, cell) => sum + cell.needed - cell.counted, 0),
    minutesLeft: sumMinutes(cells, settings.costs, lastConfig),
    isEnough: comparisons.length > 0 && cells.every(({ isComplete }) => isComplete),
  };
}

function standingCells(
  marked: readonly MarkedPass[],
  { games, configs }: SessionNames,
  needed: ReadonlyMap<string, number>,
  rule: StopRule,
): StandingCell[] {
  const all = mapByCell(marked, ({ pass }) => pass);
  return games.flatMap((game) =>
    configs.map((config) => {
      const own = all.get(cellKey({ game, config })) ?? [];
      const counted = own.filter((mark) => mark.counted).length;
      const wanted = needed.get(cellKey({ game, config })) ?? rule.leastPasses;
      return {
        game,
        config,
        counted,
        notCounted: own.length - counted,
        needed: Math.max(counted, wanted),
        isComplete: counted >= wanted,
      };
    }),
  );
}

function compareWatched(
  counted: readonly PassSummary[],
  names: SessionNames,
  settings: StandingSettings & JudgeSettings,
  cells: readonly StandingCell[],
  asked: readonly AskedComparison[],
): StandingComparison[] {
  const plans = new Map(asked.map((plan) => [verdictKey(plan), plan]));
  const byCell = new Map(cells.map((cell) => [cellKey(cell), cell]));
  const isBegun = cells.every((cell) => cell.counted >= settings.rule.leastPasses);
  // Intervals cost most of the time, and only those of the watched metrics are needed.
  return judgeColumns(counted, names, settings, false)
    .filter(({ metric }) => settings.metrics.includes(metric))
    .flatMap(({ metric, config, rows }: Column) =>
      rows.map((row): StandingComparison => {
        const { game, logDiff } = row.comparison;
        const own = byCell.get(cellKey({ game, config })) as StandingCell;
        const against = byCell.get(cellKey({ game, config: settings.baseline })) as StandingCell;
        const halfWidth = halfWidthOf(row, settings);
        const [low, high] = halfWidth === null ? [null, null] : [logDiff - halfWidth, logDiff + halfWidth];
        const plan = plans.get(verdictKey({ game, config, metric })) ?? null;
        const isOpen = plan === null || Math.min(own.counted, against.counted) < plan.passes;
        return {
          game,
          config,
          metric,
          passes: own.counted,
          againstPasses: against.counted,
          changePct: pctOfLog(logDiff),
          lowPct: pctOfLog(low),
          highPct: pctOfLog(high),
          halfWidth,
          verdict: decideRow({ ...row, comparison: { ...row.comparison, low, high } }, settings).verdict,
          stop: isOpen ? null : plan.stop,
          isSettled: isBegun && own.isComplete && against.isComplete,
          passesNeeded: isOpen ? (plan?.passes ?? null) : null,
        };
      }),
    );
}

/** Half-width of the interval, on the log scale; null where the noise is unknown. */
function halfWidthOf({ comparison }: ColumnRow, { confidencePct }: StandingSettings): number | null {
  const { standardError, degreesOfFreedom } = comparison;
  if (standardError === null || degreesOfFreedom === null) return null;
  return studentTQuantile(1 - (1 - confidencePct / 100) / 2, degreesOfFreedom) * standardError;
}
