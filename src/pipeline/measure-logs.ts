import { setImmediate as nextTurn } from "node:timers/promises";
import { Worker } from "node:worker_threads";
import { pictureFrames } from "../measure/picture-frames.ts";
import { summarisePass } from "../measure/summarise-pass.ts";
import { digestedSource, fileSource } from "../read/files.ts";
import type { ByteSource } from "../read/log.ts";
import { readLog } from "../read/read-log.ts";
import type { Problem } from "../shared/problem.ts";
import { filesOf, type MeasuredLog, type MeasureJob, type MeasureSettings } from "./measure-job.ts";
import { openPassCache, type RecordedLog, recordOf } from "./pass-cache.ts";

/** Less than this, packed or not, is read sooner than a thread has started. Measured: about 60 ms to start one. */
const leastBytesForThreads = 16e6;
const leastLogsForThreads = 8;
const mostThreads = 8;

/** Reads and measures one log, and looks whether it stayed as it was meanwhile. */
async function measureLog(job: MeasureJob, settings: MeasureSettings): Promise<RecordedLog> {
  const record = recordOf(job);
  const measured = await measureFiles(job, settings);
  const isAsBefore = recordOf(job)?.key === record?.key;
  if (measured.summary === null || isAsBefore) return { job, measured, record: isAsBefore ? record : null };
  // What was read may be neither what was there nor what is there now.
  const changed: Problem = { code: "log-changed", severity: "warning", at: { file: job.file } };
  return { job, measured: { ...measured, problems: [...measured.problems, changed] }, record: null };
}

async function measureFiles(job: MeasureJob, settings: MeasureSettings): Promise<MeasuredLog> {
  // What is kept is told apart by its digests.
  const isDigested = settings.isDigested || settings.cacheFolder !== null;
  const digested = isDigested ? filesOf(job).map(digestedSource) : null;
  const [frames, sensors = null] = digested ?? filesOf(job).map(fileSource);
  const { log, problems } = await readLog(frames as ByteSource, job.log ?? settings.log, sensors);
  return {
    summary: log === null ? null : summarisePass(log, job.place, settings),
    frames:
      log === null || settings.traceBuckets === undefined
        ? null
        : pictureFrames(log, settings.trim, settings.traceBuckets),
    problems,
    digests: digested?.map(({ file, sha256 }) => ({ file, sha256: sha256() })) ?? [],
  };
}

/**
 * Reads and measures logs, on several threads where that pays, but for those measured before. The results come in the
 * order of the jobs and depend neither on the number of threads nor on what is kept.
 * @param threads most threads to use; 1 reads everything here
 * @param onDone called after each log with the number done
 */
export async function measureLogs(
  jobs: readonly MeasureJob[],
  settings: MeasureSettings,
  threads: number,
  onDone: (done: number, file: string) => void,
): Promise<MeasuredLog[]> {
  const cache = settings.cacheFolder === null ? null : openPassCache(settings.cacheFolder, settings);
  const kept = jobs.map((job) => cache?.find(job) ?? null);
  const open = jobs.filter((_, i) => kept[i] === null);
  const known = jobs.length - open.length;
  const measured = await measureOpen(open, settings, threads, (done, file) => onDone(known + done, file));
  cache?.keep(measured);
  let next = 0;
  return kept.map((found) => found ?? (measured[next++] as RecordedLog).measured);
}

async function measureOpen(
  jobs: readonly MeasureJob[],
  settings: MeasureSettings,
  threads: number,
  onDone: (done: number, file: string) => void,
): Promise<RecordedLog[]> {
  const bytes = jobs.reduce((sum, job) => sum + job.bytes, 0);
  const pays = bytes >= leastBytesForThreads && jobs.length >= leastLogsForThreads;
  const workers = pays ? Math.min(threads, jobs.length, mostThreads) : 1;
  // The sources themselves, as tests run them, have no worker beside them.
  if (workers < 2 || import.meta.url.endsWith(".ts")) {
    const measured: RecordedLog[] = [];
    for (const job of jobs) {
      measured.push(await measureLog(job, settings));
      onDone(measured.length, job.file);
    }
    return measured;
  }
  return measureOnThreads(jobs, settings, workers, onDone);
}

/** What a thread is given: all jobs, and the number of the next one that nobody has taken. */
export interface ThreadWork {
  readonly jobs: readonly MeasureJob[];
  readonly settings: MeasureSettings;
  readonly next: Int32Array;
}

/** Takes one job after the other until none is left; to be run by every thread at once. */
export async function measureShare(
  { jobs, settings, next }: ThreadWork,
  onMeasured: (index: number, measured: RecordedLog) => void,
): Promise<void> {
  for (;;) {
    const index = Atomics.add(next, 0, 1);
    const job = jobs[index];
    if (job === undefined) return;
    onMeasured(index, await measureLog(job, settings));
    // What other threads have to say is heard between two logs.
    await nextTurn();
  }
}

/** What a thread says of each job it has done. */
export interface FromWorker {
  readonly index: number;
  readonly measured: RecordedLog;
}

/** This thread takes its share like the others: one heap less, and it has nothing else to do. */
async function measureOnThreads(
  jobs: readonly MeasureJob[],
  settings: MeasureSettings,
  threads: number,
  onDone: (done: number, file: string) => void,
): Promise<RecordedLog[]> {
  const measured = new Array<RecordedLog>(jobs.length);
  const work: ThreadWork = { jobs, settings, next: new Int32Array(new SharedArrayBuffer(4)) };
  const pool = Array.from(
    { length: threads - 1 },
    () => new Worker(new URL("./measure-worker.js", import.meta.url), { workerData: work }),
  );
  try {
    await new Promise<void>((resolve, reject) => {
      let done = 0;
      const take = (index: number, log: RecordedLog): void => {
        measured[index] = log;
        onDone(++done, jobs[index]?.file ?? "");
        if (done === jobs.length) resolve();
      };
      for (const worker of pool) {
        worker.on("error", reject);
        worker.on("message", (message: FromWorker) => take(message.index, message.measured));
      }
      measureShare(work, take).catch(reject);
    });
  } finally {
    await Promise.all(pool.map((worker) => worker.terminate()));
  }
  return measured;
}
