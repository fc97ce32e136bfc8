import type { LowsDefinition } from "../measure/pass-summary.ts";

/** What may be asked of a folder beside what its session file says; what is given here wins. */
export interface FolderOptions {
  /** Path of the session file; without it, session.yaml in the folder if there is one. */
  readonly sessionFile?: string;
  readonly baseline?: string;
  readonly lows?: LowsDefinition;
  /** The smallest difference worth telling, in percent. */
  readonly mattersPct?: number;
  readonly confidencePct?: number;
  /** Set nothing aside. */
  readonly keepAll?: boolean;
  /** Most threads to read logs on; without it, as many as the machine has cores. 1 reads all in this one. */
  readonly threads?: number;
  /** Folder in which what was measured is kept from one run to the next; without it, nothing is kept. */
  readonly cacheFolder?: string | null;
  /** Show only these games and configs; the conclusions stay those of the whole session. */
  readonly only?: readonly string[];
  /** Keeps of every pass what pictures of its frames need, its trace thinned to so many buckets. */
  readonly traceBuckets?: number;
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
