import path from "node:path";
import { chooseBaseline, guessBaseline } from "../judge/choose-baseline.ts";
import { askQuestion } from "../read/ask-question.ts";
import { defaultSession } from "../read/default-session.ts";
import { type FoundLog, findLogs } from "../read/files.ts";
import { guessLayout } from "../read/guess-layout.ts";
import { readLog } from "../read/read-log.ts";
import { scopeQuestions } from "../read/scope-questions.ts";
import type { SessionFound } from "../read/session-found.ts";
import { compareNames } from "../shared/compare-names.ts";
import type { Problem } from "../shared/problem.ts";
import type { FolderOptions, Hooks } from "./folder-options.ts";
import { filesOfLogs, placeLogs, requireLogs } from "./place-logs.ts";

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
  const logs: FoundLog[] = [];
  for (const [done, log] of found.logs.entries()) {
    onProgress?.({ done, total: found.logs.length, file: log.source.file });
    const { problems: told } = await readLog(log.source, {}, log.sensorSource);
    questions.push(...told.filter(({ severity, code }) => severity === "error" || code === "log-restarted"));
    // Notes that lie beside captures say nothing about how these are laid out.
    if (!told.some(({ code }) => code === "log-no-table" || code === "log-binary")) logs.push(log);
  }
  onProgress?.({ done: found.logs.length, total: found.logs.length, file: "" });
  const above = path.resolve(folder).split(path.sep).filter(Boolean).length;
  const tables = logs.length > 0 ? logs : found.logs;
  const layout = guessLayout(tables.map(({ parts }) => parts.slice(above)));
  const { placed, problems: unplaced } = placeLogs(tables, { ...defaultSession, layout });
  const places = placed.map(({ place }) => place);
  const asked = scopeQuestions(questions, new Map(placed.map(({ log, place }) => [log.source.file, place])));
  const configs = countNames(places.map(({ config }) => config));
  const named = guessBaseline(configs.map(({ name }) => name));
  if (baseline !== undefined) {
    chooseBaseline(
      configs.map(({ name }) => name),
      baseline,
    );
  }
  return {
    found: {
      title: null,
      layout: layout.pattern,
      baseline:
        baseline !== undefined
          ? { name: baseline, because: "told" }
          : named === null
            ? null
            : { name: named, because: "named" },
      games: countNames(places.map(({ game }) => game)),
      configs,
      log: {},
      questions: asked.flatMap(askQuestion),
    },
    problems: [...found.problems, ...unplaced, ...asked],
  };
}

function countNames(names: readonly string[]): { name: string; passes: number }[] {
  return [...new Set(names)]
    .sort(compareNames)
    .map((name) => ({ name, passes: names.filter((other) => other === name).length }));
}
