import path from "node:path";
import { runningFigures } from "../measure/running-figures.ts";
import { frameEndsS, type TrimWindow, trimFrames } from "../measure/trim.ts";
import { fileSource, findSessionFolder, isThere, kindOfPath } from "../read/files.ts";
import { withoutLogExtension } from "../read/layout.ts";
import { logSettingsOf } from "../read/log-settings-of.ts";
import { readLog } from "../read/read-log.ts";
import type { Session } from "../read/session-file.ts";
import type { CaptionTrack } from "../report/captions-report.ts";
import { type Problem, RunError } from "../shared/problem.ts";
import type { Hooks, ReadingOptions } from "./folder-options.ts";
import { missingLog } from "./missing-log.ts";
import { readSessionOf } from "./open-session.ts";
import { placeFile } from "./place-logs.ts";

/** `sessionFile` without a path: session.yaml in the log's folder or up to three above it. */
export interface CaptionOptions extends ReadingOptions {
  /** The stretch of every capture, where it is another than the session's; seconds. */
  readonly skipS?: number;
  readonly keepS?: number;
  /** Seconds from one caption to the next. */
  readonly everyS?: number;
  /** Puts the config's title over the figures. */
  readonly names?: boolean;
}

interface WindowedLog {
  readonly file: string;
  readonly session: Session;
  readonly frameTimesMs: Float64Array;
  /** When each of them ends, seconds from the start of the window. */
  readonly endsS: Float64Array;
}

/** Twice a second: fast enough to follow, slow enough to read. Common practice, no source. */
const usualEveryS = 0.5;

/**
 * Running figures of captures, for caption tracks that can stand side by side: all start at the same second of their
 * capture and end with the shortest.
 * @param files logs, one or more
 * @throws RunError if one of them cannot be read or ends before the window begins: a track would be missing
 */
export async function captionLogs(
  files: readonly string[],
  options: CaptionOptions = {},
  { onProgress }: Hooks = {},
): Promise<{ readonly tracks: readonly CaptionTrack[]; readonly problems: readonly Problem[] }> {
  const { everyS = usualEveryS } = options;
  const problems: Problem[] = [];
  const logs: WindowedLog[] = [];
  for (const [done, file] of files.entries()) {
    onProgress?.({ done, total: files.length, file });
    const read = await readWindow(file, options);
    problems.push(...read.problems);
    if (read.log !== null) logs.push(read.log);
  }
  onProgress?.({ done: files.length, total: files.length, file: "" });
  if (logs.length < files.length) throw new RunError(problems);
  const lengthS = Math.min(...logs.map(({ endsS }) => endsS.at(-1) as number));
  const momentsS = Array.from({ length: Math.ceil(lengthS / everyS - 1e-9) }, (_, i) => i * everyS);
  const names = nameTracks(logs);
  return {
    tracks: logs.map(({ file, session, frameTimesMs, endsS }, i) => {
      const lows = options.lows ?? session.lows;
      return {
        file,
        name: names[i] as string,
        heading: options.names === true ? headingOf(file, session) : null,
        lows,
        lengthS,
        moments: runningFigures(frameTimesMs, endsS, momentsS, lows),
      };
    }),
    problems,
  };
}

async function readWindow(
  file: string,
  options: CaptionOptions,
): Promise<{ readonly log: WindowedLog | null; readonly problems: readonly Problem[] }> {
  if (!(await isThere(file))) return { log: null, problems: [await missingLog(file)] };
  if ((await kindOfPath(file)) === "folder")
    return { log: null, problems: [{ code: "log-is-folder", severity: "error", at: { file } }] };
  const folder = options.sessionFile === undefined ? await findSessionFolder(path.dirname(file)) : ".";
  const session = await readSessionOf(folder, options.sessionFile);
  const reading = await readLog(fileSource(file), logSettingsOf(session, placeFile(file, session)), null);
  const { log } = reading;
  const isRestarted = log?.flags.some((flag) => flag.code === "restarted" && flag.picked === null) ?? false;
  // Two stretches of time cannot run beside one piece of footage, so that here it is no warning.
  const problems = reading.problems.map((problem) =>
    problem.code === "log-restarted" ? { ...problem, severity: "error" as const } : problem,
  );
  if (log === null || isRestarted) return { log: null, problems };
  const window: TrimWindow = {
    skipS: options.skipS ?? session.trim.skipS,
    keepS: options.keepS ?? session.trim.keepS,
  };
  const { frameTimesMs, fromS } = trimFrames(log, window);
  if (frameTimesMs.length === 0) {
    const lengthS = frameEndsS(log).at(-1) ?? 0;
    const finding = { code: "nothing-in-window", skipS: window.skipS, lengthS } as const;
    return { log: null, problems: [...problems, { ...finding, severity: "error", at: { file } }] };
  }
  const first = (frameTimesMs.byteOffset - log.frameTimesMs.byteOffset) / frameTimesMs.BYTES_PER_ELEMENT;
  const ends = frameEndsS(log).subarray(first, first + frameTimesMs.length);
  return { log: { file, session, frameTimesMs, endsS: ends.map((endS) => endS - fromS) }, problems };
}

/** Where a path tells no config, its own name stands in. */
function headingOf(file: string, session: Session): string {
  const config = placeFile(file, session)?.config;
  const notes = session.configs.find(({ name }) => name === config);
  return notes?.title ?? config ?? withoutLogExtension(path.basename(file));
}

/** The log's own name where it tells the tracks apart, else as many of the folders above it as that takes. */
function nameTracks(logs: readonly WindowedLog[]): string[] {
  const parts = logs.map(({ file }) =>
    withoutLogExtension(path.resolve(file)).split(path.sep).filter(Boolean),
  );
  const deepest = Math.max(...parts.map(({ length }) => length));
  for (let depth = 1; depth <= deepest; depth++) {
    const names = parts.map((own) => own.slice(-depth).join("-"));
    // Some file systems take names for the same that differ in case alone.
    if (new Set(names.map((name) => name.toLowerCase())).size === names.length) return names;
  }
  return parts.map((own, i) => `${own.at(-1)}-${i + 1}`);
}
