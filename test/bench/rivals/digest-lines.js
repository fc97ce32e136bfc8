// The least that must be done to the bytes of a folder on all cores: reading, SHA-256, finding the line ends.
// node digest-lines.js <folder>
import { createHash } from "node:crypto";
import { closeSync, openSync, readdirSync, readSync, statSync } from "node:fs";
import { availableParallelism } from "node:os";
import path from "node:path";
import { isMainThread, Worker, workerData } from "node:worker_threads";

function work({ files, next }) {
  const block = Buffer.alloc(1 << 20);
  for (;;) {
    const file = files[Atomics.add(next, 0, 1)];
    if (file === undefined) return;
    const hash = createHash("sha256");
    const handle = openSync(file, "r");
    for (;;) {
      const length = readSync(handle, block, 0, block.length, null);
      if (length === 0) break;
      const bytes = block.subarray(0, length);
      hash.update(bytes);
      for (let at = bytes.indexOf(0x0a); at >= 0; at = bytes.indexOf(0x0a, at + 1));
    }
    closeSync(handle);
    hash.digest("hex");
  }
}

if (isMainThread) {
  const names = readdirSync(process.argv[2], { recursive: true });
  const files = names
    .map((name) => path.join(process.argv[2], name))
    .filter((file) => statSync(file).isFile());
  const shared = { files, next: new Int32Array(new SharedArrayBuffer(4)) };
  for (let thread = 1; thread < availableParallelism(); thread++)
    new Worker(new URL(import.meta.url), { workerData: shared });
  work(shared);
} else {
  work(workerData);
}
