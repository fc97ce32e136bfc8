import { framesNeeded } from "../measure/frames-needed.ts";
import type { PassSummary } from "../measure/pass-summary.ts";
import { compareNames } from "../shared/compare-names.ts";
import { chooseBaseline } from "./choose-baseline.ts";
import { type CautionFact, describeCaution } from "./describe-caution.ts";
import { type Column, judgeColumns, showsNoNoise, suiteRows, verdictRows } from "./judge-columns.ts";
import type { Judgement, JudgeSettings, SuiteRow, Verdict } from "./judgement.ts";
import { metricLabel } from "./label-metric.ts";
import { cellKey, judgedPass, type MarkedPass, markPasses, passName, sortPasses } from "./mark-passes.ts";

/**
 * Judges a session: which passes count, and which configs differ from the baseline by more than run-to-run noise.
 * A pure function: the same passes and settings give the same judgement, in whatever order the passes come.
 * @param passes one summary per capture; game, config and pass name together are unique
 * @throws RunError if the baseline has no passes or there is no other config: nothing to judge
 */
export function judgeSession(passes: readonly PassSummary[], settings: JudgeSettings): Judgement {
  const ordered = sortPasses(passes);
  const names = nameGamesAndConfigs(ordered, settings.baseline);
  chooseBaseline(names.configs, settings.baseline);

  const marking = settings.keepAll ? { setAside: [] } : settings;
  const marked = markPasses(ordered, marking, !settings.keepAll);
  const unscreened = markPasses(ordered, marking, false);
  const columns = judgeColumns(countedOf(marked), names, settings);
  const rows = verdictRows(columns, settings);
  const wordWithAll = new Map(
    verdictRows(judgeColumns(countedOf(unscreened), names, settings), settings).map((row) => [
      verdictKey(row),
      row.verdict,
    ]),
  );
  const verdicts = rows
    .map((row) => ({ ...row, holdsWithAllPasses: wordWithAll.get(verdictKey(row)) === row.verdict }))
    .sort(byGameAndConfig(names));
  const suite = suiteRows(columns, settings);

  return {
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
    },
    passes: marked.map(judgedPass),
    verdicts,
    suite,
    cautions: [
      ...findCautions(marked, names, columns, verdicts, suite),
      ...(settings.notRead?.length ? [{ code: "not-read" as const, files: settings.notRead }] : []),
    ].map(describeCaution),
  };
}

interface Names {
  readonly games: readonly string[];
  /** The baseline first. */
  readonly configs: readonly string[];
}

function nameGamesAndConfigs(passes: readonly PassSummary[], baseline: string): Names {
  const games = [...new Set(passes.map(({ game }) => game))].sort(compareNames);
  const configs = [...new Set(passes.map(({ config }) => config))].sort(
    (a, b) => Number(b === baseline) - Number(a === baseline) || compareNames(a, b),
  );
  return { games, configs };
}

function countedOf(marked: readonly MarkedPass[]): PassSummary[] {
  return marked.filter(({ counted }) => counted).map(({ pass }) => pass);
}

function verdictKey(row: Pick<Verdict, "game" | "config" | "metric">): string {
  return JSON.stringify([row.game, row.config, row.metric]);
}

/** Rows of a game together, then of a config; metrics keep their order. */
function byGameAndConfig({ games, configs }: Names): (a: Verdict, b: Verdict) => number {
  const gameOrder = new Map(games.map((game, i) => [game, i]));
  const configOrder = new Map(configs.map((config, i) => [config, i]));
  return (a, b) =>
    (gameOrder.get(a.game) as number) - (gameOrder.get(b.game) as number) ||
    (configOrder.get(a.config) as number) - (configOrder.get(b.config) as number);
}

function findCautions(
  marked: readonly MarkedPass[],
  names: Names,
  columns: readonly Column[],
  verdicts: readonly Verdict[],
  suite: readonly SuiteRow[],
): CautionFact[] {
  const cautions: CautionFact[] = [];
  const counted = new Map<string, MarkedPass[]>();
  for (const item of marked.filter((candidate) => candidate.counted)) {
    counted.set(cellKey(item.pass), [...(counted.get(cellKey(item.pass)) ?? []), item]);
  }
  const cells = names.games.flatMap((game) =>
    names.configs.map((config) => ({
      name: `${game}/${config}`,
      passes: counted.get(cellKey({ game, config })) ?? [],
    })),
  );
  const namesWhere = (test: (passes: readonly MarkedPass[]) => boolean): string[] =>
    cells.filter(({ passes }) => test(passes)).map(({ name }) => name);

  const missing = namesWhere((passes) => passes.length === 0);
  if (missing.length > 0) cautions.push({ code: "missing-cell", cells: missing });
  const single = namesWhere((passes) => passes.length === 1);
  if (single.length > 0) cautions.push({ code: "single-pass", cells: single });
  for (const metric of ["low1Fps", "low01Fps"] as const) {
    const without = namesWhere(
      (passes) => passes.length > 0 && passes.some(({ pass }) => pass[metric] === null),
    );
    if (without.length > 0) {
      const { needed } = framesNeeded[metric];
      cautions.push({ code: "missing-lows", metric: metricLabel[metric], needed, cells: without });
    }
  }
  const hasFlag = (item: MarkedPass, code: string): boolean => item.flags.some((flag) => flag.code === code);
  const disagree = namesWhere((passes) => passes.some((item) => hasFlag(item, "passes-disagree")));
  if (disagree.length > 0) cautions.push({ code: "passes-disagree", cells: disagree });
  const timeMissing = marked
    .filter((item) => item.counted && hasFlag(item, "time-missing"))
    .map(({ pass }) => passName(pass));
  if (timeMissing.length > 0) cautions.push({ code: "time-missing", passes: timeMissing });
  for (const column of columns.filter(showsNoNoise)) {
    cautions.push({ code: "no-noise-seen", config: column.config, metric: metricLabel[column.metric] });
  }
  if (verdicts.some(({ metric, verdict }) => metric === "low01Fps" && isCalled(verdict))) {
    cautions.push({ code: "called-lows-overstate" });
  }
  const fewest = Math.min(...suite.map(({ games }) => games));
  if (suite.length > 0 && fewest < 5) cautions.push({ code: "few-games", games: fewest });
  const boots = cells.map(
    ({ passes }) => new Set(passes.map(({ pass }) => pass.boot).filter((b) => b !== null)),
  );
  if (boots.some(({ size }) => size < 2)) cautions.push({ code: "one-boot" });
  return cautions;
}

function isCalled(verdict: Verdict["verdict"]): boolean {
  return verdict === "higher" || verdict === "lower";
}
