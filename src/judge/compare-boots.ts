import type { PassSummary } from "../measure/pass-summary.ts";
import { compareNames } from "../shared/compare-names.ts";
import type { Metric } from "../shared/metrics.ts";
import { compareColumn } from "./compare-cells.ts";
import { cellStatistics, ownDifference } from "./judge-columns.ts";
import { pctOfLog } from "./log-scale.ts";
import { screenedMetrics } from "./screen-passes.ts";
import { estimateSuite } from "./suite.ts";

/** The baseline's last boot against its first, over the games that have both. */
export interface BootComparison {
  readonly metric: Metric;
  readonly first: string;
  readonly last: string;
  readonly games: number;
  readonly changePct: number;
  readonly lowPct: number;
  readonly highPct: number;
}

/**
 * Compares a baseline that was captured in two boots or more with itself: what differs there is no config.
 * The interval is for exactly these games.
 */
export function compareBaselineBoots(
  counted: readonly PassSummary[],
  baseline: string,
  confidence: number,
): BootComparison[] {
  const own = counted.filter(({ config, boot }) => config === baseline && boot !== null);
  const boots = [...new Set(own.map(({ boot }) => boot as string))].sort(compareNames);
  const first = boots[0];
  const last = boots.at(-1);
  if (first === undefined || last === undefined || first === last) return [];
  const games = [...new Set(own.map(({ game }) => game))];
  return screenedMetrics.flatMap((metric) => {
    const pairs = games.flatMap((game) => {
      const of = (boot: string) =>
        cellStatistics(
          own.filter((pass) => pass.game === game && pass.boot === boot),
          metric,
          "pass",
        );
      const config = of(last);
      const against = of(first);
      return config === null || against === null ? [] : [{ game, config, against }];
    });
    const compared = compareColumn(pairs, confidence);
    const all = estimateSuite(
      compared.flatMap((comparison) => ownDifference({ comparison })),
      confidence,
    );
    const only = compared.length === 1 ? compared[0] : undefined;
    const { logDiff, low, high } = all === null ? { ...only } : { ...all, ...all.theseGames };
    if (logDiff === undefined || low == null || high == null) return [];
    return [
      {
        metric,
        first,
        last,
        games: compared.length,
        changePct: pctOfLog(logDiff),
        lowPct: pctOfLog(low),
        highPct: pctOfLog(high),
      },
    ];
  });
}
