import { createReadStream, type FSWatcher, watch } from "node:fs";
import { open } from "node:fs/promises";
import path from "node:path";
import { pipeline } from "node:stream/promises";
import { createGunzip } from "node:zlib";
import { isLogName } from "./layout.ts";

/** What the system said has happened since it was last asked. */
export interface Touched {
  /** Logs and sensor logs that were written, made, renamed or deleted. */
  readonly files: readonly string[];
  /** Something else was made, renamed or deleted: perhaps a folder. */
  readonly hasOther: boolean;
}

/** Folders beyond this are only looked at now and then: the system has a limit on what it watches. */
const mostWatched = 2000;

/**
 * Waits for events in folders, as far as the system tells any. Network shares often tell none, and a system may refuse:
 * whoever uses this looks for himself now and then as well.
 */
export class FolderWatcher {
  readonly #watchers = new Map<string, FSWatcher>();
  #files = new Set<string>();
  #hasOther = false;
  #wake: (() => void) | null = null;

  /** Watches these folders, and no others any more. */
  watch(folders: readonly string[]): void {
    const wanted = new Set(folders.slice(0, mostWatched));
    for (const [folder, watcher] of this.#watchers) {
      if (wanted.has(folder)) continue;
      watcher.close();
      this.#watchers.delete(folder);
    }
    for (const folder of wanted) if (!this.#watchers.has(folder)) this.#start(folder);
  }

  #start(folder: string): void {
    try {
      const watcher = watch(folder, { persistent: false }, (event, name) => this.#note(folder, event, name));
      watcher.on("error", () => this.#stop(folder));
      this.#watchers.set(folder, watcher);
    } catch {
      // No events from here; it is looked at now and then.
    }
  }

  #stop(folder: string): void {
    this.#watchers.get(folder)?.close();
    this.#watchers.delete(folder);
    this.#hasOther = true;
    this.wake();
  }

  #note(folder: string, event: string, name: string | null): void {
    if (name?.startsWith(".")) return;
    if (name !== null && isLogName(name)) this.#files.add(path.join(folder, name));
    // A file of another kind that is merely written concerns nobody.
    else if (event === "rename" || name === null || name === "session.yaml") this.#hasOther = true;
    else return;
    this.wake();
  }

  /** What has happened since the last call. */
  take(): Touched {
    const touched = { files: [...this.#files], hasOther: this.#hasOther };
    this.#files = new Set();
    this.#hasOther = false;
    return touched;
  }

  /** Ends the present sleep. */
  wake(): void {
    this.#wake?.();
  }

  /** Sleeps until something happens, wake() is called or the time is over. */
  async sleep(ms: number): Promise<void> {
    if (this.#files.size > 0 || this.#hasOther) return;
    await new Promise<void>((resolve) => {
      const timer = setTimeout(resolve, Math.max(0, ms));
      this.#wake = () => {
        clearTimeout(timer);
        resolve();
      };
    });
    this.#wake = null;
  }

  close(): void {
    for (const watcher of this.#watchers.values()) watcher.close();
    this.#watchers.clear();
  }
}

/**
 * Whether a log ends as one that is written to its end: with a line end, and packed ones with the end of the packing.
 * A file that cannot be read counts as ended, since waiting would not help.
 */
export async function hasWholeEnd(file: string): Promise<boolean> {
  try {
    const handle = await open(file);
    const first = new Uint8Array(2);
    const last = new Uint8Array(2);
    try {
      const { size } = await handle.stat();
      if (size < 2) return false;
      await handle.read(first, 0, 2, 0);
      await handle.read(last, 0, 2, size - 2);
    } finally {
      await handle.close();
    }
    return first[0] === 0x1f && first[1] === 0x8b ? await unpacksToLineEnd(file) : endsLine(last);
  } catch {
    return true;
  }
}

async function unpacksToLineEnd(file: string): Promise<boolean> {
  let last = new Uint8Array(0);
  try {
    await pipeline(createReadStream(file), createGunzip(), async (chunks: AsyncIterable<Uint8Array>) => {
      for await (const chunk of chunks) last = new Uint8Array([...last, ...chunk.slice(-2)]).slice(-2);
    });
  } catch {
    return false;
  }
  return endsLine(last);
}

/** LF or CR at the end, in one byte or, for UTF-16, in two of either order. */
function endsLine(last: Uint8Array): boolean {
  const isEnd = (byte: number | undefined): boolean => byte === 0x0a || byte === 0x0d;
  const end = last.at(-1);
  return isEnd(end) || (end === 0 && isEnd(last.at(-2)));
}
