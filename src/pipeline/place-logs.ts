import { type FoundLog, type FoundLogs, pathParts } from "../read/files.ts";
import { type PassPlace, type Placement, placeLog } from "../read/layout.ts";
import type { Session } from "../read/session-file.ts";
import { type Problem, RunError } from "../shared/problem.ts";

/** The paths of logs and of the sensor logs beside them. */
export function filesOfLogs(logs: readonly FoundLog[]): string[] {
  return logs.flatMap(({ source, sensorSource }) => [
    source.file,
    ...(sensorSource === null ? [] : [sensorSource.file]),
  ]);
}

/** @throws RunError if there are no logs, with what is there instead */
export function requireLogs(folder: string, { logs, others, problems }: FoundLogs): void {
  if (logs.length > 0) return;
  throw new RunError([
    ...problems,
    { code: "no-logs", severity: "error", at: { file: folder }, seen: others },
  ]);
}

/** A log and the pass that it is. */
export interface PlacedLog {
  readonly log: FoundLog;
  readonly place: PassPlace;
}

/** What a session says of where passes lie. */
type SessionPlaces = Pick<Session, "layout"> & {
  readonly games: readonly { readonly name: string }[];
  readonly configs: readonly { readonly name: string }[];
};

/** Where a log belongs, by the parts of its absolute path. */
export function placeIn(session: SessionPlaces, parts: readonly string[]): Placement {
  return placeLog(parts, session.layout, {
    games: session.games.map(({ name }) => name),
    configs: session.configs.map(({ name }) => name),
  });
}

/** Logs with the passes that they are; one that has no place, or another's, is told and left out. */
export function placeLogs(
  logs: readonly FoundLog[],
  session: SessionPlaces,
): { readonly placed: readonly PlacedLog[]; readonly problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const byPass = new Map<string, string>();
  const placed = logs.flatMap((log) => {
    const at = { file: log.source.file };
    const { place, finding } = placeIn(session, log.parts);
    if (place === null) {
      problems.push({ ...finding, severity: "error", at });
      return [];
    }
    const key = JSON.stringify([place.game, place.config, place.boot, place.pass]);
    const other = byPass.get(key);
    if (other !== undefined) {
      problems.push({ code: "pass-filed-twice", severity: "error", at, other });
      return [];
    }
    byPass.set(key, log.source.file);
    return [{ log, place }];
  });
  return { placed, problems };
}

/** Where one log belongs by its path; null where the path does not tell. */
export function placeFile(file: string, session: SessionPlaces): PassPlace | null {
  return placeIn(session, pathParts(file)).place;
}
