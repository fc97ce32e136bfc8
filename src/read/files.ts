import { createHash } from "node:crypto";
import {
  type BigIntStats,
  closeSync,
  createReadStream,
  openSync,
  readSync,
  type Stats,
  statSync,
} from "node:fs";
import { lstat, open, readdir, realpath, stat } from "node:fs/promises";
import path from "node:path";
import { errorCode } from "../shared/error-code.ts";
import { type Problem, RunError } from "../shared/problem.ts";
import { isLogName, withoutLogExtension } from "./layout.ts";
import type { ByteSource } from "./log.ts";
import { requireFewBytes } from "./log-limits.ts";

/** A log found in a folder, with its sensor log where one lies beside it. */
export interface FoundLog {
  readonly source: ByteSource;
  readonly sensorSource: ByteSource | null;
  /** Parts of its absolute path, the file's name last. */
  readonly parts: readonly string[];
  /** When the file was last written, milliseconds since 1970. */
  readonly writtenAtMs: number;
  readonly bytes: number;
  /** Changes whenever the log or its sensor log is written. */
  readonly version: string;
}

export interface FoundLogs {
  readonly logs: readonly FoundLog[];
  /** Every folder that was entered, the one asked for first. */
  readonly folders: readonly string[];
  /** Names of some other files, for the message that there are no logs. */
  readonly others: readonly string[];
  readonly problems: readonly Problem[];
}

/** Bytes of a file; errors surface where the bytes are consumed. */
export function fileSource(file: string): ByteSource {
  let size: number | null = null;
  const sizeOf = (): number => {
    size ??= Number(lookAt(file)?.size ?? 0);
    return size;
  };
  return {
    file,
    get bytes() {
      return sizeOf();
    },
    open: () => readPieces(file),
    blocks: () => (sizeOf() < leastBytesForReadAhead ? readBlocks(file) : readAhead(file)),
  };
}

/** A file whose SHA-256 is taken along where it is read through. */
export interface DigestedSource extends ByteSource {
  /** Of the file's bytes, as hex; read once more where nobody has read them all. "" as of digestFile. */
  readonly sha256: () => string;
}

/** As fileSource, and what is read through is digested on the way. */
export function digestedSource(file: string): DigestedSource {
  const source = fileSource(file);
  let found: string | null = null;
  return {
    file,
    get bytes() {
      return source.bytes ?? 0;
    },
    open: source.open,
    blocks: () =>
      digestBlocks(source.blocks?.() ?? [], (sha256) => {
        found = sha256;
      }),
    sha256: () => found ?? digestFile(file),
  };
}

async function* digestBlocks(
  blocks: Iterable<Uint8Array> | AsyncIterable<Uint8Array>,
  onEnd: (sha256: string) => void,
): AsyncGenerator<Uint8Array> {
  const hash = createHash("sha256");
  for await (const block of blocks) {
    hash.update(block);
    yield block;
  }
  onEnd(hash.digest("hex"));
}

/** Large enough that the calls cost nothing, small enough to stay in a processor's cache. */
const blockBytes = 1 << 20;
/** The head of a log is in the first or second of these. */
const pieceBytes = 1 << 15;
/** From here on the disk reads the next block while this one is looked at; before, the turn to another thread costs more. */
const leastBytesForReadAhead = 16 * blockBytes;

/** Blocks that nobody uses now: a new one for every log would be garbage faster than it is collected. */
const spareBlocks: Uint8Array[] = [];

function takeBlock(): Uint8Array {
  return spareBlocks.pop() ?? new Uint8Array(blockBytes);
}

/** In blocks that are only good until the next one. */
function* readBlocks(file: string): Generator<Uint8Array> {
  const handle = openSync(file, "r");
  const block = takeBlock();
  try {
    for (;;) {
      const length = readSync(handle, block, 0, blockBytes, null);
      if (length === 0) return;
      yield block.subarray(0, length);
    }
  } finally {
    spareBlocks.push(block);
    closeSync(handle);
  }
}

/** As readBlocks, in two blocks by turns. */
async function* readAhead(file: string): AsyncGenerator<Uint8Array> {
  const handle = await open(file, "r");
  const read = (block: Uint8Array): Promise<Uint8Array> => {
    const reading = handle
      .read(block, 0, blockBytes, null)
      .then(({ bytesRead }) => block.subarray(0, bytesRead));
    // It may fail while nobody waits for it yet; whoever does then is told.
    reading.catch(() => undefined);
    return reading;
  };
  let [block, other] = [takeBlock(), takeBlock()];
  let next = read(block);
  try {
    for (;;) {
      const bytes = await next;
      if (bytes.length === 0) return;
      [block, other] = [other, block];
      next = read(block);
      yield bytes;
    }
  } finally {
    await next.catch(() => undefined);
    spareBlocks.push(block, other);
    await handle.close();
  }
}

/** In pieces that may be kept. */
async function* readPieces(file: string): AsyncGenerator<Uint8Array> {
  const handle = openSync(file, "r");
  try {
    for (;;) {
      const piece = new Uint8Array(pieceBytes);
      const length = readSync(handle, piece, 0, pieceBytes, null);
      if (length === 0) return;
      yield piece.subarray(0, length);
    }
  } finally {
    closeSync(handle);
  }
}

/**
 * All logs below a folder, in an order that does not depend on the file system. Links are followed, each folder is
 * entered once. Hidden entries (a dot before the name) are no captures.
 * @throws RunError if the folder cannot be read
 */
export async function findLogs(folder: string): Promise<FoundLogs> {
  const walk: Walk = {
    entered: new Set([await requireFolder(folder)]),
    folders: [],
    files: [],
    others: [],
    problems: [],
  };
  await enter(folder, walk);
  const sensors = new Map<string, WalkedFile>();
  const logs: WalkedFile[] = [];
  for (const walked of walk.files) {
    const stem = sensorStem(walked.file);
    if (stem === null) logs.push(walked);
    else sensors.set(stem, walked);
  }
  const found = logs.map((log) => foundLog(log, sensors.get(withoutLogExtension(log.file)) ?? null));
  for (const log of logs) sensors.delete(withoutLogExtension(log.file));
  const alone = [...sensors.values()].map(
    ({ file }): Problem => ({ code: "sensors-alone", severity: "warning", at: { file } }),
  );
  return {
    logs: found,
    folders: walk.folders,
    others: walk.others,
    problems: [...walk.problems, ...alone],
  };
}

function foundLog(log: WalkedFile, sensors: WalkedFile | null): FoundLog {
  const stamp = ({ file, bytes, writtenAtMs }: WalkedFile): string => `${file}:${bytes}:${writtenAtMs}`;
  return {
    source: fileSource(log.file),
    sensorSource: sensors === null ? null : fileSource(sensors.file),
    parts: pathParts(log.file),
    writtenAtMs: log.writtenAtMs,
    bytes: log.bytes,
    version: sensors === null ? stamp(log) : `${stamp(log)}|${stamp(sensors)}`,
  };
}

/** Parts of the absolute path of a file or folder. */
export function pathParts(file: string): string[] {
  return path.resolve(file).split(path.sep).filter(Boolean);
}

/** The path without extension of the log that a sensor log belongs to; null for any other file. */
export function sensorStem(file: string): string | null {
  const stem = withoutLogExtension(file);
  return /\.sensors$/i.test(stem) ? stem.slice(0, -".sensors".length) : null;
}

/** One log as findLogs would find it; null where there is none, or nothing that can be read as one. */
export async function findLog(file: string): Promise<FoundLog | null> {
  const walked = await walkedFile(file);
  if (walked === null) return null;
  const { sensorSource } = await findSensorSource(file);
  return foundLog(walked, sensorSource === null ? null : await walkedFile(sensorSource.file));
}

async function walkedFile(file: string): Promise<WalkedFile | null> {
  const kind = await stat(file).catch(() => null);
  return kind?.isFile() === true ? { file, writtenAtMs: kind.mtimeMs, bytes: kind.size } : null;
}

/** The sensor log beside a log, `<pass>.sensors.csv`; null if there is none, or nobody may look. */
export async function findSensorSource(
  file: string,
): Promise<{ readonly sensorSource: ByteSource | null; readonly problems: readonly Problem[] }> {
  const stem = withoutLogExtension(path.basename(file));
  let entries: string[];
  try {
    entries = await readdir(path.dirname(file));
  } catch (error) {
    if (isNothingThere(error)) return { sensorSource: null, problems: [] };
    const why = `it cannot be looked for (${errorCode(error)})`;
    return {
      sensorSource: null,
      problems: [{ code: "sensor-log-unusable", severity: "warning", at: { file }, why }],
    };
  }
  const name = entries.sort().find((entry) => isLogName(entry) && sensorStem(entry) === stem);
  return {
    sensorSource: name === undefined ? null : fileSource(path.join(path.dirname(file), name)),
    problems: [],
  };
}

/** Folders above a log in which its session file may lie: pass, config and game, and one more. */
const foldersAbove = 4;

/** The nearest folder that holds a session.yaml, this one or one of those above it; else this one. */
export async function findSessionFolder(folder: string): Promise<string> {
  let candidate = folder;
  for (let up = 0; up < foldersAbove; up++) {
    if ((await readTextFile(path.join(candidate, "session.yaml"))) !== null) return candidate;
    candidate = path.join(candidate, "..");
  }
  return folder;
}

/** Far more than any session file, script or judgement holds; a file without end is not read into memory. */
const mostTextBytes = 256 * 2 ** 20;

interface ReadWhole {
  /** The user named it: a pipe is read like a file. One that lies in a folder would be waited for without end. */
  readonly mayBePipe?: boolean;
}

/**
 * Text of a small file such as a session file; null if there is none.
 * @throws RunError if it is there but cannot be read
 */
export async function readTextFile(file: string, how: ReadWhole = {}): Promise<string | null> {
  const bytes = await readBytes(file, how);
  // Byte order marks are left to whoever reads the text.
  return bytes === null ? null : new TextDecoder("utf-8", { ignoreBOM: true }).decode(bytes);
}

/**
 * Bytes of a small file such as a script; null if there is none.
 * @throws RunError if it is there but cannot be read
 */
export async function readBytes(
  file: string,
  { mayBePipe = false }: ReadWhole = {},
): Promise<Uint8Array | null> {
  try {
    if (!mayBePipe && !(await isThere(file))) return null;
    return await collectBytes(createReadStream(file), file);
  } catch (error) {
    if (isNothingThere(error)) return null;
    throw cannotRead(file, error);
  }
}

/**
 * All of a stream, such as standard input.
 * @param file the name to show for it
 * @throws RunError if it is longer than any script or judgement
 */
export async function collectBytes(chunks: AsyncIterable<Uint8Array>, file: string): Promise<Uint8Array> {
  const collected: Uint8Array[] = [];
  let length = 0;
  for await (const chunk of chunks) {
    length += chunk.length;
    if (length > mostTextBytes)
      throw new RunError([
        { code: "file-too-large", severity: "error", at: { file }, mostBytes: mostTextBytes },
      ]);
    collected.push(chunk);
  }
  return Buffer.concat(collected);
}

/**
 * Whether a file lies there. Folders are told apart by whoever opens them.
 * @throws RunError if a pipe or a device lies there, which may have no end, or nobody may look
 */
export async function isThere(file: string): Promise<boolean> {
  try {
    const kind = await stat(file);
    if (kind.isFile() || kind.isDirectory()) return true;
  } catch (error) {
    if (isNothingThere(error)) return false;
    throw cannotRead(file, error);
  }
  throw new RunError([{ code: "not-a-file", severity: "error", at: { file }, kind: "other" }]);
}

/** What the file system tells of a path, links followed; null for nothing, or nothing that may be looked at. */
export function lookAt(file: string): BigIntStats | null {
  try {
    return statSync(file, { bigint: true, throwIfNoEntry: false }) ?? null;
  } catch {
    return null;
  }
}

/** What a path leads to, links followed; null for nothing, or nothing that can be looked at. */
export async function kindOfPath(file: string): Promise<"folder" | "file" | null> {
  try {
    return (await stat(file)).isDirectory() ? "folder" : "file";
  } catch {
    return null;
  }
}

/** SHA-256 of a file's bytes as hex; "" where it cannot be read, or is no log for its length. */
export function digestFile(file: string): string {
  const hash = createHash("sha256");
  try {
    requireFewBytes(statSync(file).size);
    for (const block of readBlocks(file)) hash.update(block);
  } catch {
    return "";
  }
  return hash.digest("hex");
}

/** SHA-256 of a text as hex. */
export function digestText(text: string): string {
  return createHash("sha256").update(text).digest("hex");
}

/** ENOTDIR: a file in place of a folder above it. */
function isNothingThere(error: unknown): boolean {
  return ["ENOENT", "ENOTDIR"].includes(errorCode(error));
}

function cannotRead(file: string, error: unknown): RunError {
  if (error instanceof RunError) return error;
  return new RunError([{ code: "unreadable", severity: "error", at: { file }, why: errorCode(error) }]);
}

interface WalkedFile {
  readonly file: string;
  readonly writtenAtMs: number;
  readonly bytes: number;
}

interface Walk {
  readonly entered: Set<string>;
  readonly folders: string[];
  readonly files: WalkedFile[];
  readonly others: string[];
  readonly problems: Problem[];
}

/** Other files named in the message that there are no logs. */
const othersNamed = 5;

/** The folder's one true path. */
async function requireFolder(folder: string): Promise<string> {
  const at = { file: folder };
  try {
    if ((await stat(folder)).isDirectory()) return await realpath(folder);
  } catch (error) {
    if (isNothingThere(error)) throw new RunError([{ code: "folder-missing", severity: "error", at }]);
    throw cannotRead(folder, error);
  }
  throw new RunError([{ code: "not-a-folder", severity: "error", at }]);
}

async function enter(folder: string, walk: Walk): Promise<void> {
  let entries: string[];
  try {
    entries = await readdir(folder);
  } catch (error) {
    walk.problems.push({
      code: "unreadable",
      severity: "warning",
      at: { file: folder },
      why: errorCode(error),
    });
    return;
  }
  walk.folders.push(folder);
  entries.sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
  const names = entries.filter((name) => !name.startsWith("."));
  // All at once, then in order: the way to the file system and back is longer than the look.
  const kinds = await Promise.allSettled(names.map((name) => stat(path.join(folder, name))));
  for (const [i, name] of names.entries()) {
    await visit(path.join(folder, name), name, kinds[i] as PromiseSettledResult<Stats>, walk);
  }
}

async function visit(
  file: string,
  name: string,
  looked: PromiseSettledResult<Stats>,
  walk: Walk,
): Promise<void> {
  const at = { file };
  const isNamedLikeLog = isLogName(name);
  try {
    if (looked.status === "rejected") throw looked.reason;
    const kind = looked.value;
    if (kind.isDirectory()) {
      if (isNamedLikeLog) {
        walk.problems.push({ code: "not-a-file", severity: "warning", at, kind: "folder" });
        return;
      }
      const real = await realpath(file);
      if (walk.entered.has(real)) {
        walk.problems.push({ code: "link-loop", severity: "warning", at });
        return;
      }
      walk.entered.add(real);
      await enter(file, walk);
    } else if (isNamedLikeLog) {
      if (kind.isFile()) walk.files.push({ file, writtenAtMs: kind.mtimeMs, bytes: kind.size });
      else walk.problems.push({ code: "not-a-file", severity: "warning", at, kind: "other" });
    } else if (walk.others.length < othersNamed) {
      walk.others.push(name);
    }
  } catch (error) {
    const why = errorCode(error);
    if (why === "ELOOP") walk.problems.push({ code: "link-loop", severity: "warning", at });
    else if (isNamedLikeLog) walk.problems.push({ code: "unreadable", severity: "error", at, why });
    // It may be a folder full of captures.
    else if (why !== "ENOENT" || (await isLink(file)))
      walk.problems.push({ code: "unreadable", severity: "warning", at, why });
  }
}

async function isLink(file: string): Promise<boolean> {
  return (await lstat(file).catch(() => null))?.isSymbolicLink() ?? false;
}
