import type { TradeChange, TradeRow, TradeTable } from "../judge/judgement.ts";
import { lessIsBetter } from "../judge/metric-groups.ts";
import { capital } from "../shared/capital.ts";
import { formatChange } from "../shared/format-number.ts";
import { type Metric, metricLabel } from "../shared/metrics.ts";

/*
 * The trade of frame rate against power in words, for the table and the Markdown alike. Names are as they stand in the
 * data and are escaped by the caller.
 */

/** Columns of the compact table, as far as the table has them. */
const columns = ["avgFps", "low1Fps", "cpuPowerW", "gpuPowerW", "fpsPerWatt"] as const;

export function tradeMetrics({ rows }: TradeTable): Metric[] {
  return columns.filter((metric) => rows.some((row) => findChange(row, metric) !== undefined));
}

export function findChange({ changes }: TradeRow, metric: Metric): TradeChange | undefined {
  return changes.find((change) => change.metric === metric);
}

/** Whether anything can be told: where no noise is known, a table would hold nothing but "unclear". */
export function isTradeKnown({ rows }: TradeTable): boolean {
  return rows.some(({ changes }) => changes.some(({ lowPct }) => lowPct !== null));
}

export function tradeTitle({ game, against }: TradeTable): string {
  return `Frame rate against power${game === null ? ", all games" : `, ${game}`} (against ${against})`;
}

/** One sentence per config, where there is no room for a table. */
export function tradeSentences({ rows }: TradeTable): string[] {
  return rows
    .filter(({ changes }) => changes.length > 0)
    .map((row) => {
      const parts = columns.slice(0, 4).flatMap((metric) => {
        const change = findChange(row, metric);
        return change === undefined ? [] : [changeWords(change)];
      });
      return `${row.config}: ${parts.join(", ")}.`;
    });
}

function changeWords(change: TradeChange): string {
  const { metric, verdict, changePct } = change;
  const label = metricLabel[metric];
  if (verdict === "same") return `same ${label}`;
  if (verdict === "unclear") return `${label} cannot be told (${formatChange(changePct)})`;
  const size = formatChange(changePct, change).replace(/^[+-]/, "");
  if (lessIsBetter.has(metric)) return `${size} ${verdict === "lower" ? "less" : "more"} ${label}`;
  return `${label} ${size} ${verdict}`;
}

/** What the choice comes down to. */
export function choiceSentence({ rows }: TradeTable): string {
  const beaten = rows.filter(({ isChoice }) => !isChoice);
  const open = rows.filter(({ isChoice }) => isChoice).map(({ config }) => config);
  const beats = beaten.map(({ config, beatenBy }) => `${config} (than ${beatenBy.join(", ")})`);
  if (beaten.length === 0)
    return `No config is shown to beat another in everything; the choice is among ${open.join(", ")}.`;
  const rest = open.length === 1 ? `that leaves ${open.join("")}` : `the choice is among ${open.join(", ")}`;
  return `Worse in something and better in nothing: ${beats.join("; ")}. ${capital(rest)}.`;
}
