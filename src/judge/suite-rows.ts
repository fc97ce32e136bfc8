import { holm } from "./adjust-p.ts";
import { type Column, decideRow, ownDifference } from "./judge-columns.ts";
import type { JudgeSettings, SuiteRow, Verdict } from "./judgement.ts";
import { pctOfLog } from "./log-scale.ts";
import { metricGroups } from "./metric-groups.ts";
import type { BootNoise } from "./shared-boots.ts";
import { estimateSuite, type SuiteEstimate } from "./suite.ts";
import { decideVerdict } from "./verdict.ts";

interface Draft {
  readonly tag: string | null;
  readonly column: Column;
  readonly estimate: SuiteEstimate;
}

/**
 * All games together, one row per column that has two games or more; then the same for each tag's games. Suite
 * sentences are headlines, so any false alarm at all is held down (Holm), over the columns of a group, and for the
 * rows of tags over all of them.
 * @param bootNoise what boots shift in all games of a config alike
 */
export function suiteRows(
  columns: readonly Column[],
  settings: JudgeSettings,
  bootNoise: BootNoise,
): SuiteRow[] {
  const tags = [...new Set((settings.tags ?? []).map(({ tag }) => tag))];
  return metricGroups.flatMap((group) => {
    const own = columns.filter(({ metric }) => group.includes(metric));
    const ofTags = tags.flatMap((tag) =>
      drafts(
        tag,
        own.map((column) => onlyTagged(column, tag, settings)),
        settings,
        bootNoise,
      ),
    );
    return [...adjustRows(drafts(null, own, settings, bootNoise), settings), ...adjustRows(ofTags, settings)];
  });
}

function onlyTagged(column: Column, tag: string, settings: JudgeSettings): Column {
  const games = new Set((settings.tags ?? []).filter((entry) => entry.tag === tag).map(({ game }) => game));
  return { ...column, rows: column.rows.filter(({ comparison }) => games.has(comparison.game)) };
}

function drafts(
  tag: string | null,
  columns: readonly Column[],
  settings: JudgeSettings,
  bootNoise: BootNoise,
): Draft[] {
  return columns.flatMap((column) => {
    const games = column.rows.map(({ comparison }) => comparison.game);
    const shared = [column.config, settings.baseline].flatMap(
      (config) => bootNoise(config, games, column.metric) ?? [],
    );
    const estimate = estimateSuite(column.rows.flatMap(ownDifference), settings.confidencePct / 100, shared);
    return estimate === null ? [] : [{ tag, column, estimate }];
  });
}

function adjustRows(rows: readonly Draft[], settings: JudgeSettings): SuiteRow[] {
  const adjusted = holm(rows.map(({ estimate }) => estimate.main.p));
  return rows.map((row, i) => suiteRow(row, adjusted[i] as number, settings));
}

function suiteRow({ tag, column, estimate }: Draft, pAdjusted: number, settings: JudgeSettings): SuiteRow {
  const { logDiff, main, theseGames, gamesDiffer, tau } = estimate;
  const decided = decideVerdict({
    logDiff,
    low: main.low,
    high: main.high,
    pAdjusted,
    alpha: 1 - settings.confidencePct / 100,
    mattersPct: settings.mattersPct,
  });
  const words = column.rows.map((row) => decideRow(row, settings).verdict);
  const count = (word: Verdict["verdict"]): number => words.filter((verdict) => verdict === word).length;
  return {
    tag,
    config: column.config,
    against: settings.baseline,
    metric: column.metric,
    games: estimate.games,
    changePct: pctOfLog(logDiff),
    lowPct: pctOfLog(main.low),
    highPct: pctOfLog(main.high),
    theseGamesLowPct: pctOfLog(theseGames.low),
    theseGamesHighPct: pctOfLog(theseGames.high),
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
    gamesDiffer: { verdict: gamesDiffer.verdict, p: gamesDiffer.p, spreadPct: pctOfLog(tau) },
  };
}
