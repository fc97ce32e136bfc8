import type { PassSummary } from "../measure/pass-summary.ts";
import { groupBy } from "../shared/group-by.ts";
import type { Metric } from "../shared/metrics.ts";
import { type Column, judgeColumns, type SessionNames, verdictRows } from "./judge-columns.ts";
import type { JudgeSettings, TradeChange, TradeRow, TradeTable } from "./judgement.ts";
import { lessIsBetter } from "./metric-groups.ts";
import type { BootNoise } from "./shared-boots.ts";
import { suiteRows } from "./suite-rows.ts";

/** What a config is chosen by; efficiency follows from these. The 0.1% low is too noisy to rule a config out. */
const criteria = ["avgFps", "low1Fps", "cpuPowerW", "gpuPowerW"] as const satisfies readonly Metric[];
/** What is shown of each config, in this order. */
const shown = ["avgFps", "low1Fps", "low01Fps", "cpuPowerW", "gpuPowerW", "fpsPerWatt"] as const;

interface TradeInput {
  readonly counted: readonly PassSummary[];
  readonly names: SessionNames;
  readonly settings: JudgeSettings;
  /** Against the session's baseline. */
  readonly columns: readonly Column[];
  readonly bootNoise: BootNoise;
}

/**
 * What frame rate costs in power: per config its changes against the baseline, which configs another one beats in
 * everything, and the rest, among which the choice lies (the Pareto set). A config beats another where every
 * criterion is better or shown to be the same and one at least is better, by the verdicts of judging the one against
 * the other; what is unclear beats nothing.
 * @returns a table over all games where there are two or more, then one per game; empty where no power is known
 */
export function judgeTrade(input: TradeInput): TradeTable[] {
  const { names, settings, columns } = input;
  if (!columns.some(({ metric }) => metric === "cpuPowerW" || metric === "gpuPowerW")) return [];
  const changes = names.configs.flatMap((against) => changesAgainst(against, input));
  const byGame = groupBy(changes, ({ game }) => JSON.stringify(game));
  return [null, ...names.games].flatMap((game) => {
    const own = byGame.get(JSON.stringify(game)) ?? [];
    const against = own.filter((change) => change.against === settings.baseline);
    if (!against.some(({ metric }) => metric === "cpuPowerW" || metric === "gpuPowerW")) return [];
    return [{ game, against: settings.baseline, rows: tradeRows(own, names.configs, settings.baseline) }];
  });
}

interface PairChange extends TradeChange {
  readonly game: string | null;
  readonly config: string;
  readonly against: string;
}

/** Every comparison with one config, as judging against it shows them. */
function changesAgainst(against: string, input: TradeInput): PairChange[] {
  const { counted, names, bootNoise } = input;
  const settings = { ...input.settings, baseline: against };
  const columns =
    against === input.settings.baseline ? input.columns : judgeColumns(counted, names, settings);
  const suite = suiteRows(columns, { ...settings, tags: [] }, bootNoise).map((row) => ({
    ...row,
    game: null,
  }));
  return [...suite, ...verdictRows(columns, settings)].map(
    ({ game, config, metric, changePct, lowPct, highPct, verdict }) => ({
      ...{ game, config, against, metric, changePct, lowPct, highPct, verdict },
    }),
  );
}

function tradeRows(own: readonly PairChange[], configs: readonly string[], baseline: string): TradeRow[] {
  const present = configs.filter((config) => own.some((change) => change.config === config));
  const find = (config: string, against: string, metric: Metric): PairChange | undefined =>
    own.find((change) => change.config === config && change.against === against && change.metric === metric);
  const beats = (config: string, other: string): boolean => {
    const words = criteria.flatMap((metric) => {
      const change = find(config, other, metric);
      return change === undefined ? [] : [sideOf(change)];
    });
    const hasAll = words.length === criteria.filter((metric) => own.some((c) => c.metric === metric)).length;
    return hasAll && words.includes("better") && words.every((word) => word === "better" || word === "same");
  };
  return present.map((config) => {
    const beatenBy = present.filter((other) => beats(other, config));
    return {
      config,
      changes: shown.flatMap((metric): TradeChange[] => {
        const change = config === baseline ? undefined : find(config, baseline, metric);
        if (change === undefined) return [];
        const { game: _game, config: _config, against: _against, ...figures } = change;
        return [figures];
      }),
      beatenBy,
      isChoice: beatenBy.length === 0,
    };
  });
}

function sideOf({ metric, verdict }: PairChange): "better" | "worse" | "same" | "unclear" {
  if (verdict === "same" || verdict === "unclear") return verdict;
  return (verdict === "higher") !== lessIsBetter.has(metric) ? "better" : "worse";
}
