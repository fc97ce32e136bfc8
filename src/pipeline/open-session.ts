import path from "node:path";
import { defaultSession } from "../read/default-session.ts";
import { readBytes } from "../read/files.ts";
import type { Session } from "../read/session-file.ts";
import { RunError, refusal } from "../shared/problem.ts";

/**
 * The session of a folder: of the file given, else of its session.yaml, else the one without a file.
 * @throws RunError if it cannot be used
 */
export async function readSessionOf(folder: string, sessionFile: string | undefined): Promise<Session> {
  const file = sessionFile ?? path.join(folder, "session.yaml");
  const bytes = await readBytes(file, { mayBePipe: sessionFile !== undefined });
  if (bytes === null) {
    if (sessionFile === undefined) return defaultSession;
    throw refusal({ code: "session-missing" }, file);
  }
  // Loaded only where there is a session file.
  const [{ decodeSession }, { readSession }] = await Promise.all([
    import("../read/decode-session.ts"),
    import("../read/session-file.ts"),
  ]);
  const { text, problems: unreadable } = decodeSession(bytes, file);
  if (text === null) throw new RunError(unreadable);
  const { session, problems } = readSession(text, file);
  if (session === null) throw new RunError(problems);
  return session;
}
