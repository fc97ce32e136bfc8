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
  | { readonly code: "not-a-file"; readonly kind: "folder" | "other" }
  | { readonly code: "link-loop" };

/** What can be wrong with what was asked. */
type RequestFinding =
  | { readonly code: "baseline-unknown"; readonly baseline: string; readonly configs: readonly string[] }
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
  | { readonly code: "cannot-write"; readonly why: string };

/** What can be wrong inside one log; the pass is left out where the severity is "error". */
type LogFinding = { readonly code: "log-empty" } | { readonly code: "log-without-rows" };

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
  | "pass";

/** Part of a YAML file, as keys and positions (counted from 0) from the top; [] is the whole file. */
export type KeyPath = readonly (string | number)[];

/** What stands where a value was expected: its text as written, or its kind. */
export type ValueSeen =
  | { readonly kind: "scalar"; readonly text: string }
  | { readonly kind: "mapping" | "list" | "nothing" };

/** What can be wrong in a session file, and between it and the captures. */
export type SessionFinding =
  | { readonly code: "session-missing" }
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
  | { readonly code: "layout-no-match"; readonly pattern: string; readonly path: string }
  | {
      readonly code: "layout-unclear";
      readonly pattern: string;
      readonly path: string;
      /** At most four of them. */
      readonly readings: readonly PathReading[];
      readonly more: boolean;
    }
  | { readonly code: "set-aside-unknown"; readonly pass: string; readonly nearest: string | null }
  | { readonly code: "set-aside-unclear"; readonly pass: string; readonly passes: readonly string[] }
  | {
      readonly code: "session-baseline-unknown";
      readonly baseline: string;
      readonly nearest: string | null;
      readonly configs: readonly string[];
    }
  | { readonly code: "game-not-captured"; readonly game: string; readonly nearest: string | null }
  | { readonly code: "config-not-captured"; readonly config: string; readonly nearest: string | null };

export type Finding = FolderFinding | RequestFinding | LogFinding | SessionFinding;

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
