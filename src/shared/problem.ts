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
  | { readonly code: "bad-option"; readonly option: string; readonly value: string; readonly expected: string }
  | { readonly code: "cannot-write"; readonly why: string };

/** What can be wrong inside one log; the pass is left out where the severity is "error". */
type LogFinding = { readonly code: "log-empty" } | { readonly code: "log-without-rows" };

/** What can be wrong in a session file. */
type SessionFinding = { readonly code: "session-missing" };

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
