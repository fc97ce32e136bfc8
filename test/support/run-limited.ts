import { spawnSync } from "node:child_process";
import { readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

const program = fileURLToPath(new URL("../../bin/runjury.js", import.meta.url));
const measured = fileURLToPath(new URL("../bench/run-measured.js", import.meta.url));

export interface Limits {
  /** Of processors: time that a busy machine keeps the program waiting is none of its own. */
  readonly seconds: number;
  /** Peak of the process's resident memory; an idle Node takes about 45 MB. */
  readonly megabytes: number;
}

export interface LimitedRun {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
  readonly seconds: number;
  readonly megabytes: number;
}

let runs = 0;

/**
 * Runs the built program on something hostile.
 * @param mostWaitingS seconds on the wall after which it is ended, since waiting for ever takes no processor
 * @throws if it takes longer or more memory than stated, or shows a stack trace
 */
export function runLimited(args: readonly string[], limits: Limits, mostWaitingS = 100): LimitedRun {
  const note = path.join(tmpdir(), `peak-${process.pid}-${runs++}`);
  const { status, stdout, stderr, error } = spawnSync(process.execPath, [measured, note, program, ...args], {
    encoding: "utf8",
    timeout: 1000 * mostWaitingS,
    killSignal: "SIGKILL",
    maxBuffer: 64_000_000,
    env: { PATH: process.env.PATH, NO_COLOR: "1", XDG_CACHE_HOME: path.join(tmpdir(), "no-such-cache") },
  });
  if (error !== undefined) throw error;
  const { peakMb: megabytes, cpuS: seconds } = JSON.parse(readFileSync(note, "utf8"));
  rmSync(note);
  // Also where a figure is none: a limit that nothing is held to would go unnoticed.
  if (!(seconds <= limits.seconds))
    throw new Error(`${seconds.toFixed(1)} s, over the limit of ${limits.seconds}\n${stderr}`);
  if (!(megabytes <= limits.megabytes))
    throw new Error(`${megabytes.toFixed(0)} MB, over the limit of ${limits.megabytes}\n${stderr}`);
  if (/^\s+at .+:\d+:\d+/m.test(stderr) || stderr.includes("fault of runjury"))
    throw new Error(`a fault reached the user:\n${stderr}`);
  return { status, stdout, stderr, seconds, megabytes };
}
