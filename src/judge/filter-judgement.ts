import { nearestName } from "../shared/nearest.ts";
import { type Problem, RunError } from "../shared/problem.ts";
import { describeCaution } from "./describe-caution.ts";
import type { Judged } from "./judge-session.ts";
import type { JudgedPass, Judgement } from "./judgement.ts";
import { narrowCaution } from "./narrow-caution.ts";

/** Which of the names asked for are games and which are configs. */
interface Wanted {
  readonly games: ReadonlySet<string>;
  readonly configs: ReadonlySet<string>;
}

/**
 * The judgement with only the games and configs named; cautions name no others. Figures stay those of the whole
 * session: what is shown never changes what is concluded. The baseline's passes stay.
 * @throws RunError for a name that is neither a game nor a config
 */
export function filterJudgement({ judgement, cautionFacts }: Judged, only: readonly string[]): Judgement {
  if (only.length === 0) return judgement;
  const { session } = judgement;
  const wanted = readWanted(only, session.games, session.configs);
  const isShown = (row: { readonly game: string; readonly config: string }): boolean =>
    isWanted(wanted.games, row.game) && isWanted(wanted.configs, row.config);
  const shown: Judgement = {
    ...judgement,
    session: {
      ...session,
      games: session.games.filter((game) => isWanted(wanted.games, game)),
      configs: session.configs.filter(
        (config) => config === session.baseline || isWanted(wanted.configs, config),
      ),
    },
    passes: judgement.passes.filter(
      (pass) => isShown(pass) || (pass.config === session.baseline && isWanted(wanted.games, pass.game)),
    ),
    verdicts: judgement.verdicts.filter(isShown),
    // A row over all games would not be one over the games shown.
    suite:
      wanted.games.size > 0 ? [] : judgement.suite.filter(({ config }) => isWanted(wanted.configs, config)),
    trade: judgement.trade
      .filter(({ game }) => (game === null ? wanted.games.size === 0 : isWanted(wanted.games, game)))
      .map((table) => ({
        ...table,
        rows: table.rows.filter(
          ({ config }) => config === session.baseline || isWanted(wanted.configs, config),
        ),
      })),
  };
  const cautions = cautionFacts.flatMap((fact) => narrowCaution(fact, shown)).map(describeCaution);
  return { ...shown, cautions };
}

/** The passes of the games and configs named. */
export function filterPasses(passes: readonly JudgedPass[], only: readonly string[]): JudgedPass[] {
  const wanted = readWanted(
    only,
    passes.map(({ game }) => game),
    passes.map(({ config }) => config),
  );
  return passes.filter(
    ({ game, config }) => isWanted(wanted.games, game) && isWanted(wanted.configs, config),
  );
}

function isWanted(names: ReadonlySet<string>, name: string): boolean {
  return names.size === 0 || names.has(name);
}

/** A name completed from a path may be decomposed; those of games and configs are composed. */
function readWanted(asked: readonly string[], games: readonly string[], configs: readonly string[]): Wanted {
  const only = asked.map((name) => name.normalize("NFC"));
  const problems = only
    .filter((name) => !games.includes(name) && !configs.includes(name))
    .map((name): Problem => {
      const names = [...new Set([...games, ...configs])];
      return {
        code: "only-unknown",
        severity: "error",
        at: { file: "" },
        name,
        nearest: nearestName(name, names),
        games: [...new Set(games)],
        configs: [...new Set(configs)],
      };
    });
  if (problems.length > 0) throw new RunError(problems);
  return {
    games: new Set(only.filter((name) => games.includes(name))),
    configs: new Set(only.filter((name) => configs.includes(name))),
  };
}
