import { type FoundLog, findLog, findLogs, sensorStem } from "./files.ts";
import { withoutLogExtension } from "./layout.ts";
import { FileSettler } from "./settle-files.ts";
import { FolderWatcher, hasWholeEnd } from "./watch-files.ts";

export interface WatchOptions {
  /** A log that has not been written for this long is whole. */
  readonly settleMs: number;
  /** Time between looks at the whole folder, for places that tell no events. */
  readonly pollMs: number;
  /** False asks the system for no events and only looks; true where not given. */
  readonly hasEvents?: boolean;
}

/** What has changed in a folder that is watched. */
export interface Changes {
  /** Logs that are whole now, each named once per time it is written. */
  readonly whole: readonly FoundLog[];
  readonly gone: readonly string[];
  /** Whether the folder can be looked at, where that has changed; null where it has not. */
  readonly isThere: boolean | null;
}

/** Looks at the whole folder take at most one part in this of the time: a bench must not be disturbed. */
const lookShare = 20;
/** After an event others usually follow. */
const gatherMs = 50;
/** A log whose last row has no end is waited for this many times longer: some programs never write one. */
const patience = 10;

/**
 * The logs of a folder while they appear: by events where the system tells any, and by looking now and then in any case.
 * Times are this machine's; those of files are only compared with each other, since a share may keep another time.
 */
export class WatchedLogs {
  readonly #folder: string;
  readonly #options: WatchOptions;
  readonly #watcher = new FolderWatcher();
  readonly #settler: FileSettler;
  readonly #found = new Map<string, FoundLog>();
  /** Logs as they were when they were last read. */
  readonly #read = new Map<string, FoundLog>();
  /** Logs that were read and are gone, and have not been named yet. */
  #gone: string[] = [];
  /** Whether the folder could be looked at last, and whether that has changed and has not been told yet. */
  #isThere = true;
  #isNews = false;
  #nextLookMs = 0;
  #soonestLookMs = 0;

  constructor(folder: string, options: WatchOptions) {
    this.#folder = folder;
    this.#options = options;
    const { settleMs } = options;
    this.#settler = new FileSettler({ settleMs, patienceMs: patience * settleMs });
  }

  /**
   * Starts watching.
   * @returns the logs that are there and have not been written for a while; the others come later
   * @throws RunError if the folder cannot be read
   */
  async open(): Promise<FoundLog[]> {
    await this.#lookAround();
    const nowMs = Date.now();
    return [...this.#found.values()].filter(
      ({ writtenAtMs }) => nowMs - writtenAtMs >= this.#options.settleMs,
    );
  }

  /** Sleeps until something may have changed, or until a time at the latest. */
  async wait(untilMs: number): Promise<void> {
    const dueMs = Math.min(untilMs, this.#nextLookMs, this.#settler.nextDueMs());
    await this.#watcher.sleep(dueMs - Date.now());
    await new Promise((resolve) => setTimeout(resolve, gatherMs));
  }

  /** What has changed since it was asked last. */
  async take(): Promise<Changes> {
    const touched = this.#watcher.take();
    if (touched.hasOther) this.#nextLookMs = Math.min(this.#nextLookMs, this.#soonestLookMs);
    if (Date.now() >= this.#nextLookMs) await this.#lookAgain();
    for (const file of new Set([...this.#logsOf(touched.files), ...this.#settler.due(Date.now())])) {
      await this.#lookAt(file);
    }
    const whole: FoundLog[] = [];
    for (const file of this.#settler.due(Date.now())) {
      const log = this.#found.get(file);
      if (log === undefined) continue;
      const parts = [file, ...(log.sensorSource === null ? [] : [log.sensorSource.file])];
      const isWhole =
        this.#settler.isPatienceOver(file, Date.now()) ||
        (await Promise.all(parts.map(hasWholeEnd))).every(Boolean);
      if (isWhole) whole.push(log);
      else this.#settler.postpone(file, Date.now());
    }
    const gone = this.#gone;
    const isThere = this.#isNews ? this.#isThere : null;
    this.#gone = [];
    this.#isNews = false;
    return { whole, gone, isThere };
  }

  /** A log was read: it is not named again until it is written again. */
  markRead(log: FoundLog): void {
    const { file } = log.source;
    this.#read.set(file, log);
    if (this.#found.get(file)?.version === log.version) this.#settler.take(file);
  }

  /** A log holds nothing to read yet, such as one that is made before a capture and filled after it. */
  markEmpty({ source }: FoundLog): void {
    this.#settler.postpone(source.file, Date.now());
  }

  /** Whether a log is still as it was found. */
  async isAsFound({ source, version }: FoundLog): Promise<boolean> {
    await this.#lookAt(source.file);
    return this.#found.get(source.file)?.version === version;
  }

  /** A log as it was when it was last read; null if it was not, or has been away since. */
  lastRead(file: string): FoundLog | null {
    return this.#read.get(file) ?? null;
  }

  /** Logs that have been read, as they were then. */
  allRead(): FoundLog[] {
    return [...this.#read.values()];
  }

  /** Logs that are there but are not whole yet, as far as is known. */
  growing(): string[] {
    return this.#settler.pending();
  }

  /** Ends the present wait. */
  wake(): void {
    this.#watcher.wake();
  }

  close(): void {
    this.#watcher.close();
  }

  async #lookAround(): Promise<void> {
    const startedMs = Date.now();
    const { logs, folders } = await findLogs(this.#folder);
    if (this.#options.hasEvents !== false) this.#watcher.watch(folders);
    const there = new Set(logs.map(({ source }) => source.file));
    // Seen in one look, whole at one moment: logs that came together are told of together.
    const seenMs = Date.now();
    for (const log of logs) this.#note(log, seenMs);
    for (const file of [...this.#found.keys()]) if (!there.has(file)) this.#forget(file);
    this.#lookLater(Date.now() - startedMs);
  }

  /** A disk may be unplugged for a while, or a share be out of reach: its logs are not gone. */
  async #lookAgain(): Promise<void> {
    const wasThere = this.#isThere;
    try {
      await this.#lookAround();
      this.#isThere = true;
    } catch {
      this.#lookLater(0);
      this.#isThere = false;
    }
    this.#isNews = this.#isThere !== wasThere;
  }

  #lookLater(tookMs: number): void {
    this.#soonestLookMs = Date.now() + lookShare * tookMs;
    this.#nextLookMs = Math.max(this.#soonestLookMs, Date.now() + this.#options.pollMs);
  }

  async #lookAt(file: string): Promise<void> {
    const log = await findLog(file);
    if (log === null) this.#forget(file);
    else this.#note(log, Date.now());
  }

  #note(log: FoundLog, seenMs: number): void {
    this.#found.set(log.source.file, log);
    this.#settler.look(log.source.file, log.version, seenMs);
  }

  #forget(file: string): void {
    this.#found.delete(file);
    this.#settler.look(file, null, Date.now());
    if (this.#read.delete(file)) this.#gone.push(file);
  }

  /** Logs that events speak of; a sensor log stands for the log it lies beside. */
  #logsOf(files: readonly string[]): string[] {
    return files.flatMap((file) => {
      const stem = sensorStem(file);
      if (stem === null) return [file];
      return [...this.#found.keys()].filter((log) => withoutLogExtension(log) === stem);
    });
  }
}
