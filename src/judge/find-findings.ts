import { compareNames } from "../shared/compare-names.ts";
import { groupBy } from "../shared/group-by.ts";
import type { Metric } from "../shared/metrics.ts";
import { mapEach, type NonEmpty, sortEach } from "../shared/non-empty.ts";
import { type ClaimDraft, draftOf } from "./claim-draft.ts";
import { type Compared, ofSuite, ofVerdict } from "./compared.ts";
import type { Judgement, Limit } from "./judgement.ts";
import { isCalled } from "./verdict.ts";

/** Something the data supports, with the claims that hold it to the data. */
export interface Finding {
  readonly kind: "suite" | "change" | "same" | "small";
  /** One comparison, or several that say the same of several games. */
  readonly rows: NonEmpty<Compared>;
  /** For a change of the 1% low: the average that stays the same. */
  readonly beside: Compared | null;
  /** The size to tell, rounded as its interval allows; null where only the direction may be told. */
  readonly sizePct: number | null;
  /** For several games: the sizes that all of them lie between, without their sign. */
  readonly range: { readonly leastPct: number; readonly mostPct: number } | null;
  /**
   * The verdict hangs on what was screened out, on one pass, or on the definition of the lows; or it is a `same` where
   * a frame cap or the graphics card set the pace.
   */
  readonly hedges: readonly Hedge[];
  readonly claims: readonly ClaimDraft[];
}
export type Hedge = "screened" | "one-pass" | "lows-definition" | Limit;

/** What looks like a difference and was not shown: over all games, or in games of which the same can be said. */
export interface NotSaid {
  readonly rows: NonEmpty<Compared>;
  /** One for each row. */
  readonly claims: readonly ClaimDraft[];
}

/** What may be said of a session, most worth telling first, and what may not. */
export interface Findings {
  readonly judgement: Judgement;
  readonly said: readonly Finding[];
  readonly notSaid: readonly NotSaid[];
}

/** Smaller ones tempt nobody: common practice, no source. */
const temptingPct = 1;

/**
 * Facts worth a sentence. FPS come before watts: what holds over all games, then real changes by their size (those of
 * the 0.1% low, whose size is not to be trusted, after the others), then what stays the same. Real but slight changes
 * come last. Watts change in every game alike, so that games share a sentence there.
 */
export function findingsOf(judgement: Judgement): Findings {
  const rows = judgement.verdicts.filter(isTold).map((verdict) => ({ verdict, row: ofVerdict(verdict) }));
  const suite = judgement.suite.filter((row) => row.tag === null && isTold(row)).map(ofSuite);
  const averages = new Map(
    rows.filter(({ row }) => row.metric === "avgFps").map(({ row }) => [cellOf(row), row]),
  );

  const overall = suite
    .filter(({ verdict }) => verdict !== "unclear")
    .map((row) => finding("suite", [row], []));
  const called = rows
    .filter(({ row }) => isCalled(row))
    .map(({ verdict, row }) => {
      const average = row.metric === "low1Fps" ? (averages.get(cellOf(row)) ?? null) : null;
      const beside = average?.verdict === "same" ? average : null;
      const hedges: Hedge[] = [
        ...(verdict.holdsWithAllPasses ? [] : (["screened"] as const)),
        ...(verdict.hangsOnPass === null ? [] : (["one-pass"] as const)),
        ...(verdict.otherLows.every((other) => other.verdict === row.verdict)
          ? []
          : (["lows-definition"] as const)),
      ];
      return finding(row.size === "slight" ? "small" : "change", [row], hedges, beside);
    })
    .sort(byWorth);
  const same = groupSame(
    rows
      .filter(({ row }) => row.verdict === "same")
      .map(({ verdict, row }) => ({
        row,
        hedges: [
          ...(verdict.holdsWithAllPasses ? [] : (["screened"] as const)),
          ...(verdict.limitedBy == null ? [] : [verdict.limitedBy]),
        ],
      })),
  );

  const told = [...overall, ...shareRanges(called.filter(({ kind }) => kind === "change"))].sort(byWorth);
  const isFps = ({ rows: [row] }: Finding): boolean => groupOf(row) < 2;
  return {
    judgement,
    said: [
      ...told.filter(isFps),
      ...same.filter(isFps),
      ...told.filter((one) => !isFps(one)),
      ...same.filter((one) => !isFps(one)),
      ...called.filter(({ kind }) => kind === "small"),
    ],
    notSaid: groupNotSaid(
      [...suite, ...rows.map(({ row }) => row)]
        .filter(({ verdict, changePct }) => verdict === "unclear" && Math.abs(changePct) >= temptingPct)
        .sort((a, b) => rankOf(a.metric) - rankOf(b.metric) || sizeOf(b) - sizeOf(a)),
    ),
  };
}

/** Energy per frame is FPS per watt upside down: once is enough. */
function isTold({ metric }: { readonly metric: Metric }): boolean {
  return metric !== "joulesPerFrame";
}

function finding(
  kind: Finding["kind"],
  rows: NonEmpty<Compared>,
  hedges: readonly Hedge[],
  beside: Compared | null = null,
): Finding {
  const [row] = rows;
  const sizePct = isCalled(row) && row.metric !== "low01Fps" ? roundSize(row) : null;
  const claims = rows.map((each) => draftOf(each, { byPct: sizePct }));
  return {
    kind,
    rows,
    beside,
    sizePct,
    range: null,
    hedges,
    claims: beside === null ? claims : [...claims, draftOf(beside)],
  };
}

/** Whole percents; a decimal where the change is small, or where the whole percent lies outside the interval. */
function roundSize({ changePct, lowPct, highPct }: Compared): number | null {
  if (lowPct === null || highPct === null) return null;
  const rounded = round(changePct, 0);
  const isTooCoarse = rounded < lowPct || rounded > highPct || Math.abs(changePct) < 2;
  return round(changePct, isTooCoarse ? 1 : 0);
}

function round(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}

/** Changes of power in several games, of which one config and direction can be said, as one finding. */
function shareRanges(changes: readonly Finding[]): Finding[] {
  const key = ({ rows: [row], hedges, sizePct }: Finding): string => {
    const { game, config, metric, verdict } = row;
    const isShared = powerMetrics.has(metric) && sizePct !== null;
    return JSON.stringify(isShared ? [config, metric, verdict, hedges] : [game, config, metric]);
  };
  return [...groupBy(changes, key).values()].map((group) => {
    const [first, ...others] = group;
    if (others.length === 0) return first;
    const rows = sortEach(
      mapEach(group, ({ rows: [row] }) => row),
      (a, b) => compareNames(a.game ?? "", b.game ?? ""),
    );
    const sizes = rows.map(({ changePct }) => Math.abs(changePct));
    // Rounded outwards, so that every game lies between.
    const scale = Math.min(...sizes) < 2 ? 10 : 1;
    const leastPct = Math.floor(scale * Math.min(...sizes)) / scale;
    const mostPct = Math.max(Math.ceil(scale * Math.max(...sizes)) / scale, round(leastPct + 1 / scale, 1));
    const sign = first.rows[0].verdict === "lower" ? -1 : 1;
    const between = {
      byPct: round((sign * (leastPct + mostPct)) / 2, 2),
      giveOrTakePct: round((mostPct - leastPct) / 2, 2),
    };
    return {
      ...first,
      rows,
      sizePct: null,
      range: { leastPct, mostPct },
      claims: rows.map((row) => draftOf(row, between)),
    };
  });
}

const powerMetrics: ReadonlySet<Metric> = new Set(["cpuPowerW", "gpuPowerW", "fpsPerWatt"]);

/** Games in which the same is open about one config and metric, for one reason; the place is that of the largest. */
function groupNotSaid(rows: readonly Compared[]): NotSaid[] {
  const key = ({ game, config, metric, passes, lowPct, resolvesPct }: Compared): string =>
    JSON.stringify([
      ...[game === null, config, metric],
      ...[passes !== null && passes < 2, lowPct === null, resolvesPct === null],
    ]);
  return [...groupBy(rows, key).values()].map((group) => ({
    rows: group,
    // Where the noise is unknown, a size means nothing.
    claims: group.map((row) => draftOf(row, { byPct: row.lowPct === null ? null : round(row.changePct, 1) })),
  }));
}

/** Games of which the same can be said of one config and metric, with the same doubts, as one finding. */
function groupSame(
  rows: readonly { readonly row: Compared; readonly hedges: readonly Hedge[] }[],
): Finding[] {
  const key = ({ row, hedges }: (typeof rows)[number]): string =>
    JSON.stringify([row.config, row.metric, hedges]);
  return [...groupBy(rows, key).values()]
    .map((group) =>
      finding(
        "same",
        mapEach(group, ({ row }) => row),
        group[0].hedges,
      ),
    )
    .sort((a, b) => rankOf(a.rows[0].metric) - rankOf(b.rows[0].metric) || b.rows.length - a.rows.length);
}

/** FPS before watts, the 0.1% low last of its group; then by size. */
const worth: readonly Metric[] = ["avgFps", "low1Fps", "fpsPerWatt", "cpuPowerW", "gpuPowerW", "low01Fps"];

function rankOf(metric: Metric): number {
  return worth.indexOf(metric);
}

function byWorth(a: Finding, b: Finding): number {
  const [first, second] = [a.rows[0], b.rows[0]];
  return (
    groupOf(first) - groupOf(second) ||
    Number(second.game === null) - Number(first.game === null) ||
    largest(b) - largest(a)
  );
}

function groupOf({ metric }: Compared): number {
  if (metric === "avgFps" || metric === "low1Fps") return 0;
  return metric === "low01Fps" ? 1 : 2;
}

function largest({ rows }: Finding): number {
  return Math.max(...rows.map(sizeOf));
}

/** On the log scale: halving is as much as doubling. */
function sizeOf({ changePct }: Compared): number {
  return Math.abs(Math.log1p(changePct / 100));
}

function cellOf({ game, config }: Compared): string {
  return JSON.stringify([game, config]);
}
