import { parentPort, workerData } from "node:worker_threads";
import type { MeasureSettings } from "./measure-job.ts";
import { type FromWorker, measureLog, type ToWorker } from "./measure-logs.ts";
import { openPassCache } from "./pass-cache.ts";

// One of the threads of measureLogs: takes jobs, gives back what was measured.
const settings = workerData as MeasureSettings;
const cache = settings.cacheFolder === null ? null : openPassCache(settings.cacheFolder, settings);
const port = parentPort;
port?.on("message", async ({ index, job }: ToWorker) => {
  port.postMessage({ index, measured: await measureLog(job, settings, cache) } satisfies FromWorker);
});
