import path from "node:path";
import { defaultSession } from "../read/default-session.ts";
import { readTextFile } from "../read/files.ts";
import type { Session } from "../read/session-file.ts";
import { RunError, refusal } from "../shared/problem.ts";

/**
 * The session of a folder: of the file given, else of its session.yaml, else the one without a file.
 * @throws RunError if it cannot be used
 */
export async function readSessionOf(folder: string, sessionFile: string | undefined): Promise<Session> {
  const file = sessionFile ?? path.join(folder, "session.yaml");
  const text = await readTextFile(file, { mayBePipe: sessionFile !== undefined });
  if (text === null) {
    if (sessionFile === undefined) return defaultSession;
    throw refusal({ code: "session-missing" }, file);
  }
  // Loaded only where there is a session file.
  const { readSession } = await import("../read/session-file.ts");
  const { session, problems } = readSession(text, file);
  if (session === null) throw new RunError(problems);
  return session;
}
