import { Worker } from "node:worker_threads";
import type { LowsDefinition, PassKey, PassSummary } from "./measure/pass-summary.ts";
import { summarisePass } from "./measure/summarise-pass.ts";
import type { TrimWindow } from "./measure/trim.ts";
import { digestFile, fileSource } from "./read/files.ts";
import type { LogSettings } from "./read/log.ts";
import { readLog } from "./read/read-log.ts";
import type { Problem } from "./shared/problem.ts";

/** One log to read and measure; plain data, so that a worker thread can be handed it. */
export interface MeasureJob {
  readonly file: string;
  readonly sensorFile: string | null;
  readonly place: PassKey;
  readonly bytes: number;
}

/** What is the same for all logs of a session. */
export interface MeasureSettings {
  readonly log: LogSettings;
  readonly lows: LowsDefinition;
  readonly trim: TrimWindow;
}

export interface MeasuredLog {
  /** null where the log could not be read. */
  readonly summary: PassSummary | null;
  readonly problems: readonly Problem[];
  /** SHA-256 of the bytes of the log and of its sensor log. */
  readonly digests: readonly { readonly file: string; readonly sha256: string }[];
}

/** Less than this, packed or not, is read sooner than a thread has started. Measured: about 60 ms to start one. */
const leastBytesForThreads = 16e6;
const leastLogsForThreads = 8;
const mostThreads = 8;

/** Reads and measures one log. */
export async function measureLog(job: MeasureJob, settings: MeasureSettings): Promise<MeasuredLog> {
  const sensors = job.sensorFile === null ? null : fileSource(job.sensorFile);
  const { log, problems } = await readLog(fileSource(job.file), settings.log, sensors);
  return {
    summary: log === null ? null : summarisePass(log, job.place, settings),
    problems,
    digests: [job.file, ...(job.sensorFile === null ? [] : [job.sensorFile])].map((file) => ({
      file,
      sha256: digestFile(file),
    })),
  };
}

/**
 * Reads and measures logs, on several threads where that pays. The results come in the order of the jobs and do not
 * depend on the number of threads.
 * @param threads most threads to use; 1 reads everything here
 * @param onDone called after each log with the number done
 */
export async function measureLogs(
  jobs: readonly MeasureJob[],
  settings: MeasureSettings,
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
      measured.push(await measureLog(job, settings));
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
