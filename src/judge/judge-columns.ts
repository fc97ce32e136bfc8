import { mean, sampleVariance } from "simple-statistics";
import type { PassSummary } from "../measure/pass-summary.ts";
import { groupBy } from "../shared/group-by.ts";
import { type Metric, metrics } from "../shared/metrics.ts";
import { cellKey, groupByCell, mapByCell } from "./cells.ts";
import { type Comparison, compareColumn } from "./compare-cells.ts";
import { type ControlledP, controlFalseAlarms } from "./control-false-alarms.ts";
import type { JudgeSettings, Verdict } from "./judgement.ts";
import { logOf, pctOfLog } from "./log-scale.ts";
import { metricGroups } from "./metric-groups.ts";
import { type CellStatistics, varianceFloor } from "./pair-variance.ts";
import { passesNeeded, resolvesPct } from "./plan-passes.ts";
import type { GameDifference } from "./suite.ts";
import { type DecidedVerdict, decideVerdict } from "./verdict.ts";

/** One metric of one config against the baseline, over the games that have both. */
export interface Column {
  readonly metric: Metric;
  readonly config: string;
  readonly rows: readonly ColumnRow[];
}

export interface ColumnRow {
  readonly comparison: Comparison;
  readonly config: CellStatistics;
  readonly against: CellStatistics;
  /** null where a side has a single pass: the comparison is in no family. */
  readonly controlled: ControlledP | null;
}

/** Games and configs of a session in its order. */
export interface SessionNames {
  readonly games: readonly string[];
  /** The baseline first. */
  readonly configs: readonly string[];
}

/**
 * Compares every config with the baseline in every metric that exists, false alarms controlled.
 * @param hasIntervals false leaves the intervals out, for callers who only ask what is called
 */
export function judgeColumns(
  counted: readonly PassSummary[],
  names: SessionNames,
  settings: JudgeSettings,
  hasIntervals = true,
): Column[] {
  const confidence = hasIntervals ? settings.confidencePct / 100 : null;
  const cells = mapByCell(counted, (pass) => pass);
  const level = noiseLevel(counted);
  const byConfig = new Map(
    [...names.configs, settings.baseline].map((config) => [
      config,
      names.games.map((game) => cells.get(cellKey({ game, config })) ?? []),
    ]),
  );
  /** In the order of games; null where a game has none. */
  const statistics = (config: string, metric: Metric): (CellStatistics | null)[] =>
    (byConfig.get(config) ?? []).map((cell) => cellStatistics(cell, metric, level));

  return metricGroups.flatMap((group) => {
    const drafts = metrics
      .filter((metric) => group.includes(metric))
      .flatMap((metric) => {
        const ofBaseline = statistics(settings.baseline, metric);
        return names.configs
          .filter((config) => config !== settings.baseline)
          .map((config) => {
            const ofConfig = statistics(config, metric);
            const pairs = names.games.flatMap((game, i) => {
              const own = ofConfig[i] ?? null;
              const against = ofBaseline[i] ?? null;
              return own === null || against === null ? [] : [{ game, config: own, against }];
            });
            const rows = compareColumn(pairs, confidence).map((comparison, i) => {
              const pair = pairs[i] as (typeof pairs)[number];
              return { comparison, config: pair.config, against: pair.against };
            });
            return { metric, config, rows };
          });
      })
      .filter(({ rows }) => rows.length > 0);
    return controlGroup(drafts, settings);
  });
}

type DraftColumn = Omit<Column, "rows"> & { readonly rows: readonly Omit<ColumnRow, "controlled">[] };

function controlGroup(drafts: readonly DraftColumn[], settings: JudgeSettings): Column[] {
  const families = drafts.map(({ rows }) =>
    rows.flatMap((row) => (isInFamily(row) ? [row.comparison.p as number] : [])),
  );
  const used = families.filter((family) => family.length > 0);
  const controlled = controlFalseAlarms(used, 1 - settings.confidencePct / 100, settings.falseAlarmControl);
  let next = 0;
  return drafts.map(({ metric, config, rows }, i) => {
    const results = (families[i] as number[]).length > 0 ? (controlled[next++] as ControlledP[]) : [];
    let position = 0;
    return {
      metric,
      config,
      rows: rows.map((row) => ({
        ...row,
        controlled: isInFamily(row) ? (results[position++] as ControlledP) : null,
      })),
    };
  });
}

/** Two values on both sides: then its p is known. */
function isInFamily({ config, against }: Omit<ColumnRow, "controlled">): boolean {
  return config.n >= 2 && against.n >= 2;
}

/**
 * The level at which noise is taken. Passes of one boot can agree and still differ from the next boot; where every
 * cell has two boots or more, their means are the independent values.
 * @see Kalibera & Jones 2013, Rigorous benchmarking in reasonable time, ISMM '13 (levels of repetition)
 */
export function noiseLevel(counted: readonly PassSummary[]): "boot" | "pass" {
  const cells = groupByCell(counted, (pass) => pass);
  const hasBoots = (cell: readonly PassSummary[]): boolean =>
    cell.every(({ boot }) => boot !== null) && new Set(cell.map(({ boot }) => boot)).size >= 2;
  return cells.length > 0 && cells.every(hasBoots) ? "boot" : "pass";
}

/**
 * Mean and variance of the natural logs of one cell's metric.
 * @param level what counts as one value: a pass, or the mean of a boot's passes
 * @returns null where no pass has the metric; a single value has no variance
 */
export function cellStatistics(
  passes: readonly (Pick<PassSummary, "boot"> & Readonly<Record<Metric, number | null>>)[],
  metric: Metric,
  level: "boot" | "pass",
): CellStatistics | null {
  const logs = (own: typeof passes): number[] =>
    own.map((pass) => logOf(pass[metric])).filter((log) => log !== null);
  const y =
    level === "pass"
      ? logs(passes)
      : [...groupBy(passes, ({ boot }) => boot ?? "").values()].flatMap((boot) => {
          const own = logs(boot);
          return own.length === 0 ? [] : [mean(own)];
        });
  if (y.length === 0) return null;
  return { n: y.length, mean: mean(y), variance: y.length < 2 ? null : sampleVariance(y) };
}

/** The verdict word and size of one row. */
export function decideRow({ comparison, controlled }: ColumnRow, settings: JudgeSettings): DecidedVerdict {
  return decideVerdict({
    logDiff: comparison.logDiff,
    low: comparison.low,
    high: comparison.high,
    pAdjusted: controlled?.pAdjusted ?? null,
    alpha: 1 - settings.confidencePct / 100,
    mattersPct: settings.mattersPct,
  });
}

/** Identity of a verdict within a session. */
export function verdictKey(row: Pick<Verdict, "game" | "config" | "metric">): string {
  return JSON.stringify([row.game, row.config, row.metric]);
}

/** Only the words, by verdictKey: what a second judgement is asked for. Without intervals nothing is `same`. */
export function verdictWords(
  columns: readonly Column[],
  settings: JudgeSettings,
): Map<string, Verdict["verdict"]> {
  return new Map(
    columns.flatMap(({ metric, config, rows }) =>
      rows.map((row) => [
        verdictKey({ game: row.comparison.game, config, metric }),
        decideRow(row, settings).verdict,
      ]),
    ),
  );
}

/** What a second judgement adds to a row. */
export type SecondOpinions = "holdsWithAllPasses" | "hangsOnPass" | "otherLows";

/** The rows of the data contract, without what needs a second judgement. */
export function verdictRows(
  columns: readonly Column[],
  settings: JudgeSettings,
): Omit<Verdict, SecondOpinions>[] {
  return columns.flatMap(({ metric, config, rows }) =>
    rows.map((row) => {
      const { comparison, controlled, ...cells } = row;
      const { logDiff, low, high, p, standardError, degreesOfFreedom } = comparison;
      const decided = decideRow(row, settings);
      const isPlannable = controlled !== null && standardError !== null && degreesOfFreedom !== null;
      return {
        game: comparison.game,
        config,
        against: settings.baseline,
        metric,
        value: Math.exp(cells.config.mean),
        againstValue: Math.exp(cells.against.mean),
        changePct: pctOfLog(logDiff),
        lowPct: pctOfLog(low),
        highPct: pctOfLog(high),
        p,
        pAdjusted: controlled?.pAdjusted ?? null,
        verdict: decided.verdict,
        size: decided.size,
        resolvesPct: isPlannable ? resolvesPct(standardError, degreesOfFreedom, controlled.alphaEff) : null,
        passesNeeded:
          isPlannable && decided.verdict === "unclear"
            ? planPasses(comparison, controlled.alphaEff, Math.min(cells.config.n, cells.against.n), settings)
            : null,
        passes: cells.config.n,
        againstPasses: cells.against.n,
        logDiff,
        standardError,
        degreesOfFreedom,
      };
    }),
  );
}

function planPasses(
  comparison: Comparison,
  alphaEff: number,
  passes: number,
  settings: JudgeSettings,
): number | null {
  const needed = passesNeeded({
    variance: comparison.posteriorVariance as number,
    priorDf: comparison.priorDf,
    alphaEff,
    alpha: 1 - settings.confidencePct / 100,
    mattersPct: settings.mattersPct,
  });
  // These passes were not enough, whatever the plan says.
  return needed === null ? null : Math.max(needed, passes + 1);
}

/** Own noise, not drawn towards other games: in sums over games the noisiest dominate and would be understated. */
export function ownDifference({ comparison }: Pick<ColumnRow, "comparison">): GameDifference[] {
  const { logDiff, pair, posteriorVariance, degreesOfFreedom } = comparison;
  if (posteriorVariance === null || degreesOfFreedom === null) return [];
  return pair.u === null
    ? [{ d: logDiff, v: posteriorVariance * pair.h, f: degreesOfFreedom }]
    : [{ d: logDiff, v: pair.u * pair.h, f: pair.nu }];
}

/** True where at least half of a column's games show no noise beyond the rounding of logs. */
export function showsNoNoise({ rows }: Column): boolean {
  const u = rows.flatMap(({ comparison }) => (comparison.pair.u === null ? [] : [comparison.pair.u]));
  return u.length > 0 && 2 * u.filter((value) => value <= varianceFloor * (1 + 1e-9)).length >= u.length;
}
