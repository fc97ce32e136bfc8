import { Worker } from "node:worker_threads";
import { pictureFrames } from "./measure/picture-frames.ts";
import { summarisePass } from "./measure/summarise-pass.ts";
import { filesOf, type MeasuredLog, type MeasureJob, type MeasureSettings } from "./measure-job.ts";
import { openPassCache, type PassCache } from "./pass-cache.ts";
import { digestFile, fileSource } from "./read/files.ts";
import { readLog } from "./read/read-log.ts";

/** Less than this, packed or not, is read sooner than a thread has started. Measured: about 60 ms to start one. */
const leastBytesForThreads = 16e6;
const leastLogsForThreads = 8;
const mostThreads = 8;

/** Reads and measures one log, or finds what was measured of the same bytes before. */
export async function measureLog(
  job: MeasureJob,
  settings: MeasureSettings,
  cache: PassCache | null,
): Promise<MeasuredLog> {
  const digest = (): string[] => filesOf(job).map(digestFile);
  const measure = (digests: readonly string[]): Promise<MeasuredLog> => measureFiles(job, settings, digests);
  return cache === null ? measure(digest()) : cache.measure(job, digest, measure);
}

async function measureFiles(
  job: MeasureJob,
  settings: MeasureSettings,
  digests: readonly string[],
): Promise<MeasuredLog> {
  const sensors = job.sensorFile === null ? null : fileSource(job.sensorFile);
  const { log, problems } = await readLog(fileSource(job.file), settings.log, sensors);
  return {
    summary: log === null ? null : summarisePass(log, job.place, settings),
    frames:
      log === null || settings.traceBuckets === undefined
        ? null
        : pictureFrames(log, settings.trim, settings.traceBuckets),
    problems,
    digests: filesOf(job).map((file, i) => ({ file, sha256: digests[i] as string })),
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
  const measured = await measureOpen(open, settings, cache, threads, (done, file) =>
    onDone(known + done, file),
  );
  let next = 0;
  return kept.map((found) => found ?? (measured[next++] as MeasuredLog));
}

async function measureOpen(
  jobs: readonly MeasureJob[],
  settings: MeasureSettings,
  cache: PassCache | null,
  threads: number,
  onDone: (done: number, file: string) => void,
): Promise<MeasuredLog[]> {
  const bytes = jobs.reduce((sum, job) => sum + job.bytes, 0);
  const pays = bytes >= leastBytesForThreads && jobs.length >= leastLogsForThreads;
  const workers = pays ? Math.min(threads, jobs.length, mostThreads) : 1;
  // The sources themselves, as tests run them, have no worker beside them.
  if (workers < 2 || import.meta.url.endsWith(".ts")) {
    const measured: MeasuredLog[] = [];
    for (const job of jobs) {
      measured.push(await measureLog(job, settings, cache));
      onDone(measured.length, job.file);
    }
    return measured;
  }
  return measureOnThreads(jobs, settings, workers, onDone);
}

/** What passes between the threads. */
export type ToWorker = { readonly index: number; readonly job: MeasureJob };
export type FromWorker = { readonly index: number; readonly measured: MeasuredLog };

async function measureOnThreads(
  jobs: readonly MeasureJob[],
  settings: MeasureSettings,
  threads: number,
  onDone: (done: number, file: string) => void,
): Promise<MeasuredLog[]> {
  const measured = new Array<MeasuredLog>(jobs.length);
  const pool = Array.from(
    { length: threads },
    () => new Worker(new URL("./measure-worker.js", import.meta.url), { workerData: settings }),
  );
  try {
    await new Promise<void>((resolve, reject) => {
      let next = 0;
      let done = 0;
      const handOver = (worker: Worker): void => {
        const job = jobs[next];
        if (job !== undefined) worker.postMessage({ index: next++, job } satisfies ToWorker);
      };
      for (const worker of pool) {
        worker.on("error", reject);
        worker.on("message", (message: FromWorker) => {
          measured[message.index] = message.measured;
          onDone(++done, jobs[message.index]?.file ?? "");
          if (done === jobs.length) resolve();
          handOver(worker);
        });
        // Two at a time, so that a worker never waits for the next one.
        handOver(worker);
        handOver(worker);
      }
    });
  } finally {
    await Promise.all(pool.map((worker) => worker.terminate()));
  }
  return measured;
}
