import { chooseBaseline, guessBaseline } from "../judge/choose-baseline.ts";
import { askQuestion } from "../read/ask-question.ts";
import { findAlike } from "../read/check-session.ts";
import { type FoundLog, findLogs, pathParts } from "../read/files.ts";
import { guessLayout } from "../read/guess-layout.ts";
import { readLog } from "../read/read-log.ts";
import { scopeQuestions } from "../read/scope-questions.ts";
import type { SessionFound } from "../read/session-found.ts";
import { compareNames } from "../shared/compare-names.ts";
import type { Problem } from "../shared/problem.ts";
import type { FolderOptions, Hooks } from "./folder-options.ts";
import { filesOfLogs, placeLogs, requireLogs } from "./place-logs.ts";
import { namesBaseline } from "./require-one-layout.ts";

/**
 * Looks at a folder and says what a session file for it would hold.
 * @param options `baseline`: the config that the others are compared with, where the caller knows
 * @throws RunError if there are no logs
 */
export async function describeFolder(
  folder: string,
  { baseline }: Pick<FolderOptions, "baseline"> = {},
  { onLogs, onProgress }: Hooks = {},
): Promise<{ readonly found: SessionFound; readonly problems: readonly Problem[] }> {
  const found = await findLogs(folder);
  requireLogs(folder, found);
  onLogs?.(filesOfLogs(found.logs));
  const questions: Problem[] = [];
  const read: FoundLog[] = [];
  const unread: FoundLog[] = [];
  const notes: FoundLog[] = [];
  for (const [done, log] of found.logs.entries()) {
    onProgress?.({ done, total: found.logs.length, file: log.source.file });
    const { log: own, problems: told } = await readLog(log.source, {}, log.sensorSource);
    questions.push(...told.filter(({ severity, code }) => severity === "error" || code === "log-restarted"));
    const isNoTable = told.some(({ code }) => code === "log-no-table" || code === "log-binary");
    if (own !== null) read.push(log);
    else (isNoTable ? notes : unread).push(log);
  }
  onProgress?.({ done: found.logs.length, total: found.logs.length, file: "" });
  const above = pathParts(folder).length;
  const captures = capturesAmong(read, unread, notes);
  const layout = guessLayout(
    captures.map(({ parts }) => parts),
    above,
    namesBaseline,
  );
  const named = (names: readonly string[]) => names.map((name) => ({ name }));
  const { placed, problems: unplaced } = placeLogs(captures, {
    layout: layout.layout,
    games: named(layout.known.games),
    configs: named(layout.known.configs),
  });
  const places = placed.map(({ place }) => place);
  const asked = scopeQuestions(questions, new Map(placed.map(({ log, place }) => [log.source.file, place])));
  const configs = countNames(places.map(({ config }) => config));
  const files = new Set(captures.map(({ source }) => source.file));
  const games = countNames(places.map(({ game }) => game));
  const names = configs.map(({ name }) => name);
  const alike = [
    ...findAlike(
      "game",
      games.map(({ name }) => name),
    ),
    ...findAlike("config", names),
  ];
  return {
    found: {
      title: null,
      layout: layout.layout.pattern,
      layoutIs: layout.how,
      baseline:
        baseline === undefined
          ? namedBaseline(names)
          : { name: chooseBaseline(names, baseline), because: "told" },
      games,
      configs,
      log: {},
      questions: asked.filter(({ at }) => files.has(at.file)).flatMap(askQuestion),
    },
    problems: [...found.problems, ...unplaced, ...alike, ...asked],
  };
}

function namedBaseline(configs: readonly string[]): SessionFound["baseline"] {
  const name = guessBaseline(configs);
  return name === null ? null : { name, because: "named" };
}

function countNames(names: readonly string[]): { name: string; passes: number }[] {
  return [...new Set(names)]
    .sort(compareNames)
    .map((name) => ({ name, passes: names.filter((other) => other === name).length }));
}

/**
 * Logs that lie like captures. A log that leaves a question may be one, or a table of results that lies beside captures
 * and says, like a note, nothing about how these are laid out.
 */
function capturesAmong(
  read: readonly FoundLog[],
  unread: readonly FoundLog[],
  notes: readonly FoundLog[],
): readonly FoundLog[] {
  if (read.length === 0) return unread.length > 0 ? unread : notes;
  const depths = new Set(read.map(({ parts }) => parts.length));
  return [...read, ...unread.filter(({ parts }) => depths.has(parts.length))];
}
