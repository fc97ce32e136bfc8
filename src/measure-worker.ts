import { parentPort, workerData } from "node:worker_threads";
import { type FromWorker, type MeasureSettings, measureLog, type ToWorker } from "./measure-logs.ts";

// One of the threads of measureLogs: takes jobs, gives back what was measured.
const settings = workerData as MeasureSettings;
const port = parentPort;
port?.on("message", async ({ index, job }: ToWorker) => {
  port.postMessage({ index, measured: await measureLog(job, settings) } satisfies FromWorker);
});
