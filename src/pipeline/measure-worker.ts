import { parentPort, workerData } from "node:worker_threads";
import { type FromWorker, measureShare, type ThreadWork } from "./measure-logs.ts";

// One of the threads of measureLogs: takes jobs, gives back what was measured.
await measureShare(workerData as ThreadWork, (index, measured) =>
  parentPort?.postMessage({ index, measured } satisfies FromWorker),
);
