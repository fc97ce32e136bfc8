import { availableParallelism } from "node:os";
import type { Origin, UnreadLog } from "../judge/judgement.ts";
import type { PassSummary } from "../measure/pass-summary.ts";
import type { PictureFrames } from "../measure/picture-frames.ts";
import { checkSession } from "../read/check-session.ts";
import { findLogs } from "../read/files.ts";
import type { PathCap } from "../read/layout.ts";
import { scopeQuestions } from "../read/scope-questions.ts";
import type { Session } from "../read/session-file.ts";
import { type Problem, RunError } from "../shared/problem.ts";
import { originOf } from "./find-origin.ts";
import type { Hooks, MeasureOptions } from "./folder-options.ts";
import { jobOf } from "./measure-job.ts";
import { measureLogs } from "./measure-logs.ts";
import { readSessionOf } from "./open-session.ts";
import { requireCacheFolder } from "./pass-cache.ts";
import { filesOfLogs, placeLogs, requireLogs } from "./place-logs.ts";
import { requireOneLayout } from "./require-one-layout.ts";

/** Every capture of a folder as numbers, with what its session says. */
export interface MeasuredFolder {
  readonly session: Session;
  /** null unless it was wanted. */
  readonly made: Origin | null;
  readonly passes: readonly PassSummary[];
  /** Configs that are another one under a frame cap, as paths tell by {cap}. */
  readonly pathCaps: ReadonlyMap<string, PathCap>;
  /** Of each pass that was read, by its file; empty where no picture is wanted. */
  readonly frames: ReadonlyMap<string, PictureFrames>;
  /** Logs that were left out, as the user would type them. */
  readonly notRead: readonly UnreadLog[];
  readonly problems: readonly Problem[];
}

/** What is known and wanted beside the summaries. */
export interface MeasureWants {
  /** The config that the others are compared with, where whoever asks says it. */
  readonly baseline?: string;
  /** Say what it was made of, which takes the SHA-256 of every log: not for free, and only a judgement needs it. */
  readonly origin?: boolean;
  /** Keep of every pass what pictures of its frames need, its trace thinned to so many buckets. */
  readonly traceBuckets?: number;
}

/**
 * Reads and measures every capture of a folder; a log that cannot be read is reported and left out.
 * @throws RunError if there is no log that can be read
 */
export async function measureFolder(
  folder: string,
  options: MeasureOptions & MeasureWants = {},
  { onLogs, onProgress }: Hooks = {},
): Promise<MeasuredFolder> {
  const found = await findLogs(folder);
  const session = await readSessionOf(folder, options.sessionFile);
  requireLogs(folder, found);
  onLogs?.(filesOfLogs(found.logs));
  requireOneLayout(folder, found.logs, session, options.baseline ?? null);
  const { placed, problems: unplaced } = placeLogs(found.logs, session);
  const problems: Problem[] = [...found.problems, ...unplaced];
  const against = checkSession(
    session,
    placed.map(({ place }) => place),
  );
  if (against.some(({ severity }) => severity === "error")) throw new RunError([...problems, ...against]);
  problems.push(...against);

  const jobs = placed.map(({ log, place }) => jobOf(log, place, session));
  const settings = {
    log: session.log,
    lows: options.lows ?? session.lows,
    trim: session.trim,
    // What pictures need of frames is too much to keep: the cache is made for summaries.
    cacheFolder: options.traceBuckets === undefined ? (options.cacheFolder ?? null) : null,
    isDigested: options.origin ?? false,
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
  const told = scopeQuestions(problems, new Map(placed.map(({ log, place }) => [log.source.file, place])));
  if (passes.length === 0)
    throw new RunError([...told, { code: "nothing-to-judge", severity: "error", at: { file: folder } }]);
  const read = new Set(passes.map(({ file }) => file));
  return {
    session,
    made: settings.isDigested
      ? {
          ...originOf(folder, options.sessionFile, session),
          captures: measured.flatMap((log) => log.digests),
        }
      : null,
    passes,
    pathCaps: new Map(placed.flatMap(({ place }) => (place.cap ? [[place.config, place.cap] as const] : []))),
    frames,
    notRead: found.logs
      .map(({ source }) => source.file)
      .filter((file) => !read.has(file))
      .map((file) => ({ file, place: placed.find(({ log }) => log.source.file === file)?.place ?? null })),
    problems: told,
  };
}
