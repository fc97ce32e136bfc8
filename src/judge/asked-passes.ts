import { median } from "simple-statistics";
import type { PassSummary } from "../measure/pass-summary.ts";
import { groupBy } from "../shared/group-by.ts";
import type { Metric } from "../shared/metrics.ts";
import { cellKey, mapByCell } from "./cells.ts";
import { compareColumn } from "./compare-cells.ts";
import { cellStatistics, type SessionNames } from "./judge-columns.ts";
import { askPasses, type PassesAsked, type StopRule } from "./stop-rule.ts";

/** What one comparison asks for. */
export interface AskedComparison extends PassesAsked {
  readonly game: string;
  readonly config: string;
  readonly metric: Metric;
}

export interface AskSettings {
  readonly baseline: string;
  /** Metrics that are to be settled. */
  readonly metrics: readonly Metric[];
  readonly rule: StopRule;
  readonly confidencePct: number;
  readonly mattersPct: number;
}

/** Two boots are the fewest that show how boots differ. */
const firstBoots = 2;

/**
 * What the first passes of each cell ask for: every comparison whose noise they show. That is the noise of a judgement
 * of them alone, and no less than the games' typical one, since a noise that is small by luck would ask for too few. As
 * long as cells lack some of their first passes it is a guess; then nothing changes it any more.
 * @param counted in session order: the first of a cell are those whose names come first
 */
export function askedPasses(
  counted: readonly PassSummary[],
  { games, configs }: SessionNames,
  level: "boot" | "pass",
  settings: AskSettings,
): AskedComparison[] {
  const { baseline, metrics, rule } = settings;
  const cells = mapByCell(counted, (pass) => pass);
  const first = (game: string, config: string): readonly PassSummary[] =>
    firstPasses(cells.get(cellKey({ game, config })) ?? [], level, rule);
  const asked: AskedComparison[] = [];
  for (const config of configs) {
    if (config === baseline) continue;
    const sides = games.map((game) => ({ game, own: first(game, config), against: first(game, baseline) }));
    for (const metric of metrics) {
      const pairs = sides.flatMap(({ game, own, against }) => {
        const ofConfig = cellStatistics(own, metric, level);
        const ofBaseline = cellStatistics(against, metric, level);
        if (ofConfig === null || ofBaseline === null) return [];
        // Boots, and passes that have the metric, are what the noise is known of; asked for are passes.
        const passesEach = (own.length + against.length) / (ofConfig.n + ofBaseline.n);
        const isBegun = Math.min(own.length, against.length) >= rule.leastPasses;
        return [{ game, config: ofConfig, against: ofBaseline, passesEach, isBegun }];
      });
      const compared = compareColumn(pairs, null);
      const variances = compared.flatMap(({ posteriorVariance }) => posteriorVariance ?? []);
      const typical = variances.length === 0 ? 0 : median(variances);
      compared.forEach(({ game, posteriorVariance, degreesOfFreedom }, i) => {
        const { passesEach, isBegun } = pairs[i] as (typeof pairs)[number];
        const noise =
          posteriorVariance === null || degreesOfFreedom === null
            ? null
            : { variance: passesEach * Math.max(posteriorVariance, typical), degreesOfFreedom };
        if (noise !== null || isBegun)
          asked.push({ game, config, metric, ...askPasses(noise, rule, settings) });
      });
    }
  }
  return asked;
}

function firstPasses(
  passes: readonly PassSummary[],
  level: "boot" | "pass",
  { leastPasses }: StopRule,
): readonly PassSummary[] {
  if (level === "pass") return passes.slice(0, leastPasses);
  return [...groupBy(passes, ({ boot }) => boot ?? "").values()].slice(0, firstBoots).flat();
}

/** Passes of each cell that comparisons ask anything of, by cellKey: as many as the one that needs most. */
export function neededPasses(
  asked: readonly AskedComparison[],
  baseline: string | null,
  { leastPasses }: StopRule,
): Map<string, number> {
  const needed = new Map<string, number>();
  for (const { game, config, passes } of asked) {
    for (const side of [config, baseline as string]) {
      const cell = cellKey({ game, config: side });
      needed.set(cell, Math.max(needed.get(cell) ?? leastPasses, passes));
    }
  }
  return needed;
}
