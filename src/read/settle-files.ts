export interface SettleOptions {
  /** A file that has not changed for this long, and ends as a log ends, is whole. */
  readonly settleMs: number;
  /** A file that has not changed for this long is taken whatever its end. */
  readonly patienceMs: number;
}

interface WatchedFile {
  /** Changes whenever the file is written. */
  readonly version: string;
  /** When this version was first seen. */
  readonly sinceMs: number;
  /** When to look again. */
  dueMs: number;
  /** The version that was taken last; null for none. */
  taken: string | null;
}

/**
 * Decides when a file that is being watched is whole. It knows neither files nor a clock: what was seen and when comes
 * in, so that every course of events can be tried.
 */
export class FileSettler {
  readonly #options: SettleOptions;
  readonly #files = new Map<string, WatchedFile>();
  /** Files whose present version is not taken. */
  readonly #pending = new Set<string>();

  constructor(options: SettleOptions) {
    this.#options = options;
  }

  /**
   * Notes what a look at a file found.
   * @param version null where there is no such file
   */
  look(file: string, version: string | null, nowMs: number): void {
    const watched = this.#files.get(file);
    if (version === null) {
      this.#files.delete(file);
      this.#pending.delete(file);
    } else if (watched?.version !== version) {
      const taken = watched?.taken ?? null;
      this.#files.set(file, { version, sinceMs: nowMs, dueMs: nowMs + this.#options.settleMs, taken });
      if (taken === version) this.#pending.delete(file);
      else this.#pending.add(file);
    }
  }

  /** Files that have been still for long enough; each is then taken or postponed. */
  due(nowMs: number): string[] {
    return [...this.#pending].filter((file) => (this.#files.get(file) as WatchedFile).dueMs <= nowMs);
  }

  /** Whether a file's end may be overlooked by now. */
  isPatienceOver(file: string, nowMs: number): boolean {
    const watched = this.#files.get(file);
    return watched !== undefined && nowMs - watched.sinceMs >= this.#options.patienceMs;
  }

  /** The file does not end as a log ends, or holds nothing yet: it is due again after a while. */
  postpone(file: string, nowMs: number): void {
    const watched = this.#files.get(file);
    if (watched !== undefined) watched.dueMs = nowMs + this.#options.settleMs;
  }

  /** The file's present version has been read. */
  take(file: string): void {
    const watched = this.#files.get(file);
    if (watched === undefined) return;
    watched.taken = watched.version;
    this.#pending.delete(file);
  }

  /** When the next file may be whole; Infinity where none is growing. */
  nextDueMs(): number {
    let next = Number.POSITIVE_INFINITY;
    for (const file of this.#pending) next = Math.min(next, (this.#files.get(file) as WatchedFile).dueMs);
    return next;
  }

  /** Files whose present version is not taken. */
  pending(): string[] {
    return [...this.#pending];
  }
}
