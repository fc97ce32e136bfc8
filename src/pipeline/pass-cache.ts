import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import path from "node:path";
import { digestFile, kindOfPath, lookAt } from "../read/files.ts";
import { badOption } from "../shared/problem.ts";
import { version } from "../version.ts";
import { type EntryStore, openEntryStore } from "./entry-store.ts";
import { filesOf, type MeasuredLog, type MeasureJob, type MeasureSettings } from "./measure-job.ts";

/** A file's times this close to now may still change without a trace: the clock of a file system is coarse. */
const settledMs = 2000;

/** At about 3 kB for a log, more than these would not stay in the store anyway. */
const mostPerFolder = 20_000;

/** What was measured before, on disk. */
export interface PassCache {
  /** The measured log, if its files are the ones measured before or hold the same bytes. */
  readonly find: (job: MeasureJob) => MeasuredLog | null;
  /** Keeps what was measured for the next time, and what was found by its bytes under its new record. */
  readonly keep: (measured: readonly RecordedLog[]) => void;
}

/** A log as it was measured, with the record its files had before and after. */
export interface RecordedLog {
  readonly job: MeasureJob;
  readonly measured: MeasuredLog;
  /** null where the files changed meanwhile: digests and figures may then be of two different files. */
  readonly record: FileRecord | null;
}

/** The file system's record of a log and its sensor log. */
export interface FileRecord {
  /** Device, inode, size, and the times of the last write and the last change of each file; how it is read, as below. */
  readonly key: string;
  /** Bytes in each file, and how the log is read where the session says it of this one alone. */
  readonly sizes: string;
  /** Whether the record would be another one, had the files been changed since. */
  readonly isSettled: boolean;
}

/**
 * Summaries of passes, by what their files hold, how they were read, and by which code.
 *
 * What was measured of the logs of one folder is one entry of the store, which is found by the folder's device and
 * inode: a session that is moved or renamed keeps its summaries. In it, a log is the one measured before by the file
 * system's record: device, inode, size, and the times of the last write and the last change to the nanosecond. Programs
 * can set the time of the last write, but not that of the last change, so a file whose record stayed has not been
 * rewritten; a record younger than two seconds is not believed. This misses what the file system does not record: bytes
 * changed on the raw device, a clock that was set back onto the very nanosecond, and file systems without a time of
 * change. For files with another record (touched, renamed, written again) the SHA-256 of all bytes decides. It is taken
 * only where something of that size was measured: taking it at every run would cost as much as scanning a wide log
 * (measured: 0.6 ms per megabyte on one thread). A copy in another folder is measured afresh.
 */
export function openPassCache(cacheFolder: string, settings: MeasureSettings): PassCache {
  const store = openEntryStore(cacheFolder);
  const { log, lows, trim } = settings;
  const how = JSON.stringify([log, lows, trim, codeDigest()]);
  const opened = new Map<string, KeptFolder>();
  const open = (folder: string): KeptFolder => {
    const known = opened.get(folder) ?? openFolder(store, JSON.stringify([identityOf(folder), how]));
    opened.set(folder, known);
    return known;
  };
  const foundByBytes: RecordedLog[] = [];
  return {
    find: (job) => {
      const record = recordOf(job);
      if (record === null) return null;
      const { logs, byRecord } = open(path.dirname(job.file));
      const same = byRecord.get(record.key);
      if (same !== undefined) return revive(same, job);
      const alike = logs.filter(({ sizes }) => sizes === record.sizes);
      if (alike.length === 0) return null;
      const digests = filesOf(job).map(digestFile);
      const kept = alike.find((each) => isOf(each, digests));
      if (kept === undefined || recordOf(job)?.key !== record.key) return null;
      const measured = revive(kept, job);
      foundByBytes.push({ job, measured, record });
      return measured;
    },
    keep: (measured) => {
      const news = [...foundByBytes, ...measured].flatMap(toKept);
      const folders = new Set(news.map(({ file }) => path.dirname(file)));
      store.put(
        [...folders].map((folder) => {
          const { key, logs } = open(folder);
          const here = news.filter(({ file }) => path.dirname(file) === folder);
          return [key, JSON.stringify([...stillThere(folder, logs, here), ...here].slice(-mostPerFolder))];
        }),
      );
    },
  };
}

/** What is kept of the logs of a folder. */
interface KeptFolder {
  readonly key: string;
  readonly logs: readonly Kept[];
  readonly byRecord: ReadonlyMap<string | null, Kept>;
}

/** A measured log as it is kept; its record is null where that is not to be believed. */
interface Kept {
  readonly record: string | null;
  readonly sizes: string;
  readonly file: string;
  readonly sensorFile: string | null;
  readonly measured: MeasuredLog;
}

/** @param digests of as many files: those of a log whose sizes are the same */
function isOf({ measured }: Kept, digests: readonly string[]): boolean {
  return measured.digests.every(({ sha256 }, i) => sha256 === digests[i]);
}

function openFolder(store: EntryStore, key: string): KeptFolder {
  const text = store.get(key);
  // The store vouches for the text: this program wrote it as JSON.
  const logs = text === null ? [] : (JSON.parse(text) as Kept[]);
  return { key, logs, byRecord: new Map(logs.map((kept) => [kept.record, kept])) };
}

/** Device and inode of a folder; its name where the file system does not tell. */
function identityOf(folder: string): string {
  const found = lookAt(folder);
  return found === null ? path.resolve(folder) : `${found.dev}:${found.ino}`;
}

function toKept({ job, measured, record }: RecordedLog): Kept[] {
  if (record === null || measured.digests.some(({ sha256 }) => sha256 === "")) return [];
  const { key, sizes, isSettled } = record;
  const { file, sensorFile } = job;
  return [{ record: isSettled ? key : null, sizes, file, sensorFile, measured }];
}

/** What was kept of logs that are neither gone nor kept anew: one entry for each name. */
function stillThere(folder: string, logs: readonly Kept[], anew: readonly Kept[]): Kept[] {
  const isAnew = new Set(anew.map(({ file }) => path.basename(file)));
  return logs.filter(({ file }) => {
    const name = path.basename(file);
    return !isAnew.has(name) && existsSync(path.join(folder, name));
  });
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

/** The file system's record of a job's files; null where one cannot be looked at. */
export function recordOf(job: MeasureJob): FileRecord | null {
  const records = filesOf(job).map(lookAt);
  const known = records.filter((record) => record !== null);
  if (known.length < records.length) return null;
  // Read otherwise, the same bytes are another log.
  const how = job.log === undefined ? "" : JSON.stringify(job.log);
  const newestMs = Math.max(...known.flatMap(({ mtimeMs, ctimeMs }) => [Number(mtimeMs), Number(ctimeMs)]));
  return {
    key:
      known
        .map(({ dev, ino, size, mtimeNs, ctimeNs }) => [dev, ino, size, mtimeNs, ctimeNs].join(":"))
        .join() + how,
    sizes: known.map(({ size }) => size).join() + how,
    isSettled: Date.now() - newestMs >= settledMs,
  };
}

let code: string | null = null;

/** Digest of the code that reads and measures: entries of another build are never used, whatever its version says. */
function codeDigest(): string {
  if (code !== null) return code;
  // Where the program is bundled, the build has left it beside the code.
  const told = new URL("./code.sha256", import.meta.url);
  code = existsSync(told) ? `${version} ${readFileSync(told, "utf8")}` : digestLayers();
  return code;
}

function digestLayers(): string {
  const hash = createHash("sha256").update(version);
  for (const folder of ["./", "../read/", "../measure/", "../shared/"]) {
    const url = new URL(folder, import.meta.url);
    const names = readdirSync(url).sort();
    for (const name of names.filter((candidate) => /\.[jt]s$/.test(candidate))) {
      hash.update(name).update(readFileSync(new URL(name, url)));
    }
  }
  return hash.digest("hex");
}

/** Something else in its place is a mistake of whoever named it; one that cannot be written is done without. */
export async function requireCacheFolder(folder: string | null): Promise<void> {
  if (folder === null || (await kindOfPath(folder)) !== "file") return;
  throw badOption("--cache-dir", folder, "a folder, not a file");
}
