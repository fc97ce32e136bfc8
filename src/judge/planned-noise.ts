import type { PassSummary } from "../measure/pass-summary.ts";
import { type Metric, metrics } from "../shared/metrics.ts";
import { splitNoise } from "./boot-noise.ts";
import { cellKey, mapByCell } from "./cells.ts";
import { compareColumn } from "./compare-cells.ts";
import { cellStatistics, noiseLevel } from "./judge-columns.ts";
import type { CellStatistics } from "./pair-variance.ts";
import { type ExpectedPrior, priorOfEqualGames, priorOfGames } from "./planned-test.ts";

/** Where the noise of a comparison is known from: its own passes, those of other games, or the user. */
export type NoiseSource = "pilot" | "other-games" | "stated";

/** Noise of a planned comparison, variances of ln values of its two configs together. */
export interface PlannedNoise {
  readonly source: NoiseSource;
  readonly passVariance: number;
  /** What a boot adds; null where that is unknown. */
  readonly bootVariance: number | null;
  /** What judging will draw on in other games, at so many passes or boots per config. */
  readonly prior: (units: number) => ExpectedPrior;
}

/** Noise by game, config and metric; null where nothing is known. */
export type NoiseOf = (game: string, config: string, metric: Metric) => PlannedNoise | null;

/** Noise in percent of one pass, and of one boot beside it. */
export interface StatedNoise {
  /** null: every game that is not named by itself. */
  readonly game: string | null;
  readonly metric: Metric;
  readonly passPct: number;
  readonly bootPct: number | null;
}

/** A stated percent is the standard deviation of natural logs times 100, as everywhere noise is spoken of. */
const logVariance = (pct: number): number => (pct / 100) ** 2;

/** Noise as the user states it. */
export function noiseAsStated(stated: readonly StatedNoise[], games: readonly string[]): NoiseOf {
  const keyOf = (game: string | null, metric: Metric): string => JSON.stringify([game, metric]);
  const byName = new Map(stated.map((own) => [keyOf(own.game, own.metric), own]));
  const find = (game: string, metric: Metric): StatedNoise | undefined =>
    byName.get(keyOf(game, metric)) ?? byName.get(keyOf(null, metric));
  const logVariances = (metric: Metric): number[] =>
    games.flatMap((game) => {
      const own = find(game, metric);
      return own === undefined ? [] : [Math.log(logVariance(own.passPct))];
    });
  // One object for what is alike: what it will show is reckoned once.
  const known = new Map<StatedNoise | undefined, PlannedNoise>(
    stated.map((own) => {
      const passVariance = logVariance(own.passPct);
      const all = logVariances(own.metric);
      return [
        own,
        {
          source: "stated",
          passVariance,
          bootVariance: own.bootPct === null ? null : logVariance(own.bootPct),
          prior: (units) => priorOfGames(all, Math.log(passVariance), units),
        },
      ];
    }),
  );
  return (game, _config, metric) => known.get(find(game, metric)) ?? null;
}

/** A cell without passes: its noise is taken to be that of the other side, else that of other games. */
const nothing: CellStatistics = { n: 1, mean: 0, variance: null };

/**
 * Noise as a pilot shows it, by the same variances and the same drawing towards other games as in a judgement.
 * Configs and games that were not captured take what the others show.
 * @param counted passes of the pilot that count
 */
export function noiseOfPilot(
  counted: readonly PassSummary[],
  plan: { readonly games: readonly string[]; readonly configs: readonly string[]; readonly baseline: string },
): NoiseOf {
  const cells = mapByCell(counted, (pass) => pass);
  const level = noiseLevel(counted);
  const games = [...new Set([...plan.games, ...counted.map(({ game }) => game)])];
  const boots = new Set(counted.map(({ game, config, boot }) => JSON.stringify([game, config, boot])));
  const passesPerBoot = counted.length / Math.max(1, boots.size);
  const known = new Map<string, PlannedNoise>();
  for (const metric of metrics) {
    const statistics = (game: string, config: string): CellStatistics =>
      cellStatistics(cells.get(cellKey({ game, config })) ?? [], metric, level) ?? nothing;
    const split = level === "boot" ? splitNoise(counted, metric) : null;
    for (const config of plan.configs) {
      if (config === plan.baseline) continue;
      const pairs = games.map((game) => ({
        game,
        config: statistics(game, config),
        against: statistics(game, plan.baseline),
      }));
      const compared = compareColumn(pairs, null);
      const shown = compared.filter(({ pair }) => pair.nu > 0);
      for (const { game, posteriorVariance, priorDf, pair } of compared) {
        // One game alone is no prior, but the best guess for the others.
        const unit = posteriorVariance ?? shown[0]?.posteriorVariance ?? null;
        if (unit === null) continue;
        const typical =
          pair.u === null || priorDf === 0 ? unit : (unit * (pair.nu + priorDf) - pair.nu * pair.u) / priorDf;
        const share = split === null ? 1 : split.boot / (split.boot + split.pass / passesPerBoot);
        known.set(JSON.stringify([game, config, metric]), {
          source: pair.u !== null ? "pilot" : "other-games",
          passVariance: level === "pass" ? unit : (1 - share) * unit * passesPerBoot,
          bootVariance: level === "pass" ? null : share * unit,
          prior: (units) =>
            shown.length < 2 || plan.games.length < 2
              ? priorOfEqualGames(plan.games.length, units)
              : { games: plan.games.length, priorDf, ratio: typical / unit },
        });
      }
    }
  }
  return (game, config, metric) => known.get(JSON.stringify([game, config, metric])) ?? null;
}
