import path from "node:path";
import { compareLogs, type Inspection, inspectLog, type LogComparison } from "../measure/inspect-log.ts";
import { defaultSession } from "../read/default-session.ts";
import { fileSource, findLogs, findSensorSource, findSessionFolder, isThere } from "../read/files.ts";
import { logSettingsOf } from "../read/log-settings-of.ts";
import { readLog } from "../read/read-log.ts";
import { scopeQuestions } from "../read/scope-questions.ts";
import { type Problem, RunError } from "../shared/problem.ts";
import type { Hooks, ReadingOptions } from "./folder-options.ts";
import { missingLog } from "./missing-log.ts";
import { readSessionOf } from "./open-session.ts";
import { filesOfLogs, placeFile, placeLogs, requireLogs } from "./place-logs.ts";

/**
 * How one log is read, and on what grounds: by the session file given, else by the one of its session (session.yaml
 * in its folder or up to three above it), else by the evidence alone.
 */
export async function inspectFile(
  file: string,
  options: ReadingOptions = {},
): Promise<{ readonly inspection: Inspection; readonly problems: readonly Problem[] }> {
  const folder = options.sessionFile === undefined ? await findSessionFolder(path.dirname(file)) : ".";
  const session = await readSessionOf(folder, options.sessionFile);
  if (!(await isThere(file))) throw new RunError([await missingLog(file)]);
  const place = placeFile(file, session);
  const beside = await findSensorSource(file);
  const reading = await readLog(fileSource(file), logSettingsOf(session, place), beside.sensorSource);
  const settings = { lows: options.lows ?? session.lows, trim: session.trim };
  // What else there is, only the folder tells; that the log is one of several, its session file does.
  const isOneOfSeveral = session !== defaultSession && place !== null;
  const told = isOneOfSeveral ? scopeQuestions(reading.problems, new Map([[file, place]])) : reading.problems;
  return { inspection: inspectLog(file, reading, settings), problems: [...beside.problems, ...told] };
}

/**
 * How the logs of a folder are read, and which of them are read otherwise than most.
 * @throws RunError if there are no logs
 */
export async function inspectFolder(
  folder: string,
  options: ReadingOptions = {},
  { onLogs, onProgress }: Hooks = {},
): Promise<{ readonly comparison: LogComparison; readonly problems: readonly Problem[] }> {
  const found = await findLogs(folder);
  const session = await readSessionOf(folder, options.sessionFile);
  requireLogs(folder, found);
  onLogs?.(filesOfLogs(found.logs));
  const settings = { lows: options.lows ?? session.lows, trim: session.trim };
  const problems: Problem[] = [...found.problems];
  const inspections: Inspection[] = [];
  // Where a log has no place its reading is all there is to say; judging tells of the place.
  const { placed } = placeLogs(found.logs, session);
  const places = new Map(placed.map(({ log, place }) => [log.source.file, place] as const));
  for (const [done, { source, sensorSource }] of found.logs.entries()) {
    onProgress?.({ done, total: found.logs.length, file: source.file });
    const reading = await readLog(
      source,
      logSettingsOf(session, places.get(source.file) ?? null),
      sensorSource,
    );
    problems.push(...reading.problems);
    inspections.push(inspectLog(source.file, reading, settings));
  }
  onProgress?.({ done: found.logs.length, total: found.logs.length, file: "" });
  return { comparison: compareLogs(inspections), problems: scopeQuestions(problems, places) };
}
