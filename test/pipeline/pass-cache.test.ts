import {
  cpSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import path from "node:path";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import type { MeasuredLog, MeasureJob, MeasureSettings } from "../../src/pipeline/measure-job.ts";
import {
  openPassCache,
  type RecordedLog,
  recordOf,
  requireCacheFolder,
} from "../../src/pipeline/pass-cache.ts";
import { digestFile } from "../../src/read/files.ts";
import { makePass } from "../support/make-pass.ts";
import { makeFolder } from "../support/run-cli.ts";

const settings: MeasureSettings = {
  log: {},
  lows: "percentile",
  trim: { skipS: 0, keepS: null },
  cacheFolder: null,
  isDigested: false,
};

let folder: string;
let cacheFolder: string;

beforeEach(() => {
  folder = path.join(makeFolder(), "stock");
  mkdirSync(folder);
  cacheFolder = path.join(makeFolder(), "cache");
});

afterEach(() => {
  vi.useRealTimers();
});

/** What the cache takes for now; files keep the true time of their changes. */
function setClock(nowMs: number): void {
  vi.useFakeTimers({ toFake: ["Date"], now: nowMs });
}

/** From here on the records of all files that are there are believed. */
function settle(): void {
  setClock(Date.now() + 2500);
}

function putLog(name: string, text: string): string {
  const file = path.join(folder, name);
  writeFileSync(file, text);
  return file;
}

function jobOf(file: string, sensorFile: string | null = null): MeasureJob {
  const place = { game: "saltworks", config: "stock", pass: path.parse(file).name, boot: null };
  return { file, sensorFile, place, bytes: statSync(file).size };
}

/** What a log was measured to be. Nothing is read here: the number of frames says whose figures they are. */
function measuredOf(
  job: MeasureJob,
  frames: number,
  record: RecordedLog["record"] = recordOf(job),
): RecordedLog {
  const files = job.sensorFile === null ? [job.file] : [job.file, job.sensorFile];
  const measured: MeasuredLog = {
    summary: { ...makePass(job.place, {}), file: job.file, frames, fingerprint: "" },
    frames: null,
    problems: [{ code: "log-row-cut-off", severity: "note", at: { file: files.at(-1) as string } }],
    digests: files.map((file) => ({ file, sha256: digestFile(file) })),
  };
  return { job, measured, record };
}

const open = (changed: Partial<MeasureSettings> = {}) =>
  openPassCache(cacheFolder, { ...settings, ...changed });

/** Frames of the summary that a later run finds; null where it measures afresh. */
const found = (job: MeasureJob, changed: Partial<MeasureSettings> = {}): number | null =>
  open(changed).find(job)?.summary?.frames ?? null;

test("what was measured is found by a later run, and nothing else is", () => {
  const job = jobOf(putLog("pass-1.csv", "one"));
  expect(found(job)).toBeNull();
  const recorded = measuredOf(job, 11);
  open().keep([recorded]);
  expect(open().find(job)).toEqual(recorded.measured);
  expect(found(jobOf(putLog("pass-2.csv", "two")))).toBeNull();
  expect(found(jobOf(putLog("pass-3.csv", "of another size")))).toBeNull();
});

test.for<{ setting: string; changed: Partial<MeasureSettings>; expected: number | null }>([
  { setting: "another definition of the lows", changed: { lows: "tail-average" }, expected: null },
  { setting: "another window", changed: { trim: { skipS: 1, keepS: null } }, expected: null },
  { setting: "another reading of the log", changed: { log: { segment: 2 } }, expected: null },
  { setting: "digests asked for, which are kept in any case", changed: { isDigested: true }, expected: 11 },
])("with $setting a run finds $expected frames", ({ changed, expected }) => {
  const job = jobOf(putLog("pass-1.csv", "one"));
  open().keep([measuredOf(job, 11)]);
  expect(found(job, changed)).toBe(expected);
});

test("what the session says about one log alone is another reading of it, by its record as by its bytes", () => {
  const file = putLog("pass-1.csv", "one");
  settle();
  const job = { ...jobOf(file), log: { segment: 2 } };
  open().keep([measuredOf(job, 11)]);
  expect(found(job)).toBe(11);
  expect(found(jobOf(file))).toBeNull();
  utimesSync(file, 1e9, 1e9);
  expect(found({ ...jobOf(file), log: { segment: 3 } })).toBeNull();
  expect(found({ ...jobOf(file), log: { segment: 2 } })).toBe(11);
});

/** A kept record with forged digests: it shows whether the record alone was believed. */
function keepByRecordOnly(job: MeasureJob, frames: number): void {
  const { measured, record } = measuredOf(job, frames);
  const digests = measured.digests.map(({ file }) => ({ file, sha256: "of other bytes" }));
  open().keep([{ job, measured: { ...measured, digests }, record }]);
}

test.for<{ when: string; aged?: boolean; afterMs: number; expected: number | null }>([
  { when: "two seconds after its last change", afterMs: 2000, expected: 11 },
  { when: "just before that", afterMs: 1999, expected: null },
  { when: "before that, though its time of writing was set back", aged: true, afterMs: 1999, expected: null },
])("a record of the file system taken $when is believed: $expected", ({ aged, afterMs, expected }) => {
  const file = putLog("pass-1.csv", "one");
  if (aged === true) utimesSync(file, 1e9, 1e9);
  setClock(Number(statSync(file, { bigint: true }).ctimeMs) + afterMs);
  keepByRecordOnly(jobOf(file), 11);
  expect(found(jobOf(file))).toBe(expected);
});

test.for<{ change: string; make: (file: string) => void }>([
  { change: "written anew with as many bytes", make: (file) => writeFileSync(file, "two") },
  { change: "touched", make: (file) => utimesSync(file, 1e9, 1e9) },
  {
    change: "replaced by a file with its time of writing",
    make: (file) => {
      const { atime, mtime } = statSync(file);
      rmSync(file);
      writeFileSync(file, "one");
      utimesSync(file, atime, mtime);
    },
  },
])("a log that was $change is not found by its old record", ({ make }) => {
  const file = putLog("pass-1.csv", "one");
  settle();
  keepByRecordOnly(jobOf(file), 11);
  make(file);
  expect(found(jobOf(file))).toBeNull();
});

test.for([
  { what: "the log itself", name: "pass-1.csv", text: "two" },
  { what: "its sensor log", name: "pass-1.sensors.csv", text: "w 2" },
])("bytes decide where the record is another: not those of another $what", ({ name, text }) => {
  const job = jobOf(putLog("pass-1.csv", "one"), putLog("pass-1.sensors.csv", "w 1"));
  open().keep([measuredOf(job, 11)]);
  const file = path.join(folder, name);
  utimesSync(file, 1e9, 1e9);
  expect(found(job)).toBe(11);
  writeFileSync(file, text);
  expect(found(job)).toBeNull();
});

test.for([
  { it: "has no sensor log any more", before: true, after: false },
  { it: "has got a sensor log", before: false, after: true },
])("a log that $it is measured afresh", ({ before, after }) => {
  const file = putLog("pass-1.csv", "one");
  const sensorFile = putLog("pass-1.sensors.csv", "w 1");
  settle();
  open().keep([measuredOf(jobOf(file, before ? sensorFile : null), 11)]);
  expect(found(jobOf(file, before ? sensorFile : null))).toBe(11);
  expect(found(jobOf(file, after ? sensorFile : null))).toBeNull();
});

test.for<{ what: string; before: string[]; after: string[] }>([
  { what: "a log", before: ["pass-1.csv"], after: ["pass-7.csv"] },
  {
    what: "a log with its sensor log",
    before: ["pass-1.csv", "pass-1.sensors.csv"],
    after: ["pass-7.csv", "pass-7.sensors.csv"],
  },
  {
    what: "the sensor log alone",
    before: ["pass-1.csv", "pass-1.sensors.csv"],
    after: ["pass-1.csv", "pass-1.sensors.txt"],
  },
])("where $what was renamed, place, problems and digests tell the new name", ({ before, after }) => {
  const jobFrom = (names: readonly string[]): MeasureJob => {
    const [file, sensorFile] = names.map((name) => path.join(folder, name));
    return jobOf(file as string, sensorFile ?? null);
  };
  for (const [i, name] of before.entries()) putLog(name, `file ${i}`);
  open().keep([measuredOf(jobFrom(before), 11)]);
  for (const [i, name] of before.entries())
    renameSync(path.join(folder, name), path.join(folder, after[i] as string));
  expect(open().find(jobFrom(after))).toEqual(measuredOf(jobFrom(after), 11).measured);
});

test("what was found by its bytes is kept under its new record", () => {
  const job = jobOf(putLog("pass-1.csv", "one"));
  open().keep([measuredOf(job, 11)]);
  settle();
  const run = open();
  expect(run.find(job)?.summary?.frames).toBe(11);
  run.keep([]);
  expect(keptTexts()).toContain(`"record":"${recordOf(job)?.key}"`);
});

test("what is gone, measured anew or known by another name is no longer kept under its old one", () => {
  const [gone, anew, stays] = ["pass-1.csv", "pass-2.csv", "pass-3.csv"].map((name) =>
    jobOf(putLog(name, name)),
  );
  open().keep([gone, anew, stays].map((job) => measuredOf(job as MeasureJob, 11)));
  rmSync((gone as MeasureJob).file);
  open().keep([measuredOf(anew as MeasureJob, 22)]);
  const kept = keptTexts();
  expect(kept).not.toContain("pass-1.csv");
  expect(kept).not.toContain('"frames":11,"seconds":600,"file":"pass-2');
  expect(found(anew as MeasureJob)).toBe(22);
  expect(found(stays as MeasureJob)).toBe(11);
});

test.for<{ what: string; change: (recorded: RecordedLog) => RecordedLog }>([
  { what: "changed while it was read", change: (recorded) => ({ ...recorded, record: null }) },
  {
    what: "lost its sensor log before that was digested",
    change: ({ measured, ...rest }) => {
      const [own, beside] = measured.digests.map(({ file, sha256 }, i) => ({
        file,
        sha256: i === 0 ? sha256 : "",
      }));
      return { ...rest, measured: { ...measured, digests: [own, beside] as MeasuredLog["digests"] } };
    },
  },
])("a log that $what is not kept", ({ change }) => {
  const job = jobOf(putLog("pass-1.csv", "one"), putLog("pass-1.sensors.csv", "w 1"));
  settle();
  open().keep([change(measuredOf(job, 11))]);
  expect(found(job)).toBeNull();
});

test("a log that is gone with its folder when it is to be kept does no harm", () => {
  const recorded = measuredOf(jobOf(putLog("pass-1.csv", "one")), 11);
  rmSync(folder, { recursive: true });
  open().keep([recorded]);
  expect(open().find(recorded.job)).toBeNull();
});

test("of one folder the latest 20,000 logs are kept", () => {
  const jobs = ["pass-1.csv", "pass-2.csv"].map((name) => jobOf(putLog(name, name)));
  settle();
  const [first, second] = jobs.map((job) => measuredOf(job, 11)) as [RecordedLog, RecordedLog];
  const file = path.join(folder, "pass-3.csv");
  const other: RecordedLog = {
    job: { ...first.job, file },
    measured: { summary: null, frames: null, problems: [], digests: [{ file, sha256: "of its bytes" }] },
    record: { key: "of its own", sizes: "1", isSettled: true },
  };
  open().keep([first, second, ...new Array<RecordedLog>(19_999).fill(other)]);
  expect(jobs.map((job) => found(job))).toEqual([null, 11]);
});

test("a log that could not be read is known as such the next time", () => {
  const job = jobOf(putLog("pass-1.csv", ""));
  const { measured, record } = measuredOf(job, 0);
  const unread = { ...measured, summary: null };
  open().keep([{ job, measured: unread, record }]);
  expect(open().find(job)).toEqual(unread);
});

test("a log that is gone has no record and is not found", () => {
  const job = jobOf(putLog("pass-1.csv", "one"), putLog("pass-1.sensors.csv", "w 1"));
  settle();
  open().keep([measuredOf(job, 11)]);
  rmSync(job.sensorFile as string);
  expect(recordOf(job)).toBeNull();
  expect(open().find(job)).toBeNull();
});

test("folders are kept apart, and each is found again after it was moved", () => {
  const job = jobOf(putLog("pass-1.csv", "one"));
  const beside = path.join(path.dirname(folder), "quiet");
  mkdirSync(beside);
  writeFileSync(path.join(beside, "pass-1.csv"), "two");
  open().keep([measuredOf(job, 11), measuredOf(jobOf(path.join(beside, "pass-1.csv")), 22)]);
  cpSync(job.file, path.join(beside, "pass-2.csv"));
  expect(found(jobOf(path.join(beside, "pass-2.csv")))).toBeNull();
  expect(found(jobOf(path.join(beside, "pass-1.csv")))).toBe(22);
  const moved = path.join(path.dirname(folder), "moved");
  renameSync(folder, moved);
  expect(found(jobOf(path.join(moved, "pass-1.csv")))).toBe(11);
});

function keptTexts(): string {
  return readdirSync(cacheFolder)
    .map((name) => readFileSync(path.join(cacheFolder, name), "utf8"))
    .join("\n");
}

test.for([
  { place: "none", make: () => null, isRefused: false },
  { place: "a folder", make: () => folder, isRefused: false },
  { place: "a folder that is not there yet", make: () => path.join(folder, "cache"), isRefused: false },
  { place: "a file", make: () => putLog("pass-1.csv", ""), isRefused: true },
])("$place as the folder of the cache is refused: $isRefused", async ({ make, isRefused }) => {
  const asked = make();
  const refusal = [{ code: "bad-option", option: "--cache-dir", value: asked, at: { file: "" } }];
  if (isRefused) await expect(requireCacheFolder(asked)).rejects.toMatchObject({ problems: refusal });
  else await requireCacheFolder(asked);
});
