import type { CautionFact } from "./describe-caution.ts";
import { isCalledRareLow } from "./find-cautions.ts";
import { ifAny } from "./if-any.ts";
import type { Judgement } from "./judgement.ts";

/**
 * A caution for a judgement of which only some games and configs are shown: it names none of the others, and one that
 * is about nothing else is left out. What holds for the whole session (boots, order, drift) stays.
 * @param shown the judgement with only these games and configs, the baseline among the configs
 */
export function narrowCaution(fact: CautionFact, shown: Judgement): CautionFact[] {
  const { games, configs } = shown.session;
  const cells = new Set(games.flatMap((game) => configs.map((config) => `${game}/${config}`)));
  const isCell = (name: string): boolean => cells.has(name) || games.includes(name);
  const isPass = (name: string): boolean => cells.has(name.split("/").slice(0, 2).join("/"));
  switch (fact.code) {
    case "single-pass":
    case "missing-cell":
    case "passes-disagree":
    case "uneven-passes":
    case "missing-lows":
      return ifAny(fact.cells.filter(isCell), (own) => ({ ...fact, cells: own }));
    case "time-missing":
    case "coarse-times":
    case "length-differs":
    case "sensor-gap":
      return ifAny(fact.passes.filter(isPass), (passes) => ({ ...fact, passes }));
    case "no-noise-seen":
      return configs.includes(fact.config) ? [fact] : [];
    case "few-games":
      return shown.suite.length > 0 ? [fact] : [];
    case "hangs-on-one-pass":
      return ifAny(
        fact.verdicts.filter(({ cell }) => isCell(cell)),
        (verdicts) => ({ ...fact, verdicts }),
      );
    case "lows-definition":
      return ifAny(
        fact.verdicts.filter(({ cell }) => isCell(cell)),
        (verdicts) => ({ ...fact, verdicts }),
      );
    case "called-lows-overstate":
      return shown.verdicts.some(isCalledRareLow) ? [fact] : [];
    case "capped":
    case "gpu-bound":
      return ifAny(
        fact.games
          .filter(({ game }) => games.includes(game))
          .map((one) => ({ ...one, configs: one.configs?.filter((name) => configs.includes(name)) ?? null }))
          .filter((one) => one.configs?.length !== 0),
        (own) => ({ ...fact, games: own }),
      );
    case "throttled":
      return ifAny(
        fact.cells.filter(({ cell }) => isCell(cell)),
        (own) => ({ ...fact, cells: own }),
      );
    case "held-back":
      return ifAny(
        fact.cells.filter(({ cell }) => isCell(cell)),
        (own) => ({ ...fact, cells: own }),
      );
    case "pace-unknown":
      return ifAny(
        fact.games.filter((game) => games.includes(game)),
        (own) => ({ ...fact, games: own }),
      );
    case "not-read":
      return ifAny(
        fact.files.filter(({ cell }) => cell === null || isCell(cell)),
        (files) => ({ ...fact, files }),
      );
    case "one-boot":
    case "baseline-boots":
    case "shared-boots":
    case "order":
    case "first-pass":
    case "drift":
    case "first-pass-or-drift":
    case "power-limits":
      return [fact];
  }
}
