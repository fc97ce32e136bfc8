import { execFileSync } from "node:child_process";
import { writeFile } from "node:fs/promises";
import { onTestFinished } from "vitest";

/** Makes a pipe and writes into it as soon as somebody reads; without a text nobody ever writes. */
export function putPipe(file: string, text?: string): void {
  execFileSync("mkfifo", [file]);
  if (text === undefined) return;
  const abort = new AbortController();
  onTestFinished(() => abort.abort());
  // Where nobody reads, the test fails by itself.
  writeFile(file, text, { signal: abort.signal }).catch(() => undefined);
}
