import type { Judgement, SuiteRow, Verdict } from "../judge/judgement.ts";
import { isFrameRate, lessIsBetter } from "../judge/metric-groups.ts";
import { isCalled } from "../judge/verdict.ts";
import { counted } from "../shared/counted.ts";
import { formatChange, formatCount, formatInterval, formatPct } from "../shared/format-number.ts";
import { groupBy } from "../shared/group-by.ts";
import { type Metric, metricLabel } from "../shared/metrics.ts";
import { lowsWords } from "./lows-words.ts";
import { rankRows, tableMetrics } from "./rank-rows.ts";

/*
 * What the table and the Markdown say alike. All of it is plain text; names in it are as they stand in the data and
 * are escaped by the caller.
 */

/** "6 games, 3 configs, 72 passes (1 not counted). Every config against balanced-54w." */
export function sessionSentence({ session, passes }: Judgement): string {
  const out = passes.filter(({ counted }) => !counted).length;
  const parts = [
    counted(session.games.length, "game"),
    counted(session.configs.length, "config"),
    `${counted(passes.length, "pass", "passes")}${out > 0 ? ` (${formatCount(out)} not counted)` : ""}`,
  ];
  return `${parts.join(", ")}. Every config against ${session.baseline}.`;
}

/** Per metric: how many comparisons came out how. */
export function countSentences(judgement: Judgement): string[] {
  return tableMetrics(judgement).map((metric) => {
    const verdicts = judgement.verdicts.filter((verdict) => verdict.metric === metric);
    const count = (word: Verdict["verdict"]): number =>
      verdicts.filter(({ verdict }) => verdict === word).length;
    const counts = countWords({
      lower: count("lower"),
      higher: count("higher"),
      same: count("same"),
      unclear: count("unclear"),
    });
    return `${metricLabel[metric]}: ${counts} of ${counted(verdicts.length, "comparison")}`;
  });
}

/** "lower -8.8%" and "-10 to -7.5%"; of power and efficiency, where less may be better, "better -31%". */
export function verdictText(
  row: Pick<Verdict, "verdict" | "changePct"> & Partial<Pick<Verdict, "metric" | "lowPct" | "highPct">>,
): string {
  const { metric } = row;
  const better = metric === undefined || isFrameRate(metric) ? null : isBetter(row.verdict, metric);
  const word = better === null ? row.verdict : better ? "better" : "worse";
  return `${word} ${formatChange(row.changePct, row)}`;
}

export function intervalText(row: { lowPct: number | null; highPct: number | null }): string {
  return row.lowPct === null || row.highPct === null
    ? "noise unknown"
    : formatInterval(row.lowPct, row.highPct);
}

/**
 * What the games say together about average FPS, one sentence or two per config: for games like these, for exactly
 * these, and whether games differ.
 */
export function suiteSentences({ suite, session }: Judgement): string[] {
  return suite
    .filter(({ tag, metric }) => tag === null && metric === "avgFps")
    .map((row) => {
      const exactly =
        row.games < 3
          ? ""
          : `; in exactly these games ${formatInterval(row.theseGamesLowPct, row.theseGamesHighPct)}`;
      const differ = row.gamesDiffer.verdict
        ? ` Games differ beyond their noise, typically by about ${formatPct(row.gamesDiffer.spreadPct)}: `
        : " No sign that games differ: ";
      return `${suiteAnswer(row, session.mattersPct)}${exactly}.${differ}${countWords(row.counts)}.`;
    });
}

/** One sentence per kind of games and config, only where these games carry an answer. */
export function tagSentences({ suite, session }: Judgement): string[] {
  return suite
    .filter(({ tag, metric, verdict }) => tag !== null && metric === "avgFps" && verdict !== "unclear")
    .map((row) => `${row.tag}: ${suiteAnswer(row, session.mattersPct)}.`);
}

function suiteAnswer(row: SuiteRow, mattersPct: number): string {
  const over = row.games < 3 ? `In exactly these ${row.games} games` : `Over games like these ${row.games}`;
  const interval = `(${intervalText(row)})`;
  const change = formatPct(Math.abs(row.changePct));
  const answer = {
    higher: `${row.config} is on average ${change} faster ${interval}`,
    lower: `${row.config} is on average ${change} slower ${interval}`,
    same: `${row.config} is on average as fast within ${formatPct(mattersPct)} ${interval}`,
    unclear: `whether ${row.config} is faster or slower on average cannot be told: ${formatChange(row.changePct, row)} ${interval}`,
  }[row.verdict];
  return `${over}, ${answer}`;
}

/** Effects of a crossing of two factors: what, in which metric, and how sure. */
export function factorRows({ factors }: Judgement): { effect: string; metric: string; result: string }[] {
  return factors.map((row) => ({
    effect:
      row.level === null
        ? `${row.factors.join(" with ")} (interaction)`
        : `${row.factors.join("")}: ${row.level} against ${row.againstLevel}`,
    metric: metricLabel[row.metric],
    result: `${verdictText(row)} (${intervalText(row)})`,
  }));
}

function countWords(counts: Readonly<Record<Verdict["verdict"], number>>): string {
  return (["lower", "higher", "same", "unclear"] as const)
    .filter((word) => counts[word] > 0)
    .map((word) => `${counts[word]} ${word}`)
    .join(", ");
}

/** Passes that do not count, with the reason. */
export function notCountedRows(judgement: Judgement): { pass: string; reason: string }[] {
  return judgement.passes
    .filter(({ counted }) => !counted)
    .map(({ game, config, pass, notCountedBecause }) => ({
      pass: `${game} / ${config} / ${pass}`,
      reason: notCountedBecause ?? "",
    }));
}

/** A game and config with something that cannot be told yet, and what would settle it. */
export interface OpenRow {
  readonly game: string;
  readonly config: string;
  readonly needed: readonly Needed[];
}

export interface Needed {
  readonly metric: Metric;
  /** "79 passes", "over 100 passes". */
  readonly passes: string;
  /** The same for every comparison of which it is said, so that these can share a line. */
  readonly isCommon: boolean;
  /** What the passes that are there could have shown; null where their noise is unknown. */
  readonly resolvesPct: number | null;
}

/** What cannot be told yet, and the passes per config that would settle it. */
export function openRows(judgement: Judgement): OpenRow[] {
  return rankRows(judgement)
    .map(({ game, config, verdicts }) => ({
      game,
      config,
      needed: [...verdicts.values()].filter(({ verdict }) => verdict === "unclear").map(neededOf),
    }))
    .filter(({ needed }) => needed.length > 0);
}

function neededOf({ metric, passes, againstPasses, passesNeeded, resolvesPct }: Verdict): Needed {
  const count =
    resolvesPct === null
      ? Math.min(passes, againstPasses) < 2
        ? "3 passes or more"
        : "more passes"
      : passesNeeded === null
        ? "over 100 passes"
        : `${passesNeeded} passes`;
  return { metric, passes: count, isCommon: resolvesPct === null || passesNeeded === null, resolvesPct };
}

/** "79 passes (now 18%)". */
export function neededText({ passes, resolvesPct }: Needed): string {
  return `${passes}${nowText(resolvesPct === null ? [] : [resolvesPct])}`;
}

function nowText(resolves: readonly number[]): string {
  if (resolves.length === 0) return "";
  const [least, most] = [formatPct(Math.min(...resolves)), formatPct(Math.max(...resolves))];
  return least === most ? ` (now ${least})` : ` (now ${least.slice(0, -1)} to ${most})`;
}

/** From so many comparisons on that need the same, one line tells of all of them. */
const leastShared = 3;

/**
 * What cannot be told yet in lines of text, a game and config each; what many comparisons of a metric have in common,
 * such as more passes than anybody captures, stands in one line of its own.
 * @param isWhole true gives every comparison in its own line
 */
export function openLines(judgement: Judgement, isWhole: boolean): string[] {
  const rows = openRows(judgement);
  const key = ({ metric, passes }: Needed): string => JSON.stringify([metric, passes]);
  const common = groupBy(
    rows.flatMap(({ needed }) => needed.filter(({ isCommon }) => isCommon && !isWhole)),
    key,
  );
  const shared = [...common.values()].filter((group) => group.length >= leastShared);
  const isShared = new Set(shared.flat());
  const own = rows.flatMap(({ game, config, needed }) => {
    const parts = needed.filter((entry) => !isShared.has(entry));
    return parts.length === 0
      ? []
      : [
          `${game} / ${config}: ${parts.map((part) => `${metricLabel[part.metric]} ${neededText(part)}`).join(", ")}`,
        ];
  });
  const together = shared.map((group) => {
    const [first] = group;
    const now = nowText(group.flatMap(({ resolvesPct }) => resolvesPct ?? []));
    return `${metricLabel[first.metric]} in ${group.length} comparisons: ${first.passes}${now}`;
  });
  return [...own, ...together];
}

export const openTitle =
  "Cannot be told yet: passes per config that would likely settle it (now: the smallest difference that these would likely show)";

/** What the words rest on. */
export function methodSentences(judgement: Judgement): string[] {
  const { session } = judgement;
  const alarm = formatPct(100 - session.confidencePct);
  const control =
    session.falseAlarmControl === "strict"
      ? `at most ${alarm} chance of any false alarm in the session (Holm)`
      : `false alarms are held at ${alarm} within each metric and config (Benjamini-Hochberg)`;
  const margin = formatPct(session.mattersPct);
  const outweighed = [...judgement.verdicts, ...judgement.suite].some(
    (row) => isFrameRate(row.metric) && isOutweighed(row),
  );
  return [
    `Baseline: ${session.baseline}. Changes and ${formatPct(session.confidencePct)} intervals are in percent of it.`,
    `1% and 0.1% low: ${lowsWords[session.lows]}.`,
    `higher, lower: beyond run-to-run noise, as the passes of each cell show it; ${control}. ` +
      `A change of less than ${margin} is real but slight.`,
    `same: the whole interval lies within ${margin}, the smallest difference that matters. ` +
      "unclear: neither; these passes cannot tell." +
      (outweighed
        ? " Among so many comparisons, an interval to one side of 0 alone does not show a difference."
        : ""),
    ...markSentences(judgement.verdicts),
  ];
}

/** Its interval leaves out 0, and yet so many comparisons are made that it shows no difference. */
export function isOutweighed({
  verdict,
  lowPct,
  highPct,
}: Pick<Verdict, "verdict" | "lowPct" | "highPct">): boolean {
  return verdict === "unclear" && lowPct !== null && highPct !== null && lowPct * highPct > 0;
}

/** What the marks beside these verdicts mean. */
export function markSentences(
  verdicts: readonly Pick<Verdict, "holdsWithAllPasses" | "verdict" | "limitedBy">[],
): string[] {
  return [
    ...(verdicts.some(({ holdsWithAllPasses }) => !holdsWithAllPasses)
      ? ["*: the verdict would be another one if the passes set aside as too slow counted."]
      : []),
    ...(verdicts.some(isHiddenByLimit)
      ? ["^: a frame cap or the graphics card set the pace there, so 'same' says little about the processor."]
      : []),
  ];
}

/** Verdicts that hang on the screen are marked, and a `same` under a limit. */
export function markText(row: Pick<Verdict, "holdsWithAllPasses" | "verdict" | "limitedBy">): string {
  return `${row.holdsWithAllPasses ? "" : "*"}${isHiddenByLimit(row) ? "^" : ""}`;
}

/** A `same` where a cap or the graphics card set the pace says little about the processor. */
function isHiddenByLimit({ verdict, limitedBy }: Pick<Verdict, "verdict" | "limitedBy">): boolean {
  return verdict === "same" && (limitedBy ?? null) !== null;
}

/** Whether a called difference is for the better, where there is a better. */
export function isBetter(verdict: Verdict["verdict"], metric: Metric): boolean | null {
  if (!isCalled({ verdict })) return null;
  return (verdict === "higher") !== lessIsBetter.has(metric);
}
