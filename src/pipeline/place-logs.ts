import type { FoundLog, FoundLogs } from "../read/files.ts";
import { type PassPlace, placeLog } from "../read/layout.ts";
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
  const known = {
    games: session.games.map(({ name }) => name),
    configs: session.configs.map(({ name }) => name),
  };
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
