import type { Problem } from "../shared/problem.ts";
import type { PassPlace } from "./layout.ts";
import { namesOfPass } from "./log-settings-of.ts";

type PassName = Pick<PassPlace, "game" | "config" | "boot" | "pass">;

/** The logs of one game, of one game under one config, one pass, or all of them. */
interface Logs {
  readonly files: Set<string>;
  readonly games: Set<string>;
  readonly asked: Set<string>;
  readonly askedGames: Set<string>;
  /** How many logs offer an answer. */
  readonly offers: Map<string, number>;
}

/** All logs. */
const everything = "";

/**
 * Says of each answer to a question which logs it is right for: what is right for one log may leave the frames out of
 * another, as each game has a name of its own in a column of programs.
 * @param places every log's pass, by the log's file
 */
export function scopeQuestions(
  problems: readonly Problem[],
  places: ReadonlyMap<string, PassName>,
): readonly Problem[] {
  const columns = gather(problems, places, "log-frame-time-unclear");
  const streams = gather(problems, places, "log-streams");
  return problems.map((problem): Problem => {
    const place = places.get(problem.at.file);
    if (place === undefined) return problem;
    const names = [everything, ...namesOfPass(place)];
    const pass = names.at(-1) as string;
    switch (problem.code) {
      case "log-frame-time-unclear":
        return {
          ...problem,
          candidates: problem.candidates.map((candidate) =>
            scoped(
              candidate,
              widest(names, columns, (logs) => isOfferedByAll(logs, columnKey(candidate))),
            ),
          ),
        };
      case "log-streams": {
        const scopes = problem.streams.map(({ name }) =>
          widest(names, streams, (logs) => isOfferedWhereAsked(logs, name)),
        );
        // All answers to it side by side: what one game's logs share with all others' is mostly no game.
        const scope = names.findLast((name) => scopes.includes(name)) ?? everything;
        return { ...problem, streams: problem.streams.map((part) => scoped(part, scope)) };
      }
      case "log-stream-missing":
        return scoped(problem, place.game);
      case "log-restarted":
        return scoped(problem, pass);
      default:
        return problem;
    }
  });
}

function scoped<T extends object>(what: T, name: string): T {
  return name === everything ? what : { ...what, for: name };
}

function widest(
  names: readonly string[],
  gathered: ReadonlyMap<string, Logs>,
  isRight: (logs: Logs) => boolean,
): string {
  const pass = names.at(-1) as string;
  return (
    names.find((name) => {
      const logs = gathered.get(name);
      return logs !== undefined && isRight(logs);
    }) ?? pass
  );
}

function columnKey({ column, unit }: { readonly column: string; readonly unit: string }): string {
  return JSON.stringify([column, unit]);
}

/** A column that the session names is looked for in every log: one that was read without it would be lost. */
function isOfferedByAll({ files, offers }: Logs, answer: string): boolean {
  return offers.get(answer) === files.size;
}

/** A stream that runs alone is no question, so within a game the logs that ask speak for the others. */
function isOfferedWhereAsked({ asked, games, askedGames, offers }: Logs, answer: string): boolean {
  return offers.get(answer) === asked.size && askedGames.size === games.size;
}

function gather(
  problems: readonly Problem[],
  places: ReadonlyMap<string, PassName>,
  code: "log-frame-time-unclear" | "log-streams",
): ReadonlyMap<string, Logs> {
  const offersOf = new Map<string, readonly string[]>();
  const failed = new Set<string>();
  for (const problem of problems) {
    const { file } = problem.at;
    if (problem.code !== code) {
      if (problem.severity === "error") failed.add(file);
    } else if (problem.code === "log-streams") {
      offersOf.set(
        file,
        problem.streams.map(({ name }) => name),
      );
    } else {
      offersOf.set(file, problem.candidates.map(columnKey));
    }
  }
  const gathered = new Map<string, Logs>();
  for (const [file, place] of places) {
    // What cannot be read whatever is answered has no say.
    if (failed.has(file)) continue;
    for (const name of [everything, ...namesOfPass(place)]) {
      const logs = gathered.get(name) ?? {
        files: new Set(),
        games: new Set(),
        asked: new Set(),
        askedGames: new Set(),
        offers: new Map(),
      };
      gathered.set(name, logs);
      logs.files.add(file);
      logs.games.add(place.game);
      const offers = offersOf.get(file);
      if (offers === undefined) continue;
      logs.asked.add(file);
      logs.askedGames.add(place.game);
      for (const offer of offers) logs.offers.set(offer, (logs.offers.get(offer) ?? 0) + 1);
    }
  }
  return gathered;
}
