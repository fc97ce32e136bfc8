import type { Metric } from "../shared/metrics.ts";
import { cellStatistics } from "./judge-columns.ts";
import type { Judgement, SuiteRow, Verdict } from "./judgement.ts";
import type { VerdictWord } from "./verdict.ts";

/** One game, or the games of a tag together; with neither, all games together. */
export interface Where {
  readonly game: string | null;
  readonly tag: string | null;
}

/** Any config against any other: a verdict or a row of the suite. */
export interface Compared extends Where {
  readonly config: string;
  readonly against: string;
  readonly metric: Metric;
  readonly verdict: VerdictWord;
  readonly size: Verdict["size"];
  readonly changePct: number;
  /** null where the noise is unknown. */
  readonly lowPct: number | null;
  readonly highPct: number | null;
  /** Central values of one game's two cells; null where several games are meant. */
  readonly value: number | null;
  readonly againstValue: number | null;
  /** What an `unclear` would need and could have shown. */
  readonly resolvesPct: number | null;
  readonly passesNeeded: number | null;
  readonly passes: number | null;
}

/** What a claim can be held against. */
export interface Evidence {
  /** The session's own judgement. */
  readonly own: Judgement;
  /** The same captures judged against another baseline; null where they are not at hand. */
  readonly judgeAgainst: (baseline: string) => Judgement | null;
}

/** Why there is no comparison. */
export type NotCompared = "no-data" | "needs-captures";

/**
 * Finds comparisons in a judgement, and makes those that it does not hold.
 *
 * A comparison with the session's own baseline, either way round, is the one that `judge` shows. Any other pair is looked up in
 * a judgement of the same passes with `against` as the baseline, as `judge --baseline <against>` shows it: its false alarms
 * are held within that judgement. A script that leans on several baselines therefore looks in several places, and each has
 * its own few per cent of false alarms; that is the price of naming another baseline.
 */
export class Comparisons {
  readonly own: Judgement;
  private readonly evidence: Evidence;
  private readonly tables = new Map<string, ReadonlyMap<string, Compared> | null>();

  constructor(evidence: Evidence) {
    this.evidence = evidence;
    this.own = evidence.own;
  }

  find(where: Where, metric: Metric, config: string, against: string): Compared | NotCompared {
    const { baseline } = this.own.session;
    if (against !== baseline && config === baseline) {
      const mirrored = this.find(where, metric, against, config);
      return typeof mirrored === "string" ? mirrored : mirror(mirrored);
    }
    const table = this.tableFor(against);
    if (table === null) return "needs-captures";
    return table.get(keyOf({ ...where, metric, config })) ?? "no-data";
  }

  /** A cell's central value with the range of its passes, in the metric's unit; null where no pass counts. */
  valueOf(game: string, config: string, metric: Metric): CellValue | null {
    const passes = this.own.passes.filter(
      (pass) => pass.game === game && pass.config === config && pass.counted && pass[metric] !== null,
    );
    const statistics = cellStatistics(passes, metric, this.own.session.noiseLevel);
    if (statistics === null) return null;
    const values = passes.map((pass) => pass[metric] as number);
    return {
      value: Math.exp(statistics.mean),
      lowest: Math.min(...values),
      highest: Math.max(...values),
      passes: passes.length,
    };
  }

  private tableFor(against: string): ReadonlyMap<string, Compared> | null {
    const known = this.tables.get(against);
    if (known !== undefined) return known;
    const judgement = against === this.own.session.baseline ? this.own : this.evidence.judgeAgainst(against);
    const table =
      judgement === null
        ? null
        : new Map(
            [...judgement.verdicts.map(ofVerdict), ...judgement.suite.map(ofSuite)].map((row) => [
              keyOf(row),
              row,
            ]),
          );
    this.tables.set(against, table);
    return table;
  }
}

/** Central value of a cell, and the lowest and highest of its passes. */
export interface CellValue {
  readonly value: number;
  readonly lowest: number;
  readonly highest: number;
  readonly passes: number;
}

function keyOf({ game, tag, metric, config }: Where & { metric: Metric; config: string }): string {
  return JSON.stringify([game, tag, metric, config]);
}

/** One game's verdict. */
export function ofVerdict(row: Verdict): Compared {
  const { game, config, against, metric, verdict, size, changePct, lowPct, highPct } = row;
  const { value, againstValue, resolvesPct, passesNeeded } = row;
  const passes = Math.min(row.passes, row.againstPasses);
  return {
    ...{ game, tag: null, config, against, metric, verdict, size, changePct, lowPct, highPct },
    ...{ value, againstValue, resolvesPct, passesNeeded, passes },
  };
}

/** All games together, or those of a tag: no values of cells, and nothing is planned of it. */
export function ofSuite(row: SuiteRow): Compared {
  const { tag, config, against, metric, verdict, size, changePct, lowPct, highPct } = row;
  const none = { value: null, againstValue: null, resolvesPct: null, passesNeeded: null, passes: null };
  return { game: null, tag, config, against, metric, verdict, size, changePct, lowPct, highPct, ...none };
}

/** The same comparison the other way round: the ratio and its interval are inverted, the p-value stays. */
export function mirror(row: Compared): Compared {
  const invert = (pct: number): number => 100 * (1 / (1 + pct / 100) - 1);
  const { lowPct, highPct } = row;
  return {
    ...row,
    config: row.against,
    against: row.config,
    verdict: opposite(row.verdict),
    changePct: invert(row.changePct),
    lowPct: highPct === null ? null : invert(highPct),
    highPct: lowPct === null ? null : invert(lowPct),
    value: row.againstValue,
    againstValue: row.value,
  };
}

function opposite(verdict: VerdictWord): VerdictWord {
  if (verdict === "higher") return "lower";
  return verdict === "lower" ? "higher" : verdict;
}
