import { mean, sampleVariance } from "simple-statistics";
import { type Metric, metrics, type PassSummary } from "../measure/pass-summary.ts";
import { holm } from "./adjust-p.ts";
import { type Comparison, compareColumn } from "./compare-cells.ts";
import { type ControlledP, controlFalseAlarms } from "./control-false-alarms.ts";
import type { JudgeSettings, SuiteRow, Verdict } from "./judgement.ts";
import { metricGroups } from "./label-metric.ts";
import { cellKey, logOf } from "./mark-passes.ts";
import { type CellStatistics, varianceFloor } from "./pair-variance.ts";
import { passesNeeded, resolvesPct } from "./plan-passes.ts";
import { estimateSuite, type GameDifference } from "./suite.ts";
import { decideVerdict } from "./verdict.ts";

/** One metric of one config against the baseline, over the games that have both. */
export interface Column {
  readonly metric: Metric;
  readonly config: string;
  readonly rows: readonly ColumnRow[];
}

interface ColumnRow {
  readonly comparison: Comparison;
  readonly config: CellStatistics;
  readonly against: CellStatistics;
  /** null where a side has a single pass: the comparison is in no family. */
  readonly controlled: ControlledP | null;
}

type Names = { readonly games: readonly string[]; readonly configs: readonly string[] };

/** Compares every config with the baseline in every metric that exists, false alarms controlled. */
export function judgeColumns(
  counted: readonly PassSummary[],
  names: Names,
  settings: JudgeSettings,
): Column[] {
  const confidence = settings.confidencePct / 100;
  const cells = new Map<string, PassSummary[]>();
  for (const pass of counted) {
    const cell = cells.get(cellKey(pass));
    if (cell === undefined) cells.set(cellKey(pass), [pass]);
    else cell.push(pass);
  }
  const statistics = (game: string, config: string, metric: Metric): CellStatistics | null =>
    cellStatistics(cells.get(cellKey({ game, config })) ?? [], metric);

  return metricGroups.flatMap((group) => {
    const drafts = metrics
      .filter((metric) => group.includes(metric))
      .flatMap((metric) =>
        names.configs
          .filter((config) => config !== settings.baseline)
          .map((config) => {
            const pairs = names.games.flatMap((game) => {
              const own = statistics(game, config, metric);
              const against = statistics(game, settings.baseline, metric);
              return own === null || against === null ? [] : [{ game, config: own, against }];
            });
            const rows = compareColumn(pairs, confidence).map((comparison, i) => {
              const pair = pairs[i] as (typeof pairs)[number];
              return { comparison, config: pair.config, against: pair.against };
            });
            return { metric, config, rows };
          }),
      )
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

function isInFamily({ comparison, config, against }: Omit<ColumnRow, "controlled">): boolean {
  return config.n >= 2 && against.n >= 2 && comparison.p !== null;
}

function cellStatistics(passes: readonly PassSummary[], metric: Metric): CellStatistics | null {
  const y = passes.flatMap((pass) => {
    const log = logOf(pass[metric]);
    return log === null ? [] : [log];
  });
  if (y.length === 0) return null;
  return { n: y.length, mean: mean(y), variance: y.length < 2 ? null : sampleVariance(y) };
}

/** The rows of the data contract, without `holdsWithAllPasses`, which needs a second judgement. */
export function verdictRows(
  columns: readonly Column[],
  settings: JudgeSettings,
): Omit<Verdict, "holdsWithAllPasses">[] {
  const alpha = 1 - settings.confidencePct / 100;
  return columns.flatMap(({ metric, config, rows }) =>
    rows.map(({ comparison, controlled, ...cells }) => {
      const { logDiff, low, high, p, standardError, degreesOfFreedom } = comparison;
      const decided = decideVerdict({
        logDiff,
        low,
        high,
        pAdjusted: controlled?.pAdjusted ?? null,
        alpha,
        mattersPct: settings.mattersPct,
      });
      const isPlannable = controlled !== null && standardError !== null && degreesOfFreedom !== null;
      return {
        game: comparison.game,
        config,
        against: settings.baseline,
        metric,
        value: Math.exp(cells.config.mean),
        againstValue: Math.exp(cells.against.mean),
        changePct: 100 * Math.expm1(logDiff),
        lowPct: low === null ? null : 100 * Math.expm1(low),
        highPct: high === null ? null : 100 * Math.expm1(high),
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

/** All games together, one row per column that has two games or more. */
export function suiteRows(columns: readonly Column[], settings: JudgeSettings): SuiteRow[] {
  const confidence = settings.confidencePct / 100;
  const alpha = 1 - confidence;
  const words = new Map<Column, Omit<Verdict, "holdsWithAllPasses">[]>(
    columns.map((column) => [column, verdictRows([column], settings)]),
  );
  return metricGroups.flatMap((group) => {
    const estimates = columns
      .filter(({ metric }) => group.includes(metric))
      .flatMap((column) => {
        const estimate = estimateSuite(column.rows.flatMap(ownDifference), confidence);
        return estimate === null ? [] : [{ column, estimate }];
      });
    const adjusted = holm(estimates.map(({ estimate }) => estimate.main.p));
    return estimates.map(({ column, estimate }, i) => {
      const pAdjusted = adjusted[i] as number;
      const { logDiff, main, theseGames, gamesDiffer, tau } = estimate;
      const decided = decideVerdict({
        logDiff,
        low: main.low,
        high: main.high,
        pAdjusted,
        alpha,
        mattersPct: settings.mattersPct,
      });
      const count = (word: Verdict["verdict"]): number =>
        (words.get(column) ?? []).filter(({ verdict }) => verdict === word).length;
      return {
        tag: null,
        config: column.config,
        against: settings.baseline,
        metric: column.metric,
        games: estimate.games,
        changePct: 100 * Math.expm1(logDiff),
        lowPct: 100 * Math.expm1(main.low),
        highPct: 100 * Math.expm1(main.high),
        theseGamesLowPct: 100 * Math.expm1(theseGames.low),
        theseGamesHighPct: 100 * Math.expm1(theseGames.high),
        p: main.p,
        pAdjusted,
        verdict: decided.verdict,
        size: decided.size,
        counts: {
          higher: count("higher"),
          lower: count("lower"),
          same: count("same"),
          unclear: count("unclear"),
        },
        gamesDiffer: { verdict: gamesDiffer.verdict, p: gamesDiffer.p, spreadPct: 100 * Math.expm1(tau) },
      };
    });
  });
}

/** Own noise, not drawn towards other games: in sums over games the noisiest dominate and would be understated. */
function ownDifference({ comparison }: ColumnRow): GameDifference[] {
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
