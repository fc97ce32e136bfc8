import path from "node:path";
import type { Origin } from "../judge/judgement.ts";
import { digestFile, digestText, findLogs, kindOfPath } from "../read/files.ts";
import type { Session } from "../read/session-file.ts";
import { version } from "../version.ts";
import { readSessionOf } from "./open-session.ts";
import { filesOfLogs, placeLogs } from "./place-logs.ts";

/**
 * Places say where a key stands; what a session does not say shall not count, so that new keys change no digest. Nor
 * does it count that a session says what holds anyway.
 */
function saysSomething(key: string, value: unknown): boolean {
  return (
    key !== "at" && key !== "layoutIs" && value !== null && !(Array.isArray(value) && value.length === 0)
  );
}

/**
 * What a judgement of a folder would be made from today.
 * @param sessionFile as it was then
 * @returns null where the folder has no captures any more
 */
export async function findOrigin(folder: string, sessionFile: string): Promise<Origin | null> {
  const found = await findLogs(folder).catch(() => null);
  if (found === null || found.logs.length === 0) return null;
  const session = await readSessionOf(
    folder,
    (await kindOfPath(sessionFile)) === null ? undefined : sessionFile,
  );
  const { placed } = placeLogs(found.logs, session);
  const files = filesOfLogs(placed.map(({ log }) => log));
  return {
    ...originOf(folder, sessionFile, session),
    captures: files.map((file) => ({ file, sha256: digestFile(file) })),
  };
}

/** All of it but the captures. */
export function originOf(
  folder: string,
  sessionFile: string | undefined,
  session: Session,
): Omit<Origin, "captures"> {
  return {
    version,
    folder,
    session: sessionFile ?? path.join(folder, "session.yaml"),
    settingsSha256: digestText(
      JSON.stringify(session, (key, value) => (saysSomething(key, value) ? value : undefined)),
    ),
  };
}
