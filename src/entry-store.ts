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

/** Small texts kept on disk by key. What is lost, spoiled or cannot be written is simply not there. */
export interface EntryStore {
  readonly get: (key: string) => string | null;
  readonly put: (key: string, text: string) => void;
}

/** Entries lie in 256 folders; at about 3 kB each the whole stays below 100 MB. */
const usualPerShard = 128;

const digest = (text: string): string => createHash("sha256").update(text).digest("hex");

/**
 * A store in a folder that is made when the first entry is put. Several processes may use it at once: an entry is
 * written beside its place and renamed, and each carries the SHA-256 of its text, so that a broken one is not believed.
 */
export function openEntryStore(folder: string, mostPerShard = usualPerShard): EntryStore {
  const placeOf = (key: string): { shard: string; file: string } => {
    const name = digest(key);
    const shard = path.join(folder, name.slice(0, 2));
    return { shard, file: path.join(shard, name.slice(2)) };
  };
  return {
    get: (key) => {
      try {
        const { file } = placeOf(key);
        // Looking is cheaper than an error, and before the first run nothing is there.
        if (!existsSync(file)) return null;
        const kept = readFileSync(file, "utf8");
        const text = kept.slice(kept.indexOf("\n") + 1);
        return kept.startsWith(`${digest(text)}\n`) ? text : null;
      } catch {
        return null;
      }
    },
    put: (key, text) => {
      const { shard, file } = placeOf(key);
      const beside = path.join(shard, `.${randomBytes(8).toString("hex")}`);
      try {
        mkdirSync(shard, { recursive: true, mode: 0o700 });
        writeFileSync(beside, `${digest(text)}\n${text}`, { mode: 0o600 });
        renameSync(beside, file);
        evict(shard, mostPerShard);
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

/** Removes the oldest half once there are too many: leftovers of processes that were killed go with them. */
function evict(shard: string, most: number): void {
  const names = readdirSync(shard);
  if (names.length <= most) return;
  const files = names
    .map((name) => path.join(shard, name))
    .map((file) => ({ file, writtenMs: statSync(file, { throwIfNoEntry: false })?.mtimeMs ?? 0 }))
    .sort((a, b) => a.writtenMs - b.writtenMs);
  for (const { file } of files.slice(0, files.length - most / 2)) rmSync(file, { force: true });
}
