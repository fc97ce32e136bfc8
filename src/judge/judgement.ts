import type { PaceFacts } from "../measure/pace-facts.ts";
import type { PassKey, PassSummary } from "../measure/pass-summary.ts";
import type { LowsDefinition } from "../shared/lows-definition.ts";
import type { Metric } from "../shared/metrics.ts";
import type { FalseAlarmControl } from "./control-false-alarms.ts";
import type { Size, VerdictWord } from "./verdict.ts";

/** What the session asks of the judgement. Percentages are percent: 3 means 3%. */
export interface JudgeSettings {
  readonly title: string | null;
  readonly baseline: string;
  readonly lows: LowsDefinition;
  readonly mattersPct: number;
  readonly confidencePct: number;
  readonly falseAlarmControl: FalseAlarmControl;
  /** Sets nothing aside: neither what the screen finds nor what the session lists. */
  readonly keepAll: boolean;
  /** Passes the user has marked, with the reason; without a boot, the pass of that name in whatever boot. */
  readonly setAside: readonly (PassKey & { readonly why: string })[];
  /** Kinds of games; a game may have several. */
  readonly tags?: readonly { readonly game: string; readonly tag: string }[];
  /** What a config is made of, where configs cross two factors of two levels each. */
  readonly levels?: readonly ConfigLevels[];
  /** Logs that could not be read, for the caution. */
  readonly notRead?: readonly UnreadLog[];
  /** Names for readers. */
  readonly titles?: Titles;
}

/** A log that could not be read, and where it belongs; null where its path does not tell. */
export interface UnreadLog {
  readonly file: string;
  readonly place: { readonly game: string; readonly config: string } | null;
}

/** Names for readers of games and configs that have one. */
export interface Titles {
  readonly games: readonly { readonly name: string; readonly title: string }[];
  readonly configs: readonly { readonly name: string; readonly title: string }[];
}

/** One config's level of each factor, such as threads: off, cores: parked. */
export interface ConfigLevels {
  readonly config: string;
  readonly levels: Readonly<Record<string, string>>;
}

export interface Flag {
  readonly code: string;
  readonly severity: "note" | "warning" | "bad";
  readonly text: string;
}

export interface Caution {
  readonly code: string;
  readonly text: string;
}

export interface JudgedPass extends Omit<PassSummary, "flags" | "fingerprint" | "writtenAtMs" | "pace"> {
  /** What may have set the pace; left out where it was not measured. */
  readonly pace?: Omit<PaceFacts, "slowAt">;
  readonly flags: readonly Flag[];
  readonly counted: boolean;
  readonly notCountedBecause: string | null;
  /** Session-wide p of the screen for slow passes; null where the pass was not tested. */
  readonly screenP: number | null;
}

/** What sets the pace of a cell other than the processor. */
export type Limit = "capped" | "gpu-bound";

/** One game, config and metric against the baseline. */
export interface Verdict {
  readonly game: string;
  readonly config: string;
  readonly against: string;
  readonly metric: Metric;
  /** Geometric mean of the counted passes, in the metric's unit. */
  readonly value: number;
  readonly againstValue: number;
  readonly changePct: number;
  /** Bounds of the confidence interval of changePct; null where the noise is unknown. */
  readonly lowPct: number | null;
  readonly highPct: number | null;
  readonly p: number | null;
  readonly pAdjusted: number | null;
  readonly verdict: VerdictWord;
  readonly size: Size | null;
  /** The smallest difference these passes had an 80% chance to show; null where the comparison is in no family. */
  readonly resolvesPct: number | null;
  /** Passes per config that would settle an `unclear`; null where none is needed or more than 100 are. */
  readonly passesNeeded: number | null;
  readonly passes: number;
  readonly againstPasses: number;
  /** The verdict word stays when nothing is screened out. */
  readonly holdsWithAllPasses: boolean;
  /** A pass without which `higher` or `lower` would be another word; null where there is none. */
  readonly hangsOnPass: string | null;
  /** For lows: the word under the other definitions, as far as they are known. */
  readonly otherLows: readonly { readonly lows: LowsDefinition; readonly verdict: VerdictWord }[];
  /** For frame rates: what held the pace in most passes of either side, so that `same` says little of the processor. */
  readonly limitedBy?: Limit | null;
  /** The same on the natural-log scale, for those who check. */
  readonly logDiff: number;
  readonly standardError: number | null;
  readonly degreesOfFreedom: number | null;
}

export interface SuiteRow {
  readonly tag: string | null;
  readonly config: string;
  readonly against: string;
  readonly metric: Metric;
  readonly games: number;
  readonly changePct: number;
  readonly lowPct: number;
  readonly highPct: number;
  readonly theseGamesLowPct: number;
  readonly theseGamesHighPct: number;
  readonly p: number;
  readonly pAdjusted: number;
  readonly verdict: VerdictWord;
  readonly size: Size | null;
  readonly counts: Readonly<Record<VerdictWord, number>>;
  readonly gamesDiffer: { readonly verdict: boolean; readonly p: number; readonly spreadPct: number };
}

/** One effect of a crossing of two factors, over all games; on percent of the product's first level. */
export interface FactorEffect {
  readonly metric: Metric;
  /** The factor, or both of them for the interaction. */
  readonly factors: readonly string[];
  /** "off against on", as the session names the levels; null for the interaction. */
  readonly level: string | null;
  readonly againstLevel: string | null;
  readonly games: number;
  readonly changePct: number;
  readonly lowPct: number;
  readonly highPct: number;
  readonly p: number;
  readonly pAdjusted: number;
  readonly verdict: VerdictWord;
}

/** One metric of a config against the baseline, in the trade of frame rate against power. */
export interface TradeChange {
  readonly metric: Metric;
  readonly changePct: number;
  readonly lowPct: number | null;
  readonly highPct: number | null;
  readonly verdict: VerdictWord;
}

export interface TradeRow {
  readonly config: string;
  /** Empty for the baseline itself. */
  readonly changes: readonly TradeChange[];
  /** Configs that are better or the same in frame rate and power, and better in one of them at least. */
  readonly beatenBy: readonly string[];
  /** Beaten by none: one of those among which the choice lies. */
  readonly isChoice: boolean;
}

/** What frame rate costs in power; over all games together where `game` is null. */
export interface TradeTable {
  readonly game: string | null;
  readonly against: string;
  readonly rows: readonly TradeRow[];
}

/** What a judgement was made from: if any of it is another today, the judgement is out of date. */
export interface Origin {
  /** Version of the tool. */
  readonly version: string;
  /** The folder of captures, as it was given. */
  readonly folder: string;
  /** The session file that was read, as a path. */
  readonly session: string;
  /** SHA-256 of what the session file says, defaults filled in, without its comments and places. */
  readonly settingsSha256: string;
  /** SHA-256 of every log's bytes, sensor logs included, in the order of their names. */
  readonly captures: readonly { readonly file: string; readonly sha256: string }[];
}

/** Everything the tool concludes about a session. It is the JSON of `judge --format json`, key for key. */
export interface Judgement {
  readonly format: "runjury.judgement/1";
  readonly session: {
    readonly title: string | null;
    readonly baseline: string;
    readonly lows: LowsDefinition;
    readonly mattersPct: number;
    readonly confidencePct: number;
    readonly falseAlarmControl: FalseAlarmControl;
    readonly configs: readonly string[];
    readonly games: readonly string[];
    /** What counts as one independent value: a pass, or the mean of a boot's passes. */
    readonly noiseLevel: "pass" | "boot";
    /** Names for readers, where the session gives others than those of the paths. */
    readonly titles?: Titles;
    /** Kinds of games, where the session gives them. */
    readonly tags?: readonly { readonly game: string; readonly tag: string }[];
  };
  readonly passes: readonly JudgedPass[];
  readonly verdicts: readonly Verdict[];
  readonly suite: readonly SuiteRow[];
  /** Empty unless configs cross two factors. */
  readonly factors: readonly FactorEffect[];
  /** Empty where no power is known. */
  readonly trade: readonly TradeTable[];
  readonly cautions: readonly Caution[];
  /** Left out where the passes did not come from files. */
  readonly made?: Origin;
}
