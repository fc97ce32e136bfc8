import { randomBytes } from "node:crypto";
import { link, open, rename, rm } from "node:fs/promises";
import path from "node:path";
import type { WriteStream } from "node:tty";
import type { Style } from "../index.ts";
import { RunError } from "../shared/problem.ts";

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

/**
 * Writes a result to standard output, or whole to a file: beside its target first and then renamed, so that nobody
 * ever sees half of it.
 * @param replaces false refuses to replace a file that is there
 * @throws RunError if the file cannot be written
 */
export async function writeResult(
  result: string | Uint8Array,
  file: string | undefined,
  { replaces = true }: { readonly replaces?: boolean } = {},
): Promise<void> {
  if (file === undefined) {
    process.stdout.write(result);
    return;
  }
  const draft = path.join(
    path.dirname(file),
    `.${path.basename(file)}.${randomBytes(6).toString("hex")}.part`,
  );
  try {
    const handle = await open(draft, "wx");
    try {
      await handle.writeFile(result);
      await handle.sync();
    } finally {
      await handle.close();
    }
    if (replaces) await rename(draft, file);
    else await claim(draft, file);
  } catch (error) {
    await rm(draft, { force: true });
    const why = (error as NodeJS.ErrnoException).code ?? "unknown error";
    throw new RunError([
      why === "EEXIST"
        ? { code: "file-exists", severity: "error", at: { file } }
        : { code: "cannot-write", severity: "error", at: { file }, why },
    ]);
  }
}

/** Gives a draft its name only if nothing has it: a link fails where a rename would replace. */
async function claim(draft: string, file: string): Promise<void> {
  await link(draft, file);
  await rm(draft);
}

/** A reader that has seen enough (`| head`) closes the pipe; that is the end of the work, not an error. */
export function endQuietlyWhenClosed(stream: NodeJS.WriteStream): void {
  stream.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code !== "EPIPE") throw error;
    process.exit(process.exitCode ?? 0);
  });
}
