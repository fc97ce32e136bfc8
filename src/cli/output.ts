import { randomBytes } from "node:crypto";
import { rmSync, type Stats, statSync } from "node:fs";
import { link, mkdir, open, realpath, rename, rm, stat } from "node:fs/promises";
import path from "node:path";
import type { WriteStream } from "node:tty";
import type { Style } from "../index.ts";
import type { ProblemStyle } from "../report/describe-problem.ts";
import { errorCode } from "../shared/error-code.ts";
import { badOption, refusal } from "../shared/problem.ts";

const widthInPipes = 80;

/** What a stream can show: its width, and colour only on a terminal that wants it (https://no-color.org). */
export function styleOf(stream: NodeJS.WriteStream, env: NodeJS.ProcessEnv = process.env): Style {
  const isTerminal = (stream as Partial<WriteStream>).isTTY === true;
  const refused = (env.NO_COLOR ?? "") !== "" || env.TERM === "dumb";
  return {
    // Some terminals say that they are 0 columns wide.
    width: isTerminal ? stream.columns || widthInPipes : widthInPipes,
    color: isTerminal && !refused,
  };
}

/** The same for notes and errors: only a terminal gets its lines broken, so that tools find each on one line. */
export function problemStyleOf(stream: NodeJS.WriteStream): ProblemStyle {
  const { width, color } = styleOf(stream);
  return { color, width: (stream as Partial<WriteStream>).isTTY === true ? width : null };
}

/** Whether a person looks at the result as it is written: it goes to a terminal. */
export function isShown(output: string | undefined): boolean {
  return output === undefined && process.stdout.isTTY === true;
}

/**
 * Writes a result to standard output, or whole to a file: beside its target first and then renamed, so that nobody
 * ever sees half of it. A link is followed, and what is no file, such as a pipe or /dev/null, is written to as it is.
 * @param replaces false refuses to replace a file that is there
 * @throws RunError if it cannot be written
 */
export async function writeResult(
  result: string | Uint8Array,
  file: string | undefined,
  { replaces = true }: { readonly replaces?: boolean } = {},
): Promise<void> {
  try {
    if (file === undefined) await writeOut(result);
    else if (await isDevice(file)) await writeInto(file, result);
    else await replaceWhole(result, await realpath(file).catch(() => file), replaces);
  } catch (error) {
    const why = errorCode(error);
    throw refusal(
      why === "EEXIST" ? { code: "file-exists" } : { code: "cannot-write", why },
      file ?? "standard output",
    );
  }
}

/**
 * A log is a CSV as well, so that a slip of the output's name could cost a capture.
 * @throws RunError if the output is one of the captures, by whatever name
 */
export function refuseCapture(captures: readonly string[], output: string | undefined): void {
  const target = output === undefined ? null : lookAt(output);
  if (output === undefined || target === null) return;
  const isTarget = (file: string): boolean => {
    const log = lookAt(file);
    return log?.ino === target.ino && log.dev === target.dev;
  };
  if (!captures.some(isTarget)) return;
  const expected = "another file: this is one of the captures, which are never changed";
  throw badOption("--output", output, expected);
}

/** null for nothing, or nothing that may be looked at. */
function lookAt(file: string): Stats | null {
  try {
    return statSync(file, { throwIfNoEntry: false }) ?? null;
  } catch {
    return null;
  }
}

function writeOut(result: string | Uint8Array): Promise<void> {
  return new Promise((resolve, reject) => {
    process.stdout.write(result, (error) =>
      error == null || isClosedPipe(error) ? resolve() : reject(error),
    );
  });
}

/** Renaming a draft onto a device would take the device away. */
async function isDevice(file: string): Promise<boolean> {
  const kind = await stat(file).catch(() => null);
  return kind !== null && !kind.isFile() && !kind.isDirectory();
}

async function writeInto(file: string, result: string | Uint8Array): Promise<void> {
  const handle = await open(file, "w");
  try {
    await handle.writeFile(result);
  } finally {
    await handle.close();
  }
}

/**
 * Writes several files into a folder, which is made if it is not there: all are written beside their places first, so
 * that none appears if one cannot be written, and what was there before stays.
 * @throws RunError if one cannot be written
 */
export async function writeAll(
  folder: string,
  files: readonly { readonly name: string; readonly text: string }[],
): Promise<void> {
  const drafts: { readonly draft: string; readonly file: string }[] = [];
  /** Second names of files that are replaced, and the way back should a later one fail. */
  const kept: string[] = [];
  const undo: (() => Promise<void>)[] = [];
  const stopWatching = removeWhenKilled(() => [...drafts.map(({ draft }) => draft), ...kept]);
  try {
    await mkdir(folder, { recursive: true });
    for (const { name, text } of files) {
      const file = path.join(folder, name);
      const draft = draftBeside(file);
      drafts.push({ draft, file });
      await writeDraft(draft, text);
    }
    for (const { draft, file } of drafts) {
      const before = draftBeside(file);
      const isReplaced = await link(file, before).then(
        () => true,
        () => false,
      );
      if (isReplaced) kept.push(before);
      await rename(draft, file);
      undo.push(() => (isReplaced ? rename(before, file) : rm(file, { force: true })));
    }
  } catch (error) {
    for (const step of undo.reverse()) await step().catch(() => undefined);
    for (const { draft } of drafts) await discard(draft);
    throw refusal({ code: "cannot-write", why: errorCode(error) }, folder);
  } finally {
    for (const before of kept) await discard(before);
    stopWatching();
  }
}

const draftBeside = (file: string): string =>
  path.join(path.dirname(file), `.runjury-${randomBytes(8).toString("hex")}.part`);

async function writeDraft(draft: string, result: string | Uint8Array): Promise<void> {
  const handle = await open(draft, "wx");
  try {
    await handle.writeFile(result);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

async function replaceWhole(result: string | Uint8Array, file: string, replaces: boolean): Promise<void> {
  const draft = draftBeside(file);
  const stopWatching = removeWhenKilled(() => [draft]);
  try {
    await writeDraft(draft, result);
    if (replaces) await rename(draft, file);
    else await claim(draft, file);
  } catch (error) {
    await discard(draft);
    throw error;
  } finally {
    stopWatching();
  }
}

/** Gives a draft its name only if nothing has it: a link fails where a rename would replace. */
async function claim(draft: string, file: string): Promise<void> {
  await link(draft, file);
  await discard(draft);
}

/** Where it cannot be removed, it lies there, and what is told is what came of the result. */
async function discard(draft: string): Promise<void> {
  await rm(draft, { force: true }).catch(() => undefined);
}

/** While drafts are being written, a signal removes them and then ends the program as it would have. */
function removeWhenKilled(drafts: () => readonly string[]): () => void {
  const signals = ["SIGINT", "SIGTERM", "SIGHUP"] as const;
  const stopWatching = (): void => {
    for (const signal of signals) process.removeListener(signal, end);
  };
  const end = (signal: NodeJS.Signals): void => {
    stopWatching();
    for (const draft of drafts()) rmSync(draft, { force: true });
    process.kill(process.pid, signal);
  };
  for (const signal of signals) process.on(signal, end);
  return stopWatching;
}

function isClosedPipe(error: Error): boolean {
  return errorCode(error) === "EPIPE";
}

/**
 * A reader that has seen enough (`| head`) closes the pipe; that is the end of the work, not an error. The exit code
 * is the work's own: a gate that failed says so even if nobody reads why.
 */
export function endQuietlyWhenClosed(stdout: NodeJS.WriteStream, stderr: NodeJS.WriteStream): void {
  stdout.on("error", (error) => {
    if (isClosedPipe(error)) setImmediate(() => process.exit());
    else process.exitCode = 2;
  });
  // Notes that nobody can read are no reason to stop.
  stderr.on("error", () => undefined);
}

/**
 * Keeps watch over standard output for those who write to it again and again: what cannot be written is known only
 * after the write. A closed pipe is no failure.
 * @param act called once, at the first failure
 * @returns ends the watch; throws RunError if something could not be written
 */
export function watchForFailure(stdout: NodeJS.WriteStream, act: () => void): () => void {
  let why: string | null = null;
  const note = (error: Error): void => {
    if (isClosedPipe(error) || why !== null) return;
    why = errorCode(error);
    act();
  };
  stdout.on("error", note);
  return () => {
    stdout.off("error", note);
    if (why === null) return;
    throw refusal({ code: "cannot-write", why }, "standard output");
  };
}
