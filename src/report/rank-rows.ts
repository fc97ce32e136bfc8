import type { Judgement, Verdict } from "../judge/judgement.ts";
import { frameRates } from "../judge/metric-groups.ts";
import { isCalled } from "../judge/verdict.ts";
import { type Metric, metrics } from "../shared/metrics.ts";

/** A game under one config, with its verdicts in the metrics of the FPS group. */
export interface GameRow {
  readonly game: string;
  readonly config: string;
  readonly verdicts: ReadonlyMap<Metric, Verdict>;
}

/** The metrics of the main table: those of the FPS group that the session has. */
export function tableMetrics(judgement: Judgement): Metric[] {
  return frameRates.filter((metric) => judgement.verdicts.some((verdict) => verdict.metric === metric));
}

/**
 * One row per game and config, the largest and surest differences first: by how far the interval of a called metric
 * stays from zero, then what is unclear (in the most metrics first), then what is the same.
 */
export function rankRows(judgement: Judgement): GameRow[] {
  const shown = new Set(tableMetrics(judgement));
  const rows = new Map<string, { game: string; config: string; verdicts: Map<Metric, Verdict> }>();
  for (const verdict of judgement.verdicts) {
    if (!shown.has(verdict.metric)) continue;
    const key = JSON.stringify([verdict.game, verdict.config]);
    const row = rows.get(key) ?? { game: verdict.game, config: verdict.config, verdicts: new Map() };
    row.verdicts.set(verdict.metric, verdict);
    rows.set(key, row);
  }
  // The sort is stable, so equal rows keep the session's order.
  return [...rows.values()]
    .map((row) => ({ row, rank: rankOf([...row.verdicts.values()]) }))
    .sort((a, b) => b.rank[0] - a.rank[0] || b.rank[1] - a.rank[1])
    .map(({ row }) => row);
}

function rankOf(verdicts: readonly Verdict[]): [kind: number, size: number] {
  const sure = verdicts.filter(isCalled).map(({ lowPct, highPct }) => distanceFromZero(lowPct, highPct));
  if (sure.length > 0) return [2, Math.max(...sure)];
  const open = verdicts.filter(({ verdict }) => verdict === "unclear");
  // The more of a row is open, the more there is to do about it; a share below 1 keeps these below the called rows.
  if (open.length > 0) {
    return [open.length / (metrics.length + 1), Math.max(...open.map(({ logDiff }) => Math.abs(logDiff)))];
  }
  return [0, Math.max(...verdicts.map(({ logDiff }) => Math.abs(logDiff)))];
}

function distanceFromZero(lowPct: number | null, highPct: number | null): number {
  if (lowPct === null || highPct === null) return 0;
  return Math.min(Math.abs(Math.log1p(lowPct / 100)), Math.abs(Math.log1p(highPct / 100)));
}
