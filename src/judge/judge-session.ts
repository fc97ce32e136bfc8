import type { PassSummary } from "../measure/pass-summary.ts";
import { compareNames } from "../shared/compare-names.ts";
import { chooseBaseline, putFirst } from "./choose-baseline.ts";
import { type CautionFact, describeCaution } from "./describe-caution.ts";
import { judgeFactors } from "./factors.ts";
import { findCautions } from "./find-cautions.ts";
import { findLimits, limitOf } from "./find-limits.ts";
import { judgeColumns, noiseLevel, type SessionNames, verdictRows } from "./judge-columns.ts";
import type { Judgement, JudgeSettings, Verdict } from "./judgement.ts";
import { countedPasses, judgedPass, markPasses, sortPasses } from "./mark-passes.ts";
import { isFrameRate } from "./metric-groups.ts";
import { addSecondOpinions } from "./second-opinions.ts";
import { bootNoiseOf } from "./shared-boots.ts";
import { suiteRows } from "./suite-rows.ts";
import { judgeTrade } from "./trade.ts";

/** A judgement, and its cautions as they were found. */
export interface Judged {
  readonly judgement: Judgement;
  readonly cautionFacts: readonly CautionFact[];
}

/**
 * Judges a session: which passes count, and which configs differ from the baseline by more than run-to-run noise.
 * A pure function: the same passes and settings give the same judgement, in whatever order the passes come.
 * @param passes one summary per capture; game, config, boot and pass name together are unique
 * @throws RunError if the baseline has no passes or there is no other config: nothing to judge
 */
export function judgeSession(passes: readonly PassSummary[], settings: JudgeSettings): Judgement {
  return judgeWithFacts(passes, settings).judgement;
}

/** The same, with the cautions as facts too: what is to be shown of a judgement is narrowed by them. */
export function judgeWithFacts(passes: readonly PassSummary[], settings: JudgeSettings): Judged {
  const ordered = sortPasses(passes);
  const names = nameGamesAndConfigs(ordered, settings.baseline);
  chooseBaseline(names.configs, settings.baseline);

  const marked = markPasses(ordered, settings);
  const counted = countedPasses(marked);
  const columns = judgeColumns(counted, names, settings);
  const rows = verdictRows(columns, settings);
  const limits = findLimits(marked);
  const verdicts = addSecondOpinions(rows, {
    counted,
    unscreened: countedPasses(markPasses(ordered, settings, false)),
    names,
    settings,
  })
    .map((row) => ({ ...row, limitedBy: isFrameRate(row.metric) ? limitOf(limits, row) : null }))
    .sort(byGameAndConfig(names));
  const level = noiseLevel(counted);
  const bootNoise = level === "boot" ? bootNoiseOf(counted) : () => null;
  const suite = suiteRows(columns, settings, bootNoise);

  const cautionFacts = findCautions({ marked, names, settings, columns, verdicts, suite });

  const judgement: Judgement = {
    format: "runjury.judgement/1",
    session: {
      title: settings.title,
      baseline: settings.baseline,
      lows: settings.lows,
      mattersPct: settings.mattersPct,
      confidencePct: settings.confidencePct,
      falseAlarmControl: settings.falseAlarmControl,
      configs: names.configs,
      games: names.games,
      noiseLevel: level,
      ...(settings.titles !== undefined && { titles: settings.titles }),
      ...(settings.tags !== undefined && { tags: settings.tags }),
    },
    passes: marked.map(judgedPass),
    verdicts,
    suite,
    factors: judgeFactors(counted, names, settings, bootNoise),
    trade: judgeTrade({ counted, names, settings, columns, bootNoise }),
    cautions: cautionFacts.map(describeCaution),
  };
  return { judgement, cautionFacts };
}

function nameGamesAndConfigs(passes: readonly PassSummary[], baseline: string): SessionNames {
  const games = [...new Set(passes.map(({ game }) => game))].sort(compareNames);
  const configs = [...new Set(passes.map(({ config }) => config))].sort(compareNames);
  return { games, configs: putFirst(baseline, configs) };
}

/** Rows of a game together, then of a config; metrics keep their order. */
function byGameAndConfig({ games, configs }: SessionNames): (a: Verdict, b: Verdict) => number {
  const gameOrder = new Map(games.map((game, i) => [game, i]));
  const configOrder = new Map(configs.map((config, i) => [config, i]));
  return (a, b) =>
    (gameOrder.get(a.game) as number) - (gameOrder.get(b.game) as number) ||
    (configOrder.get(a.config) as number) - (configOrder.get(b.config) as number);
}
