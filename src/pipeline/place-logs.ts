import path from "node:path";
import type { FoundLog, FoundLogs } from "../read/files.ts";
import { type KnownNames, type PassPlace, placeLog } from "../read/layout.ts";
import type { Session } from "../read/session-file.ts";
import { type Problem, RunError } from "../shared/problem.ts";

/** The paths of logs and of the sensor logs beside them. */
export function filesOfLogs(logs: readonly FoundLog[]): string[] {
  return logs.flatMap(({ source, sensorSource }) => [
    source.file,
    ...(sensorSource === null ? [] : [sensorSource.file]),
  ]);
}

export function requireLogs(folder: string, { logs, others, problems }: FoundLogs): void {
  if (logs.length > 0) return;
  throw new RunError([
    ...problems,
    { code: "no-logs", severity: "error", at: { file: folder }, seen: others },
  ]);
}

export interface PlacedLog {
  readonly log: FoundLog;
  readonly place: PassPlace;
}

export function placeLogs(logs: readonly FoundLog[], session: Session, problems: Problem[]): PlacedLog[] {
  const known = knownNames(session);
  const byPass = new Map<string, string>();
  return logs.flatMap((log) => {
    const at = { file: log.source.file };
    const { place, finding } = placeLog(log.parts, session.layout, known);
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
}

/** Where one log belongs by its path; null where the path does not tell. */
export function placeFile(file: string, session: Session): PassPlace | null {
  return placeLog(path.resolve(file).split(path.sep).filter(Boolean), session.layout, knownNames(session))
    .place;
}

function knownNames({ games, configs }: Session): KnownNames {
  return { games: games.map(({ name }) => name), configs: configs.map(({ name }) => name) };
}
