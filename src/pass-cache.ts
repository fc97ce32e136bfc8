import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { openEntryStore } from "./entry-store.ts";
import { filesOf, type MeasuredLog, type MeasureJob, type MeasureSettings } from "./measure-job.ts";
import { digestBeginning, digestFile } from "./read/files.ts";
import { version } from "./version.ts";

/** A file's times this close to now may still change without a trace: the clock of a file system is coarse. */
const settledMs = 2000;

/** What was measured before, on disk. */
export interface PassCache {
  /** The measured log if its files are the ones measured before, by the file system's own record of their changes. */
  readonly find: (job: MeasureJob) => MeasuredLog | null;
  /**
   * The measured log if files of these bytes were measured before, wherever they lie; else what `measure` gives, kept
   * for the next time.
   */
  readonly measure: (job: MeasureJob, measure: () => Promise<MeasuredLog>) => Promise<MeasuredLog>;
}

/**
 * Summaries of passes, by what their files hold, how they were read, and by which code.
 *
 * Two keys lead to an entry. The first is the file system's record of a file: device, inode, size, and the times of the
 * last write and the last change to the nanosecond. Programs can set the time of the last write, but not that of the
 * last change, so a file whose record stayed has not been rewritten; a record younger than two seconds is not
 * believed. This misses what the file system does not record: bytes changed on the raw device, a clock that was set back
 * onto the very nanosecond, and file systems without a time of change. The second key, for copies, moved folders and
 * touched files, is size and beginning; an entry found by it counts only if the SHA-256 of all bytes is the one that was
 * taken when it was measured. That is looked for only where an entry is found: reading all bytes for it at every run
 * would cost as much as scanning a wide log (measured: 0.6 ms per megabyte on one thread).
 */
export function openPassCache(folder: string, settings: MeasureSettings): PassCache {
  const store = openEntryStore(folder);
  const { log, lows, trim } = settings;
  const how = JSON.stringify([log, lows, trim, codeDigest()]);
  const passKey = (sample: string): string => JSON.stringify(["pass", sample, how]);
  return {
    find: (job) => {
      const record = recordOf(job);
      const known = record === null ? null : parse<Known>(store.get(record.key));
      const kept = known === null ? null : parse<Kept>(store.get(passKey(known.sample)));
      return kept === null || !isOf(kept, known?.digests ?? []) ? null : revive(kept, job);
    },
    measure: async (job, measure) => {
      const before = recordOf(job);
      const sample = sampleOf(job);
      const kept = parse<Kept>(store.get(passKey(sample)));
      const isKnown = kept !== null && isOf(kept, filesOf(job).map(digestFile));
      const measured = isKnown ? revive(kept, job) : await measure();
      const digests = measured.digests.map(({ sha256 }) => sha256);
      // What changed meanwhile is not kept: its digest and its figures may be of two different files.
      if (before === null || recordOf(job)?.key !== before.key || digests.includes("")) return measured;
      if (!isKnown) {
        const { file, sensorFile } = job;
        store.put(passKey(sample), JSON.stringify({ file, sensorFile, measured } satisfies Kept));
      }
      if (before.isSettled) store.put(before.key, JSON.stringify({ sample, digests } satisfies Known));
      return measured;
    },
  };
}

/** Under the file system's record of a log: where what was measured of it lies, and of which bytes. */
interface Known {
  readonly sample: string;
  readonly digests: readonly string[];
}

interface Kept {
  readonly file: string;
  readonly sensorFile: string | null;
  readonly measured: MeasuredLog;
}

function isOf({ measured }: Kept, digests: readonly string[]): boolean {
  return (
    measured.digests.length === digests.length &&
    measured.digests.every(({ sha256 }, i) => sha256 === digests[i])
  );
}

/** What was kept, told of the files of this job: the same bytes may lie elsewhere now and be another pass. */
function revive(kept: Kept, job: MeasureJob): MeasuredLog {
  const isWhereItWas = kept.file === job.file && kept.sensorFile === job.sensorFile;
  const { summary, ...rest } = isWhereItWas ? kept.measured : renameFiles(kept, job);
  return { summary: summary === null ? null : { ...summary, ...job.place }, ...rest };
}

function renameFiles({ file, sensorFile, measured }: Kept, job: MeasureJob): MeasuredLog {
  const now = new Map<unknown, unknown>([[file, job.file]]);
  if (sensorFile !== null) now.set(sensorFile, job.sensorFile);
  return JSON.parse(JSON.stringify(measured), (key, value: unknown) =>
    key === "file" && now.has(value) ? now.get(value) : value,
  ) as MeasuredLog;
}

/** Size and beginning of a job's files: what hardly any two captures share. */
function sampleOf(job: MeasureJob): string {
  return JSON.stringify(filesOf(job).map((file) => digestBeginning(file)));
}

function parse<T>(text: string | null): T | null {
  // The store vouches for the text: this program wrote it as JSON.
  return text === null ? null : (JSON.parse(text) as T);
}

/** The file system's record of a job's files; null where one cannot be looked at. */
export function recordOf(job: MeasureJob): { readonly key: string; readonly isSettled: boolean } | null {
  const records = filesOf(job).map((file) => statSync(file, { bigint: true, throwIfNoEntry: false }));
  if (records.some((record) => record === undefined)) return null;
  const known = records.filter((record) => record !== undefined);
  const newestMs = Math.max(...known.flatMap(({ mtimeMs, ctimeMs }) => [Number(mtimeMs), Number(ctimeMs)]));
  return {
    key: JSON.stringify([
      "file",
      ...known.map(({ dev, ino, size, mtimeNs, ctimeNs }) => [dev, ino, size, mtimeNs, ctimeNs].join(":")),
    ]),
    isSettled: Date.now() - newestMs >= settledMs,
  };
}

let code: string | null = null;

/** Digest of the code that reads and measures: entries of another build are never used, whatever its version says. */
function codeDigest(): string {
  if (code !== null) return code;
  const hash = createHash("sha256").update(version);
  // Everything in one folder where the program is bundled, else one folder per layer.
  for (const folder of ["./", "./read/", "./measure/", "./shared/"]) {
    const url = new URL(folder, import.meta.url);
    const names = existsSync(url) ? readdirSync(url).sort() : [];
    for (const name of names.filter((candidate) => /\.[jt]s$/.test(candidate))) {
      hash.update(name).update(readFileSync(new URL(name, url)));
    }
  }
  code = hash.digest("hex");
  return code;
}
