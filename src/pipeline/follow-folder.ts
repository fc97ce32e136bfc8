import { availableParallelism } from "node:os";
import path from "node:path";
import { setImmediate as nextTurn } from "node:timers/promises";
import {
  endFollowing,
  type FollowEvent,
  follow,
  type Happening,
  type ReadCapture,
  startFollowing,
} from "../judge/follow-session.ts";
import type { PassCosts } from "../judge/next-pass.ts";
import type { Standing, StandingSettings } from "../judge/session-standing.ts";
import { defaultStopRule, type StopRule } from "../judge/stop-rule.ts";
import { type FoundLog, kindOfPath, readTextFile } from "../read/files.ts";
import { scopeQuestions } from "../read/scope-questions.ts";
import type { Session } from "../read/session-file.ts";
import { FileSettler } from "../read/settle-files.ts";
import { WatchedLogs } from "../read/watched-logs.ts";
import type { Metric } from "../shared/metrics.ts";
import { type Problem, RunError } from "../shared/problem.ts";
import type { FolderOptions, Hooks } from "./folder-options.ts";
import { askedOf } from "./judge-folder.ts";
import { jobOf, type MeasureSettings } from "./measure-job.ts";
import { measureLogs } from "./measure-logs.ts";
import { readSessionOf } from "./open-session.ts";
import { requireCacheFolder } from "./pass-cache.ts";
import { placeIn } from "./place-logs.ts";

export interface FollowOptions extends Omit<FolderOptions, "only"> {
  /** Metrics that are to be settled; average FPS and 1% low where not given. */
  readonly metrics?: readonly Metric[];
  readonly rule?: Partial<StopRule>;
  readonly costs?: Partial<PassCosts>;
  /** A log that has not been written for this many seconds is whole; 1 where not given. */
  readonly settleS?: number;
  /** Seconds between looks at the whole folder, for places that tell no events; 2 where not given. */
  readonly pollS?: number;
}

/** What a follower is shown: what has happened, and where the session stands. */
export interface FollowUpdate {
  readonly happenings: readonly Happening[];
  readonly standing: Standing;
  /** Logs that are there but may not be whole yet. */
  readonly growing: readonly string[];
}

export interface FollowHooks extends Hooks {
  readonly onUpdate: (update: FollowUpdate) => void;
  /** Ends following. */
  readonly signal: AbortSignal;
}

/** Read before anything else is heeded: the end shall not wait for thousands of logs. */
const mostAtOnce = { logs: 1000, bytes: 64e6 };

/** Problems of a log that is made before a capture and filled after it. */
const emptyCodes: ReadonlySet<Problem["code"]> = new Set(["log-empty", "log-without-rows", "log-no-table"]);

/**
 * Watches a folder of captures, and tells after each what it is worth, where the session stands and what to capture
 * next. Nothing in the folder is changed. A log is read when it is whole, and again only when it is written again.
 * @returns where the session stands when `signal` ends it
 * @throws RunError if there is no such folder, or its session file cannot be used at the start
 */
export async function followFolder(
  folder: string,
  options: FollowOptions,
  hooks: FollowHooks,
): Promise<FollowUpdate> {
  const settleMs = 1000 * (options.settleS ?? 1);
  const logs = new WatchedLogs(folder, { settleMs, pollMs: 1000 * (options.pollS ?? 2) });
  const session = new SessionInUse(folder, options.sessionFile, settleMs);
  const wake = (): void => logs.wake();
  hooks.signal.addEventListener("abort", wake);
  try {
    await requireCacheFolder(options.cacheFolder ?? null);
    const there = await logs.open();
    await session.open();
    const captures = await readCaptures(there, session.now, options, hooks);
    // Where the end has come meanwhile fewer are read, which then makes no difference.
    for (const log of there) logs.markRead(log);
    let { state, happenings } = startFollowing(captures, standingSettings(session.now, options));
    const tell = (step: readonly Happening[]): void =>
      hooks.onUpdate({ happenings: step, standing: state.standing, growing: logs.growing() });
    tell(happenings);
    while (!hooks.signal.aborted) {
      await logs.wait(session.dueMs());
      if (hooks.signal.aborted) break;
      const events = [
        ...(await takeSession(session, logs, options, hooks)),
        ...(await takeLogs(session.now, logs, options, hooks)),
      ];
      if (events.length > 0) ({ state, happenings } = follow(state, events));
      else happenings = [];
      tell(happenings);
    }
    happenings = [endFollowing(state, logs.growing())];
    tell(happenings);
    return { happenings, standing: state.standing, growing: logs.growing() };
  } finally {
    hooks.signal.removeEventListener("abort", wake);
    logs.close();
  }
}

/** Logs that have become whole or have gone. */
async function takeLogs(
  session: Session,
  logs: WatchedLogs,
  options: FollowOptions,
  hooks: FollowHooks,
): Promise<FollowEvent[]> {
  const { whole, gone, isThere } = await logs.take();
  const events: FollowEvent[] = gone.map((file) => ({ kind: "gone", file }));
  if (isThere !== null) events.push({ kind: "folder", isThere });
  const captures = await readCaptures(whole, session, options, { signal: hooks.signal });
  for (const [i, capture] of captures.entries()) {
    const log = whole[i] as FoundLog;
    const before = logs.lastRead(capture.file);
    // What was written while it was read is read when it is whole.
    if (!(await logs.isAsFound(log))) continue;
    if (capture.summary === null && capture.problems.some(({ code }) => emptyCodes.has(code))) {
      logs.markEmpty(log);
      continue;
    }
    logs.markRead(log);
    const hasNewSensors = before?.sensorSource === null && log.sensorSource !== null;
    const again = before === null ? null : hasNewSensors ? "sensors" : "rewritten";
    events.push({ kind: "read", capture, again });
  }
  return events;
}

/** A session file that was edited. Where it reads logs otherwise, all of them are read again. */
async function takeSession(
  session: SessionInUse,
  logs: WatchedLogs,
  options: FollowOptions,
  hooks: FollowHooks,
): Promise<FollowEvent[]> {
  const readingBefore = readingOf(session.now, options);
  const problems = await session.take();
  if (problems === null) return [];
  if (problems.length > 0) return [{ kind: "session-unusable", problems }];
  const isReadAlike = readingBefore === readingOf(session.now, options);
  const captures = isReadAlike ? null : await readCaptures(logs.allRead(), session.now, options, hooks);
  return [{ kind: "session", settings: standingSettings(session.now, options), captures }];
}

/** Everything in a session that changes what a log is read as. */
function readingOf(session: Session, options: FollowOptions): string {
  const { layout, games, configs } = session;
  const names = [...games, ...configs].map(({ name }) => name);
  return JSON.stringify([measureSettings(session, options), session.logFor, layout.pattern, names]);
}

function measureSettings(session: Session, options: FollowOptions): MeasureSettings {
  return {
    log: session.log,
    lows: options.lows ?? session.lows,
    trim: session.trim,
    cacheFolder: options.cacheFolder ?? null,
    isDigested: false,
  };
}

function standingSettings(session: Session, options: FollowOptions): StandingSettings {
  return {
    baseline: options.baseline?.normalize("NFC") ?? session.baseline?.name ?? null,
    ...askedOf(session, options),
    games: session.games.map(({ name }) => name),
    configs: session.configs.map(({ name }) => name),
    metrics: options.metrics ?? ["avgFps", "low1Fps"],
    rule: { ...defaultStopRule, ...options.rule },
    costs: { passMinutes: null, switchMinutes: 0, ...options.costs },
  };
}

/** Reads and measures logs, in their order; fewer come back where `signal` ends it. */
async function readCaptures(
  logs: readonly FoundLog[],
  session: Session,
  options: FollowOptions,
  { signal, onProgress }: Pick<FollowHooks, "signal" | "onProgress">,
): Promise<ReadCapture[]> {
  const settings = measureSettings(session, options);
  const captures: ReadCapture[] = [];
  if (logs.length > 0) onProgress?.({ done: 0, total: logs.length, file: "" });
  for (let first = 0; first < logs.length && !signal.aborted; first = captures.length) {
    const placed = nextPart(logs, first).map((log) => ({ log, ...placeIn(session, log.parts) }));
    const jobs = placed.flatMap(({ log, place }) => (place === null ? [] : [jobOf(log, place, session)]));
    const measured = await measureLogs(
      jobs,
      settings,
      options.threads ?? availableParallelism(),
      (done, file) => onProgress?.({ done: first + done, total: logs.length, file }),
    );
    let next = 0;
    for (const { log, place, finding } of placed) {
      const { file } = log.source;
      if (place === null) {
        captures.push({ file, summary: null, problems: [{ ...finding, severity: "error", at: { file } }] });
        continue;
      }
      const { summary, problems: told } = measured[next++] as (typeof measured)[number];
      const problems = scopeQuestions(told, new Map([[file, place]]));
      const dated = summary === null ? null : { ...summary, writtenAtMs: log.writtenAtMs };
      captures.push({ file, summary: dated, problems });
    }
    // Keys and signals come in between.
    await nextTurn();
  }
  return captures;
}

function nextPart(logs: readonly FoundLog[], first: number): FoundLog[] {
  const part: FoundLog[] = [];
  let bytes = 0;
  for (const log of logs.slice(first, first + mostAtOnce.logs)) {
    part.push(log);
    bytes += log.bytes;
    if (bytes >= mostAtOnce.bytes) break;
  }
  return part;
}

/** The session file, read again when it has been edited and has not been written for a while. */
class SessionInUse {
  readonly #folder: string;
  readonly #given: string | undefined;
  readonly #file: string;
  readonly #settler: FileSettler;
  #session: Session | null = null;

  constructor(folder: string, given: string | undefined, settleMs: number) {
    this.#folder = folder;
    this.#given = given;
    this.#file = given ?? path.join(folder, "session.yaml");
    this.#settler = new FileSettler({ settleMs, patienceMs: settleMs });
  }

  /** The session as it was last usable. */
  get now(): Session {
    return this.#session as Session;
  }

  async open(): Promise<void> {
    this.#session = await readSessionOf(this.#folder, this.#given);
    await this.#look();
    this.#settler.take(this.#file);
  }

  dueMs(): number {
    return this.#settler.nextDueMs();
  }

  /** null where nothing was edited; else why it cannot be used, which is nothing where it can. */
  async take(): Promise<readonly Problem[] | null> {
    await this.#look();
    if (this.#settler.due(Date.now()).length === 0) return null;
    this.#settler.take(this.#file);
    try {
      this.#session = await readSessionOf(this.#folder, this.#given);
      return [];
    } catch (error) {
      if (error instanceof RunError) return error.problems;
      throw error;
    }
  }

  async #look(): Promise<void> {
    // No file is a session as well, and one that cannot be read is none that can be used: each has its own version.
    const version = await readTextFile(this.#file).then(
      (text) => (text === null ? "none" : `text ${text}`),
      () => "unreadable",
    );
    // One that is away with its folder has not been edited.
    if ((await kindOfPath(path.dirname(this.#file))) === null) return;
    this.#settler.look(this.#file, version, Date.now());
  }
}
