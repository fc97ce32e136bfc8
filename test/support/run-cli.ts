import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { lstatSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, onTestFinished } from "vitest";
import { seededRandom } from "./seeded-random.ts";

const program = fileURLToPath(new URL("../../bin/runjury.js", import.meta.url));

/** The user's own cache stays out of the tests, and what one test keeps out of the others. */
export const cacheHome = mkdtempSync(path.join(tmpdir(), "cache-"));
afterAll(() => rmSync(cacheHome, { recursive: true, force: true }));

export interface CliResult {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the built program as a process, without colour, and never lets a stack trace through unseen. */
export function runCli(
  args: readonly string[],
  options: { cwd?: string; input?: string; env?: NodeJS.ProcessEnv } = {},
): CliResult {
  const { status, stdout, stderr, error } = spawnSync(process.execPath, [program, ...args], {
    encoding: "utf8",
    timeout: 110_000,
    maxBuffer: 64_000_000,
    env: { PATH: process.env.PATH, NO_COLOR: "1", XDG_CACHE_HOME: cacheHome },
    ...options,
  });
  if (error !== undefined) throw error;
  if (/^\s+at .+:\d+:\d+/m.test(stderr)) throw new Error(`a stack trace reached the user:\n${stderr}`);
  return { status, stdout, stderr };
}

/** A folder of its own for one test, removed afterwards. */
export function makeFolder(): string {
  const folder = mkdtempSync(path.join(tmpdir(), "session-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Writes a file and the folders above it. */
export function put(folder: string, name: string, content: string | Uint8Array): void {
  mkdirSync(path.dirname(path.join(folder, name)), { recursive: true });
  writeFileSync(path.join(folder, name), content);
}

/** An ordinary log: frame times around 1000 / fps, with run-to-run noise by seed. */
export function makeLog(seed: number, fps: number, frames = 1200): string {
  const random = seededRandom(seed);
  const passFactor = Math.exp(0.004 * random.normal());
  let elapsedMs = 0;
  const rows = ["frame,elapsed_s,frame_time_ms"];
  for (let i = 1; i <= frames; i++) {
    const ms = Math.round((1e6 / fps) * passFactor * Math.exp(0.08 * random.normal())) / 1000;
    elapsedMs += ms;
    rows.push(`${i},${(elapsedMs / 1000).toFixed(6)},${ms.toFixed(3)}`);
  }
  return `${rows.join("\n")}\n`;
}

/** Two games, the configs "stock" and "parked", three passes each; parked is 8% slower in the second game. */
export function putSession(folder: string): void {
  let seed = 1;
  for (const [game, stock, parked] of [
    ["kestrel-cup", 160, 160],
    ["saltworks", 120, 110],
  ] as const) {
    for (const pass of [1, 2, 3]) {
      put(folder, `${game}/stock/pass-${pass}.csv`, makeLog(seed++, stock));
      put(folder, `${game}/parked/pass-${pass}.csv`, makeLog(seed++, parked));
    }
  }
}

/** A digest of every name and byte below a folder, to show that nothing was touched. */
export function digestFolder(folder: string): string {
  const hash = createHash("sha256");
  const visit = (directory: string): void => {
    for (const name of readdirSync(directory).sort()) {
      const file = path.join(directory, name);
      const kind = lstatSync(file);
      hash.update(`${file}\0${kind.mode}\0${kind.mtimeMs}\0`);
      if (kind.isDirectory()) visit(file);
      else if (kind.isFile()) hash.update(readFileSync(file));
    }
  };
  visit(folder);
  return hash.digest("hex");
}
