import type { LowsDefinition } from "../shared/lows-definition.ts";

/** How logs are read, beside what the session file says; what is given here wins. */
export interface ReadingOptions {
  /** Path of the session file; without it, session.yaml in the folder if there is one. */
  readonly sessionFile?: string;
  readonly lows?: LowsDefinition;
}

/** How a whole folder is read and measured. */
export interface MeasureOptions extends ReadingOptions {
  /** Most threads to read logs on; without it, as many as the machine has cores. 1 reads all in this one. */
  readonly threads?: number;
  /** Folder in which what was measured is kept from one run to the next; without it, nothing is kept. */
  readonly cacheFolder?: string | null;
}

/** What may be asked of the judgement of a folder. */
export interface FolderOptions extends MeasureOptions {
  readonly baseline?: string;
  /** The smallest difference worth telling, in percent. */
  readonly mattersPct?: number;
  /** Confidence of the intervals, in percent. */
  readonly confidencePct?: number;
  /** Set nothing aside. */
  readonly keepAll?: boolean;
  /** Show only these games and configs; the conclusions stay those of the whole session. */
  readonly only?: readonly string[];
}

export interface Hooks {
  /** Called with the logs and sensor logs that will be read, before any is; what it throws ends the work. */
  readonly onLogs?: (files: readonly string[]) => void;
  /** Called before the first log is read and after each. */
  readonly onProgress?: (progress: {
    readonly done: number;
    readonly total: number;
    readonly file: string;
  }) => void;
}
