import path from "node:path";
import { guessBaseline } from "../judge/choose-baseline.ts";
import { type FoundLog, pathParts } from "../read/files.ts";
import { guessLayout } from "../read/guess-layout.ts";
import type { Session } from "../read/session-file.ts";
import { groupBy } from "../shared/group-by.ts";
import { type LayoutOffer, RunError } from "../shared/problem.ts";
import { type PlacedLog, placeLogs } from "./place-logs.ts";

export function namesBaseline(names: readonly string[]): boolean {
  return guessBaseline([...new Set(names)]) !== null;
}

/**
 * Where the session does not say how its logs are arranged, their names must not tell another story than the usual
 * arrangement: that would put passes of several games into one cell without a word.
 * @param asked the baseline, where whoever runs this says it
 * @throws RunError with both readings
 */
export function requireOneLayout(
  folder: string,
  logs: readonly FoundLog[],
  session: Session,
  asked: string | null,
): void {
  const baseline = asked ?? session.baseline?.name ?? null;
  if (session.layoutIs === "said") return;
  const captures = alikeMost(logs);
  const above = pathParts(folder).length;
  const guess = guessLayout(
    captures.map(({ parts }) => parts),
    above,
    namesBaseline,
  );
  if (guess.how !== "told") return;
  const named = (names: readonly string[]) => names.map((name) => ({ name }));
  const known = { games: named(guess.known.games), configs: named(guess.known.configs) };
  const { placed: usual } = placeLogs(captures, session);
  const { placed: told } = placeLogs(captures, { layout: guess.layout, ...known });
  // The same passes under other names make no other figures, where it is known which config is the baseline.
  const isBaselineKnown = baseline !== null || hasBaseline(usual) || !hasBaseline(told);
  if (cellsOf(usual) === cellsOf(told) && isBaselineKnown) return;
  const { placed: alone } = placeLogs(captures, { layout: guess.layout, games: [], configs: [] });
  throw new RunError([
    {
      code: "layout-in-doubt",
      severity: "error",
      at: { file: folder },
      readings: [
        { ...offerOf(told), pattern: guess.layout.pattern, needsNames: cellsOf(alone) !== cellsOf(told) },
        { ...offerOf(usual), pattern: session.layout.pattern, needsNames: false },
      ],
    },
  ]);
}

/** Notes and tables of results lie beside captures, but rather not where these lie, nor are their files of one kind. */
function alikeMost(logs: readonly FoundLog[]): readonly FoundLog[] {
  const kinds = groupBy(logs, ({ parts }) => {
    const name = (parts.at(-1) ?? "").toLowerCase().replace(/\.gz$/, "");
    return `${parts.length} ${path.extname(name)}`;
  });
  return [...kinds.values()].reduce((most, kind) => (kind.length > most.length ? kind : most));
}

/** Which logs belong together, whatever the games and configs are called. */
function cellsOf(placed: readonly PlacedLog[]): string {
  const cells = groupBy(placed, ({ place }) => JSON.stringify([place.game, place.config]));
  return JSON.stringify(
    [...cells.values()].map((cell) => cell.map(({ log }) => log.source.file).sort()).sort(),
  );
}

function hasBaseline(placed: readonly PlacedLog[]): boolean {
  return namesBaseline(placed.map(({ place }) => place.config));
}

function offerOf(placed: readonly PlacedLog[]): Pick<LayoutOffer, "games" | "configs" | "passes"> {
  const places = placed.map(({ place }) => place);
  return {
    games: [...new Set(places.map(({ game }) => game))],
    configs: [...new Set(places.map(({ config }) => config))],
    passes: places.length,
  };
}
