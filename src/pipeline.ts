import { availableParallelism } from "node:os";
import path from "node:path";
import { chooseBaseline, guessBaseline } from "./judge/choose-baseline.ts";
import { filterJudgement, filterPasses } from "./judge/filter-judgement.ts";
import type { JudgedPass, Judgement, JudgeSettings, Origin } from "./judge/judgement.ts";
import { compareLogs, type Inspection, inspectLog, type LogComparison } from "./measure/inspect-log.ts";
import type { LowsDefinition, PassKey, PassSummary } from "./measure/pass-summary.ts";
import type { PictureFrames } from "./measure/picture-frames.ts";
import { measureLogs } from "./measure-logs.ts";
import { askQuestion } from "./read/ask-question.ts";
import { checkSession } from "./read/check-session.ts";
import { defaultSession } from "./read/default-session.ts";
import {
  digestFile,
  digestText,
  type FoundLog,
  type FoundLogs,
  fileSource,
  findLogs,
  findSensorSource,
  findSessionFolder,
  kindOfPath,
  readTextFile,
  requireFile,
} from "./read/files.ts";
import { guessLayout } from "./read/guess-layout.ts";
import { type PassPlace, type PathCap, placeLog } from "./read/layout.ts";
import { readLog } from "./read/read-log.ts";
import type { Session } from "./read/session-file.ts";
import type { SessionFound } from "./read/session-found.ts";
import { compareNames } from "./shared/compare-names.ts";
import { type Problem, RunError } from "./shared/problem.ts";
import { version } from "./version.ts";

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

/** Every capture of a folder as numbers, with what its session says. */
interface MeasuredFolder {
  readonly session: Session;
  readonly made: Origin;
  readonly passes: readonly PassSummary[];
  /** Configs that are another one under a frame cap, as paths tell by {cap}. */
  readonly pathCaps: ReadonlyMap<string, PathCap>;
  /** Of each pass that was read, by its file; empty where no picture is wanted. */
  readonly frames: ReadonlyMap<string, PictureFrames>;
  /** Logs that were left out, as the user would type them. */
  readonly notRead: readonly string[];
  readonly problems: readonly Problem[];
}

/**
 * Judges a folder of captures: finds the logs, reads and measures each, and concludes.
 * @param folder path of the captures
 * @returns the judgement, and what was noticed about files on the way
 * @throws RunError if it cannot be done: no folder, no logs, no baseline, a broken session file
 */
export async function judgeFolder(
  folder: string,
  options: FolderOptions = {},
  hooks: Hooks = {},
): Promise<{ readonly judgement: Judgement; readonly problems: readonly Problem[] }> {
  const { judgement, problems } = await judgeMeasured(folder, options, hooks);
  return keepProblems(problems, () => ({
    judgement: filterJudgement(judgement, options.only ?? []),
    problems,
  }));
}

/** The whole judgement of a folder, and the means to judge the same passes against another baseline. */
export async function judgeMeasured(
  folder: string,
  options: FolderOptions,
  hooks: Hooks,
): Promise<{
  readonly judgement: Judgement;
  readonly judgeAgainst: (baseline: string) => Judgement;
  readonly session: Session;
  readonly frames: ReadonlyMap<string, PictureFrames>;
  readonly problems: readonly Problem[];
}> {
  // What only judging needs is loaded here: reading a log shall not wait for it.
  const [{ session, made, passes, frames, notRead, problems }, { judgeSession }] = await Promise.all([
    measureFolder(folder, options, hooks),
    import("./judge/judge-session.ts"),
  ]);
  return keepProblems(problems, () => {
    const configs = [...new Set(passes.map(({ config }) => config))].sort(compareNames);
    const judgeAgainst = (baseline: string): Judgement => ({
      ...judgeSession(passes, {
        title: session.title,
        baseline,
        ...askedOf(session, options),
        tags: session.games.flatMap(({ name, tags }) => tags.map((tag) => ({ game: name, tag }))),
        levels: session.configs.map(({ name, levels }) => ({ config: name, levels })),
        notRead,
        titles: { games: titled(session.games), configs: titled(session.configs) },
      }),
      made,
    });
    const baseline = chooseBaseline(configs, options.baseline ?? session.baseline?.name ?? null);
    return { judgement: judgeAgainst(baseline), judgeAgainst, session, frames, problems };
  });
}

/** What is asked of a judgement: by the options, else by the session. */
export function askedOf(
  session: Session,
  options: FolderOptions,
): Pick<
  JudgeSettings,
  "lows" | "mattersPct" | "confidencePct" | "falseAlarmControl" | "keepAll" | "setAside"
> {
  return {
    lows: options.lows ?? session.lows,
    mattersPct: options.mattersPct ?? session.mattersPct,
    confidencePct: options.confidencePct ?? session.confidencePct,
    falseAlarmControl: session.falseAlarmControl,
    keepAll: options.keepAll ?? false,
    setAside: session.setAside,
  };
}

function titled(notes: readonly { name: string; title: string }[]): { name: string; title: string }[] {
  return notes.filter(({ name, title }) => title !== name).map(({ name, title }) => ({ name, title }));
}

/**
 * The passes of a folder with every metric and flag, and whether each counts. Needs no baseline.
 * @throws RunError as judgeFolder does
 */
export async function listFolder(
  folder: string,
  options: FolderOptions = {},
  hooks: Hooks = {},
): Promise<{ readonly passes: readonly JudgedPass[]; readonly problems: readonly Problem[] }> {
  const unsaved = { ...options, isDigested: false };
  const { session, passes, problems } = await measureFolder(folder, unsaved, hooks);
  const { listPasses } = await import("./judge/list-passes.ts");
  return keepProblems(problems, () => {
    const listed = listPasses(passes, { keepAll: options.keepAll ?? false, setAside: session.setAside });
    return { passes: filterPasses(listed, options.only ?? []), problems };
  });
}

/**
 * Reads and measures every capture of a folder; a log that cannot be read is reported and left out.
 * @throws RunError if there is no log that can be read
 */
export async function measureFolder(
  folder: string,
  options: FolderOptions & { readonly isDigested?: boolean } = {},
  { onLogs, onProgress }: Hooks = {},
): Promise<MeasuredFolder> {
  const found = await findLogs(folder);
  const session = await readSessionOf(folder, options.sessionFile);
  requireLogs(folder, found);
  onLogs?.(filesOfLogs(found.logs));
  const problems: Problem[] = [...found.problems];
  const placed = placeLogs(found.logs, session, problems);
  const against = checkSession(
    session,
    placed.map(({ place }) => place),
  );
  if (against.some(({ severity }) => severity === "error")) throw new RunError([...problems, ...against]);
  problems.push(...against);

  const jobs = placed.map(({ log, place }) => ({
    file: log.source.file,
    sensorFile: log.sensorSource?.file ?? null,
    place: passKeyOf(place),
    bytes: log.bytes,
  }));
  const settings = {
    log: session.log,
    lows: options.lows ?? session.lows,
    trim: session.trim,
    // What pictures need of frames is too much to keep: the cache is made for summaries.
    cacheFolder: options.traceBuckets === undefined ? (options.cacheFolder ?? null) : null,
    isDigested: options.isDigested ?? true,
    ...(options.traceBuckets !== undefined && { traceBuckets: options.traceBuckets }),
  };
  await requireCacheFolder(settings.cacheFolder);
  onProgress?.({ done: 0, total: jobs.length, file: "" });
  const measured = await measureLogs(
    jobs,
    settings,
    options.threads ?? availableParallelism(),
    (done, file) => onProgress?.({ done, total: jobs.length, file }),
  );
  const passes: PassSummary[] = [];
  const frames = new Map<string, PictureFrames>();
  for (const [i, { summary, problems: own, frames: kept }] of measured.entries()) {
    problems.push(...own);
    if (summary !== null && kept !== null) frames.set(summary.file, kept);
    if (summary !== null) passes.push({ ...summary, writtenAtMs: placed[i]?.log.writtenAtMs ?? null });
  }
  if (passes.length === 0)
    throw new RunError([...problems, { code: "nothing-to-judge", severity: "error", at: { file: folder } }]);
  const read = new Set(passes.map(({ file }) => file));
  return {
    session,
    made: {
      ...originOf(folder, options.sessionFile, session),
      captures: measured.flatMap((log) => log.digests),
    },
    passes,
    pathCaps: new Map(placed.flatMap(({ place }) => (place.cap ? [[place.config, place.cap] as const] : []))),
    frames,
    notRead: found.logs.map(({ source }) => source.file).filter((file) => !read.has(file)),
    problems,
  };
}

/**
 * How one log is read, and on what grounds: by the session file given, else by the one of its session (session.yaml
 * in its folder or up to three above it), else by the evidence alone.
 */
export async function inspectFile(
  file: string,
  options: Pick<FolderOptions, "sessionFile" | "lows"> = {},
): Promise<{ readonly inspection: Inspection; readonly problems: readonly Problem[] }> {
  const folder = options.sessionFile === undefined ? await findSessionFolder(path.dirname(file)) : ".";
  const session = await readSessionOf(folder, options.sessionFile);
  if ((await kindOfPath(file)) === null)
    throw new RunError([{ code: "log-missing", severity: "error", at: { file } }]);
  await requireFile(file);
  const reading = await readLog(fileSource(file), session.log, await findSensorSource(file));
  const settings = { lows: options.lows ?? session.lows, trim: session.trim };
  return { inspection: inspectLog(file, reading, settings), problems: reading.problems };
}

/**
 * How the logs of a folder are read, and which of them are read otherwise than most.
 * @throws RunError if there are no logs
 */
export async function inspectFolder(
  folder: string,
  options: Pick<FolderOptions, "sessionFile" | "lows"> = {},
  { onLogs, onProgress }: Hooks = {},
): Promise<{ readonly comparison: LogComparison; readonly problems: readonly Problem[] }> {
  const found = await findLogs(folder);
  const session = await readSessionOf(folder, options.sessionFile);
  requireLogs(folder, found);
  onLogs?.(filesOfLogs(found.logs));
  const settings = { lows: options.lows ?? session.lows, trim: session.trim };
  const problems: Problem[] = [...found.problems];
  const inspections: Inspection[] = [];
  for (const [done, { source, sensorSource }] of found.logs.entries()) {
    onProgress?.({ done, total: found.logs.length, file: source.file });
    const reading = await readLog(source, session.log, sensorSource);
    problems.push(...reading.problems);
    inspections.push(inspectLog(source.file, reading, settings));
  }
  onProgress?.({ done: found.logs.length, total: found.logs.length, file: "" });
  return { comparison: compareLogs(inspections), problems };
}

/**
 * Looks at a folder and says what a session file for it would hold.
 * @param baseline the config that the others are compared with, where the caller knows
 * @throws RunError if there are no logs
 */
export async function describeFolder(
  folder: string,
  baseline: string | null = null,
  { onLogs, onProgress }: Hooks = {},
): Promise<{ readonly found: SessionFound; readonly problems: readonly Problem[] }> {
  const found = await findLogs(folder);
  requireLogs(folder, found);
  onLogs?.(filesOfLogs(found.logs));
  const questions: Problem[] = [];
  const logs: FoundLog[] = [];
  for (const [done, log] of found.logs.entries()) {
    onProgress?.({ done, total: found.logs.length, file: log.source.file });
    const { problems: told } = await readLog(log.source, {}, log.sensorSource);
    questions.push(...told.filter(({ severity }) => severity === "error"));
    // Notes that lie beside captures say nothing about how these are laid out.
    if (!told.some(({ code }) => code === "log-no-table" || code === "log-binary")) logs.push(log);
  }
  onProgress?.({ done: found.logs.length, total: found.logs.length, file: "" });
  const above = path.resolve(folder).split(path.sep).filter(Boolean).length;
  const tables = logs.length > 0 ? logs : found.logs;
  const layout = guessLayout(tables.map(({ parts }) => parts.slice(above)));
  const problems: Problem[] = [...found.problems];
  const placed = placeLogs(tables, { ...defaultSession, layout }, problems);
  const places = placed.map(({ place }) => place);
  const configs = countNames(places.map(({ config }) => config));
  const named = guessBaseline(configs.map(({ name }) => name));
  if (baseline !== null) {
    chooseBaseline(
      configs.map(({ name }) => name),
      baseline,
    );
  }
  return {
    found: {
      title: null,
      layout: layout.pattern,
      baseline:
        baseline !== null
          ? { name: baseline, because: "told" }
          : named === null
            ? null
            : { name: named, because: "named" },
      games: countNames(places.map(({ game }) => game)),
      configs,
      log: {},
      questions: questions.flatMap(askQuestion),
    },
    problems: [...problems, ...questions],
  };
}

/** Places say where a key stands; what a session does not say shall not count, so that new keys change no digest. */
function saysSomething(key: string, value: unknown): boolean {
  return key !== "at" && value !== null && !(Array.isArray(value) && value.length === 0);
}

/**
 * What a judgement of a folder would be made from today.
 * @param sessionFile as it was then
 * @returns null where the folder has no captures any more
 */
export async function findOrigin(folder: string, sessionFile: string): Promise<Origin | null> {
  const found = await findLogs(folder).catch(() => null);
  if (found === null || found.logs.length === 0) return null;
  const session = await readSessionOf(
    folder,
    (await kindOfPath(sessionFile)) === null ? undefined : sessionFile,
  );
  const placed = placeLogs(found.logs, session, []);
  const files = placed.flatMap(({ log }) => [
    log.source,
    ...(log.sensorSource === null ? [] : [log.sensorSource]),
  ]);
  return {
    ...originOf(folder, sessionFile, session),
    captures: files.map(({ file }) => ({ file, sha256: digestFile(file) })),
  };
}

function originOf(
  folder: string,
  sessionFile: string | undefined,
  session: Session,
): Omit<Origin, "captures"> {
  return {
    version,
    folder,
    session: sessionFile ?? path.join(folder, "session.yaml"),
    settingsSha256: digestText(
      JSON.stringify(session, (key, value) => (saysSomething(key, value) ? value : undefined)),
    ),
  };
}

/** Something else in its place is a mistake of whoever named it; one that cannot be written is done without. */
export async function requireCacheFolder(folder: string | null): Promise<void> {
  if (folder === null || (await kindOfPath(folder)) !== "file") return;
  const option = { option: "--cache-dir", value: folder, expected: "a folder, not a file" };
  throw new RunError([{ code: "bad-option", severity: "error", at: { file: "" }, ...option }]);
}

function countNames(names: readonly string[]): { name: string; passes: number }[] {
  return [...new Set(names)]
    .sort(compareNames)
    .map((name) => ({ name, passes: names.filter((other) => other === name).length }));
}

/** The paths of logs and of the sensor logs beside them. */
function filesOfLogs(logs: readonly FoundLog[]): string[] {
  return logs.flatMap(({ source, sensorSource }) => [
    source.file,
    ...(sensorSource === null ? [] : [sensorSource.file]),
  ]);
}

function requireLogs(folder: string, { logs, others, problems }: FoundLogs): void {
  if (logs.length > 0) return;
  throw new RunError([
    ...problems,
    { code: "no-logs", severity: "error", at: { file: folder }, seen: others },
  ]);
}

function passKeyOf({ game, config, pass, boot }: PassPlace): PassKey {
  return { game, config, pass, boot };
}

interface PlacedLog {
  readonly log: FoundLog;
  readonly place: PassPlace;
}

function placeLogs(logs: readonly FoundLog[], session: Session, problems: Problem[]): PlacedLog[] {
  const known = {
    games: session.games.map(({ name }) => name),
    configs: session.configs.map(({ name }) => name),
  };
  const byPass = new Map<string, string>();
  return logs.flatMap((log) => {
    const at = { file: log.source.file };
    const { place, finding } = placeLog(log.parts, session.layout, known);
    if (place === null) {
      problems.push({ ...finding, severity: "error", at });
      return [];
    }
    const key = JSON.stringify([place.game, place.config, place.boot, place.pass]);
    const other = byPass.get(key);
    if (other !== undefined) {
      problems.push({ code: "pass-filed-twice", severity: "error", at, other });
      return [];
    }
    byPass.set(key, log.source.file);
    return [{ log, place }];
  });
}

/**
 * The session of a folder: of the file given, else of its session.yaml, else the one without a file.
 * @throws RunError if it cannot be used
 */
export async function readSessionOf(folder: string, sessionFile: string | undefined): Promise<Session> {
  const file = sessionFile ?? path.join(folder, "session.yaml");
  const text = await readTextFile(file, { mayBePipe: sessionFile !== undefined });
  if (text === null) {
    if (sessionFile === undefined) return defaultSession;
    throw new RunError([{ code: "session-missing", severity: "error", at: { file } }]);
  }
  // Loaded only where there is a session file.
  const { readSession } = await import("./read/session-file.ts");
  const { session, problems } = readSession(text, file);
  if (session === null) throw new RunError(problems);
  return session;
}

/** What was noticed before a run failed often explains the failure. */
function keepProblems<T>(problems: readonly Problem[], run: () => T): T {
  try {
    return run();
  } catch (error) {
    if (error instanceof RunError) throw new RunError([...problems, ...error.problems]);
    throw error;
  }
}
