import { createHash, randomBytes } from "node:crypto";
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import path from "node:path";

/** Texts kept on disk by key. What is lost, spoiled or cannot be written is simply not there. */
export interface EntryStore {
  readonly get: (key: string) => string | null;
  readonly put: (entries: readonly (readonly [key: string, text: string])[]) => void;
}

const usualMostBytes = 100e6;

/** An entry, or what a process that was killed had not yet renamed. */
const ownName = /^(?:[0-9a-f]{64}|\.[0-9a-f]{16})$/;

const digest = (text: string): string => createHash("sha256").update(text).digest("hex");

/**
 * A store in a folder that is made when the first entry is put. Several processes may use it at once: an entry is
 * written beside its place and renamed, and each carries the SHA-256 of its text, so that a broken one is not believed.
 */
export function openEntryStore(folder: string, mostBytes = usualMostBytes): EntryStore {
  const fileOf = (key: string): string => path.join(folder, digest(key));
  return {
    get: (key) => {
      try {
        const file = fileOf(key);
        // Looking is cheaper than an error, and before the first run nothing is there.
        if (!existsSync(file)) return null;
        const kept = readFileSync(file, "utf8");
        const text = kept.slice(kept.indexOf("\n") + 1);
        return kept.startsWith(`${digest(text)}\n`) ? text : null;
      } catch {
        return null;
      }
    },
    put: (entries) => {
      if (entries.length === 0) return;
      const beside = path.join(folder, `.${randomBytes(8).toString("hex")}`);
      try {
        mkdirSync(folder, { recursive: true, mode: 0o700 });
        for (const [key, text] of entries) {
          writeFileSync(beside, `${digest(text)}\n${text}`, { mode: 0o600 });
          renameSync(beside, fileOf(key));
        }
        evict(folder, mostBytes);
      } catch {
        discard(beside);
      }
    },
  };
}

function discard(file: string): void {
  try {
    rmSync(file, { force: true });
  } catch {
    // Where nothing can be written, nothing is left to remove.
  }
}

/** Removes the oldest until half is left, once there is too much: leftovers of processes that were killed go with them. */
function evict(folder: string, mostBytes: number): void {
  // The folder is the user's choice: what others have put there stays.
  const files = readdirSync(folder)
    .filter((name) => ownName.test(name))
    .map((name) => path.join(folder, name))
    .map((file) => ({ file, found: statSync(file, { throwIfNoEntry: false }) }))
    .flatMap(({ file, found }) =>
      found?.isFile() ? [{ file, bytes: found.size, writtenMs: found.mtimeMs }] : [],
    )
    .sort((a, b) => a.writtenMs - b.writtenMs);
  let bytes = files.reduce((sum, file) => sum + file.bytes, 0);
  if (bytes <= mostBytes) return;
  for (const { file, bytes: own } of files) {
    if (bytes <= mostBytes / 2) return;
    rmSync(file, { force: true });
    bytes -= own;
  }
}
