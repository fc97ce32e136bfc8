import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { type EntryStore, openEntryStore } from "./entry-store.ts";
import { filesOf, type MeasuredLog, type MeasureJob, type MeasureSettings } from "./measure-job.ts";
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
  readonly measure: (
    job: MeasureJob,
    digest: () => readonly string[],
    measure: (digests: readonly string[]) => Promise<MeasuredLog>,
  ) => Promise<MeasuredLog>;
}

/**
 * Summaries of passes, by what their files hold, how they were read, and by which code.
 *
 * Two keys lead to an entry. The first is the file system's record of a file: device, inode, size, and the times of the
 * last write and the last change to the nanosecond. Programs can set the time of the last write, but not that of the
 * last change, so a file whose record stayed has not been rewritten; a record younger than two seconds is not
 * believed. This misses what the file system does not record: bytes changed on the raw device, a clock that was set back
 * onto the very nanosecond, and file systems without a time of change. The second key is the SHA-256 of all bytes; it
 * serves copies, moved folders and touched files. Reading all bytes for it at every run would cost as much as scanning a
 * wide log: measured, 0.8 ms against 0.9 ms per megabyte on one thread.
 */
export function openPassCache(folder: string, settings: MeasureSettings): PassCache {
  const store = openEntryStore(folder);
  const { log, lows, trim } = settings;
  const how = JSON.stringify([log, lows, trim, codeDigest()]);
  const passKey = (digests: readonly string[]): string => JSON.stringify(["pass", digests, how]);
  return {
    find: (job) => {
      const record = recordOf(job);
      const digests = record === null ? null : parse<string[]>(store.get(record.key));
      return digests === null ? null : revive(store.get(passKey(digests)), job);
    },
    measure: async (job, digest, measure) => {
      const before = recordOf(job);
      const digests = digest();
      const known = revive(store.get(passKey(digests)), job);
      const measured = known ?? (await measure(digests));
      // What changed meanwhile is not kept: its digest and its figures may be of two different files.
      if (before === null || recordOf(job)?.key !== before.key || digests.includes("")) return measured;
      if (known === null) keep(store, passKey(digests), job, measured);
      if (before.isSettled) store.put(before.key, JSON.stringify(digests));
      return measured;
    },
  };
}

interface Kept {
  readonly file: string;
  readonly sensorFile: string | null;
  readonly measured: MeasuredLog;
}

function keep(store: EntryStore, key: string, { file, sensorFile }: MeasureJob, measured: MeasuredLog): void {
  store.put(key, JSON.stringify({ file, sensorFile, measured } satisfies Kept));
}

/** What was kept, told of the files of this job: the same bytes may lie elsewhere now and be another pass. */
function revive(text: string | null, job: MeasureJob): MeasuredLog | null {
  const kept = parse<Kept>(text);
  if (kept === null) return null;
  const now = new Map<unknown, unknown>([[kept.file, job.file]]);
  if (kept.sensorFile !== null) now.set(kept.sensorFile, job.sensorFile);
  const { summary, ...rest } = JSON.parse(JSON.stringify(kept.measured), (key, value: unknown) =>
    key === "file" && now.has(value) ? now.get(value) : value,
  ) as MeasuredLog;
  return { summary: summary === null ? null : { ...summary, ...job.place }, ...rest };
}

function parse<T>(text: string | null): T | null {
  // The store vouches for the text: this program wrote it as JSON.
  return text === null ? null : (JSON.parse(text) as T);
}

/** The file system's record of a job's files; null where one cannot be looked at. */
function recordOf(job: MeasureJob): { readonly key: string; readonly isSettled: boolean } | null {
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
