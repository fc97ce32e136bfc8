import type { LogSettings } from "./log.ts";

/** A game or a config as found in the paths. */
export interface FoundName {
  readonly name: string;
  readonly passes: number;
}

/** Where a log can be read in several ways, and what each of them would mean. */
export interface LogQuestion {
  readonly file: string;
  /** What is in doubt, in one sentence. */
  readonly question: string;
  readonly answers: readonly {
    readonly settings: LogSettings;
    readonly meaning: string;
    /** The game, game/config or pass whose logs it is right for; left out for all. */
    readonly scope?: string;
  }[];
}

/** What `runjury init` found out about a folder. All texts are untrusted. */
export interface SessionFound {
  readonly title: string | null;
  /** A pattern that parseLayout takes. */
  readonly layout: string;
  /** "told": by how the logs are named; "unclear": nothing tells, so it is the usual one. */
  readonly layoutIs: "usual" | "told" | "unclear";
  /** "named": by a name such as stock; "told": by whoever asked for the file. */
  readonly baseline: { readonly name: string; readonly because: "named" | "told" } | null;
  readonly games: readonly FoundName[];
  readonly configs: readonly FoundName[];
  /** What is settled about the logs; {} for ordinary ones. */
  readonly log: LogSettings;
  /** What is not. */
  readonly questions: readonly LogQuestion[];
}
