/**
 * Findings about the input. A Problem is data: a stable code, where it is, and the facts. Its wording lives in
 * one place, report/describe-problem.ts, whose switch over the codes makes a missing wording a type error.
 */
export type Severity = "note" | "warning" | "error";

export interface Place {
  /** Path as the user would type it; "" when the finding concerns no file. */
  readonly file: string;
  /** Counted from 1. */
  readonly line?: number;
  /** Counted from 1, in characters. */
  readonly column?: number;
}

/** What can be wrong with the folder as a whole. */
type FolderFinding =
  | { readonly code: "folder-missing" }
  | { readonly code: "not-a-folder" }
  | { readonly code: "no-logs"; readonly seen: readonly string[] }
  | { readonly code: "layout-too-shallow" }
  | { readonly code: "pass-filed-twice"; readonly other: string }
  | { readonly code: "unreadable"; readonly why: string }
  | { readonly code: "file-too-large"; readonly mostBytes: number }
  | { readonly code: "not-a-file"; readonly kind: "folder" | "other" }
  | { readonly code: "link-loop" }
  | { readonly code: "sensors-alone" };

/** What can be wrong with what was asked. */
type RequestFinding =
  | {
      readonly code: "baseline-unknown";
      readonly baseline: string;
      readonly nearest: string | null;
      readonly configs: readonly string[];
    }
  | { readonly code: "baseline-needed"; readonly configs: readonly string[] }
  | { readonly code: "one-config"; readonly config: string }
  | {
      readonly code: "only-unknown";
      readonly name: string;
      readonly nearest: string | null;
      readonly games: readonly string[];
      readonly configs: readonly string[];
    }
  | { readonly code: "nothing-to-judge" }
  | {
      readonly code: "bad-option";
      readonly option: string;
      readonly value: string;
      readonly expected: string;
    }
  | { readonly code: "cannot-write"; readonly why: string }
  | { readonly code: "code-unknown"; readonly wanted: string; readonly nearest: string | null }
  | { readonly code: "nothing-in-window"; readonly skipS: number; readonly lengthS: number }
  | { readonly code: "file-exists" };

/** One way to read a log's frame times, where the evidence alone does not decide. */
export interface FrameTimeCandidate {
  /** As session.yaml would name it: the column's name, or its number where the log has no header. */
  readonly column: string;
  /** Counted from 1. */
  readonly position: number;
  readonly unit: "s" | "ms" | "us" | "ns" | "fps";
  /** The column is a clock: frame times would be its steps. */
  readonly isClock: boolean;
  /** Average FPS of this log read that way; null where it gives none. */
  readonly avgFps: number | null;
  readonly grounds: readonly string[];
  readonly for?: AnswerScope;
}

/**
 * The game, game/config or pass whose logs an answer to a question is right for, as `log: for:` of session.yaml names
 * them; left out where it is right for all logs, or where nobody knows what else there is.
 */
type AnswerScope = string;

/** One of several sources of frames, or one of several stretches, in a log. */
export interface LogPart {
  readonly name: string;
  readonly frames: number;
  readonly avgFps: number | null;
  readonly for?: AnswerScope;
}

/** What can be wrong inside one log; the pass is left out where the severity is "error". */
export type LogFinding =
  | { readonly code: "log-missing"; readonly nearest: string | null }
  | { readonly code: "log-is-folder" }
  | { readonly code: "log-empty" }
  | { readonly code: "log-binary" }
  | { readonly code: "log-no-table" }
  | { readonly code: "log-too-wide"; readonly columns: number; readonly most: number }
  | { readonly code: "log-line-too-long" }
  | { readonly code: "log-too-long"; readonly limit: "bytes" | "lines"; readonly most: number }
  | {
      readonly code: "log-packing-damaged";
      readonly why: string;
      /** Some of the log could be unpacked. */
      readonly isUsed: boolean;
    }
  | { readonly code: "log-header-width"; readonly names: number; readonly cells: number }
  | { readonly code: "log-without-rows" }
  | { readonly code: "log-without-frames"; readonly rows: number }
  | {
      readonly code: "log-words-for-numbers";
      readonly name: string;
      readonly position: number;
      readonly found: string;
      readonly unit: string | null;
    }
  | { readonly code: "log-no-frame-time"; readonly columns: readonly string[] }
  | {
      readonly code: "log-frame-time-unclear";
      readonly why:
        | "columns-fit-alike"
        | "clock-disagrees"
        | "unit-against-clock"
        | "unit-against-values"
        | "unit-unknown"
        | "words-too-weak";
      readonly candidates: readonly FrameTimeCandidate[];
    }
  | {
      readonly code: "log-not-per-frame";
      readonly column: string;
      readonly frameTimeMs: number;
      readonly clock: string;
      readonly stepMs: number;
    }
  | {
      readonly code: "log-clock-too-coarse";
      readonly column: string;
      readonly standingPct: number;
      /** The smallest step that its digits can show. */
      readonly stepMs: number;
    }
  | { readonly code: "log-streams"; readonly column: string; readonly streams: readonly LogPart[] }
  | {
      readonly code: "log-stream-missing";
      readonly wanted: string;
      readonly column: string | null;
      readonly streams: readonly string[];
      readonly for?: AnswerScope;
    }
  | {
      readonly code: "log-column-missing";
      readonly key: string;
      readonly wanted: string;
      readonly columns: readonly string[];
    }
  | {
      readonly code: "log-column-twice";
      readonly key: string;
      readonly wanted: string;
      readonly positions: readonly number[];
    }
  | { readonly code: "log-restarted"; readonly segments: readonly LogPart[]; readonly for?: AnswerScope }
  | { readonly code: "log-segment-missing"; readonly wanted: number; readonly segments: number }
  | {
      readonly code: "log-rows-lost";
      readonly reason: string;
      readonly rows: number;
      readonly column: string;
      readonly found: string;
    }
  | { readonly code: "log-row-cut-off" }
  | { readonly code: "log-changed" }
  | { readonly code: "log-encoding-guessed"; readonly encoding: string }
  | { readonly code: "sensor-log-unusable"; readonly why: string }
  | { readonly code: "sensor-log-elsewhere" }
  | { readonly code: "sensor-clock-aligned" }
  | {
      readonly code: "sensor-missing";
      readonly role: string;
      readonly wanted: string;
      readonly columns: readonly string[];
    }
  | { readonly code: "sensor-unclear"; readonly role: string; readonly columns: readonly string[] };

/** What can be wrong with a layout pattern; `offset` counts characters of the pattern from 0. */
export type LayoutFault = { readonly offset: number } & (
  | { readonly reason: "unknown-placeholder"; readonly name: string; readonly nearest: string | null }
  | { readonly reason: "placeholder-twice"; readonly name: string }
  | { readonly reason: "placeholder-missing"; readonly names: readonly string[] }
  | { readonly reason: "placeholders-touch"; readonly names: readonly [string, string] }
  | { readonly reason: "brace-alone"; readonly brace: "{" | "}" }
  | { readonly reason: "part-empty" }
  | { readonly reason: "part-dots"; readonly part: string }
  | { readonly reason: "backslash" }
  | { readonly reason: "extension"; readonly extension: string }
);

/** One way to read a log's path. */
interface PathReading {
  readonly game: string;
  readonly config: string;
  readonly pass: string;
  readonly boot: string | null;
}

/** One arrangement of a folder's logs, and what it makes of them. */
export interface LayoutOffer {
  readonly pattern: string;
  readonly games: readonly string[];
  readonly configs: readonly string[];
  readonly passes: number;
  /** The pattern takes the names apart only where games and configs are named as well. */
  readonly needsNames: boolean;
}

/** What a key of a YAML file takes; report/describe-session-problem.ts says it in words. */
export type ValueKind =
  | "text"
  | "reason"
  | "texts"
  | "list"
  | "mapping"
  | "percent"
  | "confidence"
  | "duration"
  | "offset"
  | "keep"
  | "count"
  | "rate"
  | "pass"
  | "change"
  | "margin"
  | "figure"
  | "order";

/** Part of a YAML file, as keys and positions (counted from 0) from the top; [] is the whole file. */
export type KeyPath = readonly (string | number)[];

/** What stands where a value was expected: its text as written, or its kind. */
export type ValueSeen =
  | { readonly kind: "scalar"; readonly text: string }
  | { readonly kind: "mapping" | "list" | "nothing" };

/** What can be wrong in a session file, and between it and the captures. */
export type SessionFinding =
  | { readonly code: "session-missing" }
  | { readonly code: "session-not-utf8" }
  | { readonly code: "yaml-too-long"; readonly characters: number; readonly most: number }
  | { readonly code: "yaml-too-deep"; readonly most: number }
  /** `rule` and `why` are the YAML reader's own code and sentence. */
  | { readonly code: "yaml-broken"; readonly rule: string; readonly why: string }
  | { readonly code: "yaml-aliases"; readonly most: number }
  | { readonly code: "yaml-alias-unknown"; readonly alias: string }
  | { readonly code: "key-not-text" }
  | { readonly code: "key-twice"; readonly key: string; readonly firstLine: number }
  | {
      readonly code: "key-unknown";
      readonly in: KeyPath;
      readonly key: string;
      readonly nearest: string | null;
      readonly keys: readonly string[];
      /** Places where this very key would be right, each from the top of the file. */
      readonly elsewhere: readonly (readonly string[])[];
    }
  | { readonly code: "key-missing"; readonly in: KeyPath; readonly key: string }
  | {
      readonly code: "value-wrong";
      readonly path: KeyPath;
      readonly seen: ValueSeen;
      readonly expected: ValueKind | { readonly oneOf: readonly string[]; readonly nearest: string | null };
    }
  | { readonly code: "percent-unclear"; readonly path: KeyPath; readonly readings: readonly [string, string] }
  | { readonly code: "layout-wrong"; readonly pattern: string; readonly fault: LayoutFault }
  | {
      /** The likelier reading first. */
      readonly code: "layout-in-doubt";
      readonly readings: readonly LayoutOffer[];
    }
  | { readonly code: "layout-no-match"; readonly pattern: string; readonly path: string }
  | {
      readonly code: "layout-unclear";
      readonly pattern: string;
      readonly path: string;
      /** At most four of them. */
      readonly readings: readonly PathReading[];
      readonly more: boolean;
    }
  | {
      /** `log: for:` names neither a game nor a config of one nor a pass. */
      readonly code: "session-log-unknown";
      readonly name: string;
      readonly nearest: string | null;
    }
  | { readonly code: "set-aside-unknown"; readonly pass: string; readonly nearest: string | null }
  | { readonly code: "set-aside-unclear"; readonly pass: string; readonly passes: readonly string[] }
  | {
      readonly code: "session-baseline-unknown";
      readonly baseline: string;
      /** A game is called so: the layout may take one for the other. */
      readonly isGame: boolean;
      readonly layout: string;
      readonly nearest: string | null;
      readonly configs: readonly string[];
    }
  | {
      /** Names that differ in capitals or in what parts their words. */
      readonly code: "names-alike";
      readonly kind: "game" | "config";
      readonly names: readonly string[];
    }
  | { readonly code: "game-not-captured"; readonly game: string; readonly nearest: string | null }
  | { readonly code: "config-not-captured"; readonly config: string; readonly nearest: string | null };

/** What can be wrong with a script, a claim, or the saved judgement it is held against. */
export type ScriptFinding =
  | { readonly code: "script-missing" }
  | { readonly code: "script-is-folder" }
  | { readonly code: "script-empty" }
  | { readonly code: "script-not-utf8" }
  | { readonly code: "script-too-long"; readonly characters: number; readonly most: number }
  | { readonly code: "script-without-claims" }
  | { readonly code: "claim-unclosed" }
  | { readonly code: "claim-misspelt"; readonly word: string }
  | { readonly code: "claim-without-sentence" }
  | { readonly code: "claim-scope"; readonly given: readonly string[] }
  | { readonly code: "claim-says-nothing"; readonly keys: readonly string[] }
  /** `why` is one of the rules that keys of a claim obey. */
  | { readonly code: "claim-clash"; readonly keys: readonly [string, string]; readonly why: ClaimClash }
  | {
      readonly code: "claim-name-unknown";
      readonly kind: "game" | "config" | "tag";
      readonly name: string;
      readonly nearest: string | null;
      readonly names: readonly string[];
    }
  | { readonly code: "claim-against-itself"; readonly config: string; readonly isBaseline: boolean }
  | { readonly code: "claim-order-twice"; readonly config: string }
  | { readonly code: "claim-no-data"; readonly of: string; readonly metric: string }
  | { readonly code: "claim-needs-captures"; readonly against: string; readonly baseline: string }
  | { readonly code: "claim-contradicts"; readonly file: string; readonly line: number }
  | { readonly code: "judgement-missing" }
  | { readonly code: "judgement-unreadable"; readonly path: KeyPath }
  | { readonly code: "judgement-fixed"; readonly option: string }
  | { readonly code: "judgement-origin-unknown" }
  | { readonly code: "judgement-captures-gone"; readonly folder: string }
  | {
      readonly code: "judgement-stale";
      readonly changed: readonly string[];
      readonly missing: readonly string[];
      readonly added: readonly string[];
    }
  | { readonly code: "judgement-settings-changed"; readonly session: string }
  | { readonly code: "judgement-version"; readonly made: string; readonly now: string };

/** Why two keys of one claim do not go together. */
export type ClaimClash =
  | "alone"
  | "needs-game"
  | "needs-figure"
  | "one-figure"
  | "directions-differ"
  | "needs-direction"
  | "not-compared"
  | "units-differ";

/** What a picture asks for and does not find. */
export type PictureFinding =
  /** `missing` is a metric, or the tags of the games. */
  | { readonly code: "picture-needs"; readonly picture: string; readonly missing: string }
  | { readonly code: "picture-letters-missing"; readonly letters: readonly string[] }
  | { readonly code: "picture-goes-on"; readonly page: number; readonly pages: number }
  | { readonly code: "picture-one-game"; readonly picture: string; readonly games: readonly string[] };

/** What stands in the way of a plan or its run sheet. */
export type PlanFinding =
  | { readonly code: "plan-options-clash"; readonly options: readonly [string, string]; readonly why: string }
  | { readonly code: "plan-option-alone"; readonly option: string; readonly needs: string }
  | { readonly code: "plan-names-missing"; readonly kind: "games" | "configs" }
  | { readonly code: "plan-name-twice"; readonly kind: "game" | "config"; readonly name: string }
  | { readonly code: "plan-noise-missing"; readonly metrics: readonly string[] }
  /** `passes` is the most that a cell of the pilot has. */
  | { readonly code: "plan-noise-unknown"; readonly passes: number }
  | {
      readonly code: "plan-time-too-short";
      readonly minutes: number;
      readonly leastMinutes: number;
      readonly captures: number;
      readonly leastPasses: number;
    }
  | { readonly code: "plan-name-unusable"; readonly kind: "game" | "config"; readonly name: string }
  | { readonly code: "plan-files-collide"; readonly passes: readonly [string, string] }
  | { readonly code: "plan-file-unclear"; readonly layout: string };

export type Finding =
  | FolderFinding
  | RequestFinding
  | LogFinding
  | SessionFinding
  | ScriptFinding
  | PictureFinding
  | PlanFinding;

export type Problem = { readonly severity: Severity; readonly at: Place } & Finding;

/** What was asked cannot be done. The CLI prints the problems and exits with 2. */
export class RunError extends Error {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(problems.map((problem) => problem.code).join(", "));
    this.name = "RunError";
    this.problems = problems;
  }
}

/** A finding that ends the run; `file` is "" where it concerns none. */
export function refusal(finding: Finding, file = ""): RunError {
  return new RunError([{ ...finding, severity: "error", at: { file } }]);
}

/** The value of an option will not do. */
export function badOption(option: string, value: string, expected: string): RunError {
  return refusal({ code: "bad-option", option, value, expected });
}
