import { median } from "simple-statistics";
import type { Metric, PassSummary } from "../measure/pass-summary.ts";
import { compareNames } from "../shared/compare-names.ts";
import { guessBaseline } from "./choose-baseline.ts";
import { studentTQuantile } from "./distributions.ts";
import { type Column, type ColumnRow, decideRow, judgeColumns, noiseLevel } from "./judge-columns.ts";
import type { JudgeSettings } from "./judgement.ts";
import { cellKey, type MarkedPass, mapByCell, markPasses, sortPasses } from "./mark-passes.ts";
import { chooseNextPass, type NextPass, type PassCosts, sumMinutes } from "./next-pass.ts";
import {
  cautiousHalfWidth,
  findStopReason,
  isOutOfReach,
  passesUntilNarrow,
  type StopReason,
  type StopRule,
} from "./stop-rule.ts";
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
   * Neither this comparison nor any other of its game and config asks for more passes. Only then the verdict stands:
   * one that is looked at on and on while other metrics ask for more passes will sooner or later find something.
   */
  readonly isSettled: boolean;
  /** Passes per config until its interval should be narrow enough; null where none are asked for or nobody can tell. */
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
 * @param before where it stood at the last look, so that what was narrow enough does not waver; null at the first
 */
export function findStanding(
  passes: readonly PassSummary[],
  settings: StandingSettings,
  lastConfig: string | null,
  before: Pick<Standing, "comparisons"> | null,
): Standing {
  const marked = markPasses(
    sortPasses(passes),
    settings.keepAll ? { setAside: [] } : settings,
    !settings.keepAll,
  );
  const counted = marked.filter((mark) => mark.counted).map(({ pass }) => pass);
  const captured = [...new Set(passes.map(({ config }) => config))].sort(compareNames);
  const known = [...new Set([...settings.configs, ...captured])];
  const baseline = settings.baseline ?? guessBaseline(known);
  const games = [...new Set([...settings.games, ...passes.map(({ game }) => game).sort(compareNames)])];
  const configs = known.sort((a, b) => Number(b === baseline) - Number(a === baseline));

  const drafts =
    baseline === null || !captured.includes(baseline)
      ? []
      : compareWatched(counted, { games, configs }, { ...settings, baseline }, before?.comparisons ?? []);
  const needed = neededPasses(drafts, baseline, settings.rule);
  const all = mapByCell(marked, ({ pass }) => pass);
  const cells = games.flatMap((game) =>
    configs.map((config) => {
      const own = all.get(cellKey({ game, config })) ?? [];
      const good = own.filter((mark) => mark.counted).length;
      const wanted = Math.max(settings.rule.leastPasses, needed.get(cellKey({ game, config })) ?? 0);
      return {
        game,
        config,
        counted: good,
        notCounted: own.length - good,
        needed: Math.max(good, wanted),
        isComplete: good >= wanted,
      };
    }),
  );
  const complete = new Set(cells.filter(({ isComplete }) => isComplete).map(cellKey));
  const comparisons = drafts.map((draft): StandingComparison => {
    const { game, config } = draft;
    const isSettled = [config, baseline as string].every((side) =>
      complete.has(cellKey({ game, config: side })),
    );
    return { ...draft, isSettled };
  });
  const open = comparisons.filter(({ stop }) => stop === null);
  return {
    baseline,
    games,
    configs,
    mattersPct: settings.mattersPct,
    noiseLevel: noiseLevel(counted),
    passes: marked,
    comparisons,
    cells,
    next: chooseNextPass({ ...settings, cells, open, baseline, lastConfig }),
    passesLeft: cells.reduce((sum, cell) => sum + cell.needed - cell.counted, 0),
    minutesLeft: sumMinutes(cells, settings.costs, lastConfig),
    isEnough: comparisons.length > 0 && cells.every(({ isComplete }) => isComplete),
  };
}

type ComparisonDraft = Omit<StandingComparison, "isSettled">;

/** Identity of a comparison within a session. */
export function comparisonKey({
  game,
  config,
  metric,
}: Pick<StandingComparison, "game" | "config" | "metric">): string {
  return JSON.stringify([game, config, metric]);
}

type CompareSettings = Omit<StandingSettings, "baseline"> & { readonly baseline: string };

function compareWatched(
  counted: readonly PassSummary[],
  names: { readonly games: readonly string[]; readonly configs: readonly string[] },
  settings: CompareSettings,
  before: readonly StandingComparison[],
): ComparisonDraft[] {
  const stopBefore = new Map(before.map((comparison) => [comparisonKey(comparison), comparison.stop]));
  const judging = { ...settings, title: null };
  const byCell = mapByCell(counted, (pass) => pass);
  const countOf = (game: string, config: string): number =>
    byCell.get(cellKey({ game, config }))?.length ?? 0;
  // Intervals cost most of the time, and only those of the watched metrics are needed.
  return judgeColumns(counted, names, judging, false)
    .filter(({ metric }) => settings.metrics.includes(metric))
    .flatMap(({ metric, config, rows }: Column) => {
      const typical = typicalVariance(rows);
      return rows.map((row): ComparisonDraft => {
        const { game, logDiff } = row.comparison;
        const passes = countOf(game, config);
        const againstPasses = countOf(game, settings.baseline);
        const fewer = Math.min(passes, againstPasses);
        const halfWidth = halfWidthOf(row, settings);
        const [low, high] = halfWidth === null ? [null, null] : [logDiff - halfWidth, logDiff + halfWidth];
        const { verdict } = decideRow({ ...row, comparison: { ...row.comparison, low, high } }, judging);
        const isCalled = verdict === "higher" || verdict === "lower";
        const stop = findStopReason(
          {
            passes: fewer,
            halfWidth: stoppingHalfWidth(row, halfWidth, typical),
            pAdjusted: row.controlled?.pAdjusted ?? null,
            isCalled,
            stopBefore: stopBefore.get(comparisonKey({ game, config, metric })) ?? null,
          },
          settings.rule,
          settings.mattersPct,
        );
        const planned = stop === null ? planComparison(row, typical, isCalled, settings) : null;
        const isGivenUp = stop === null && isOutOfReach(fewer, planned, settings.rule);
        return {
          game,
          config,
          metric,
          passes,
          againstPasses,
          changePct: 100 * Math.expm1(logDiff),
          lowPct: low === null ? null : 100 * Math.expm1(low),
          highPct: high === null ? null : 100 * Math.expm1(high),
          halfWidth,
          verdict,
          stop: isGivenUp ? "out-of-reach" : stop,
          // While it is open these passes were not enough, whatever the plan says.
          passesNeeded: planned === null || isGivenUp ? null : Math.max(planned, fewer + 1),
        };
      });
    });
}

/** Half-width of the interval, on the log scale; null where the noise is unknown. */
function halfWidthOf({ comparison }: ColumnRow, { confidencePct }: CompareSettings): number | null {
  const { standardError, degreesOfFreedom } = comparison;
  if (standardError === null || degreesOfFreedom === null) return null;
  return studentTQuantile(1 - (1 - confidencePct / 100) / 2, degreesOfFreedom) * standardError;
}

/** Median over games of the variance per pass; null where it is unknown everywhere. */
function typicalVariance(rows: readonly ColumnRow[]): number | null {
  const variances = rows.flatMap(({ comparison }) => comparison.posteriorVariance ?? []);
  return variances.length === 0 ? null : median(variances);
}

/** What the stop rule looks at; null where the noise is unknown. */
function stoppingHalfWidth(
  { comparison }: ColumnRow,
  halfWidth: number | null,
  typical: number | null,
): number | null {
  const { degreesOfFreedom, posteriorVariance: own } = comparison;
  if (halfWidth === null || degreesOfFreedom === null || own === null || typical === null) return null;
  return cautiousHalfWidth(halfWidth, degreesOfFreedom, { own, typical });
}

function planComparison(
  { comparison }: ColumnRow,
  typical: number | null,
  isCalled: boolean,
  { confidencePct, mattersPct }: CompareSettings,
): number | null {
  if (comparison.posteriorVariance === null) return null;
  return passesUntilNarrow({
    variance: Math.max(comparison.posteriorVariance, typical ?? 0),
    priorDf: comparison.priorDf,
    confidence: confidencePct / 100,
    mattersPct,
    isCalled,
  });
}

/** Passes that the open comparisons ask of each cell, by cellKey. */
function neededPasses(
  comparisons: readonly ComparisonDraft[],
  baseline: string | null,
  rule: StopRule,
): Map<string, number> {
  const needed = new Map<string, number>();
  for (const { game, config, stop, passesNeeded } of comparisons) {
    if (stop !== null) continue;
    for (const side of [config, baseline as string]) {
      const key = cellKey({ game, config: side });
      const asked = Math.min(passesNeeded ?? rule.leastPasses, rule.mostPasses);
      needed.set(key, Math.max(needed.get(key) ?? 0, asked));
    }
  }
  return needed;
}
