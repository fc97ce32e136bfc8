import { framesNeeded } from "../measure/frames-needed.ts";
import { metricLabel } from "../shared/metrics.ts";
import { hasPower } from "../shared/power-caution.ts";
import { cautionPace } from "./caution-pace.ts";
import { cellKey } from "./cells.ts";
import { compareBaselineBoots } from "./compare-boots.ts";
import type { CautionFact } from "./describe-caution.ts";
import type { PassFlag } from "./describe-flag.ts";
import { countedCells, hasFlag } from "./find-limits.ts";
import { ifAny } from "./if-any.ts";
import { type Column, noiseLevel, type SessionNames, showsNoNoise } from "./judge-columns.ts";
import type { JudgeSettings, SuiteRow, UnreadLog, Verdict } from "./judgement.ts";
import { countedPasses, type MarkedPass, passName } from "./mark-passes.ts";
import { findOrderEffects, isBlocked, type OrderFinding, timePasses } from "./order-effects.ts";
import { doGamesShareBoots } from "./shared-boots.ts";
import { isCalled } from "./verdict.ts";

/** What a judgement's cautions are found in. */
export interface JudgedSoFar {
  readonly marked: readonly MarkedPass[];
  readonly names: SessionNames;
  readonly settings: JudgeSettings;
  readonly columns: readonly Column[];
  readonly verdicts: readonly Verdict[];
  readonly suite: readonly SuiteRow[];
}

/** What limits the judgement as a whole, the gravest first. */
export function findCautions(judged: JudgedSoFar): CautionFact[] {
  const { notRead } = judged.settings;
  return [
    ...ifAny(notRead ?? [], (logs) => ({ code: "not-read", files: logs.map(unreadFile) })),
    ...cautionCells(judged),
    ...cautionPasses(judged),
    ...cautionOrder(judged),
    ...cautionBoots(judged),
    ...cautionVerdicts(judged),
    ...cautionSuite(judged),
    ...cautionPace(judged),
    ...(hasPower(judged.marked.map(({ pass }) => pass)) ? [{ code: "power-limits" as const }] : []),
  ];
}

function unreadFile({ file, place }: UnreadLog): { file: string; cell: string | null } {
  return { file, cell: place === null ? null : `${place.game}/${place.config}` };
}

interface Cell {
  readonly game: string;
  readonly name: string;
  readonly passes: readonly MarkedPass[];
}

function cautionCells({ marked, names }: JudgedSoFar): CautionFact[] {
  const counted = countedCells(marked);
  const cells = names.games.flatMap((game) =>
    names.configs.map(
      (config): Cell => ({
        game,
        name: `${game}/${config}`,
        passes: counted.get(cellKey({ game, config })) ?? [],
      }),
    ),
  );
  const namesWhere = (test: (cell: Cell) => boolean): string[] => cells.filter(test).map(({ name }) => name);
  const missing = namesWhere(({ passes }) => passes.length === 0);
  const single = namesWhere(({ passes }) => passes.length === 1);
  const disagree = namesWhere(({ passes }) => passes.some((item) => hasFlag(item, "passes-disagree")));
  return [
    ...ifAny(missing, (cells) => ({ code: "missing-cell", cells })),
    ...ifAny(single, (cells) => ({ code: "single-pass", cells })),
    ...ifAny(disagree, (cells) => ({ code: "passes-disagree", cells })),
    ...(["low1Fps", "low01Fps"] as const).flatMap((metric): CautionFact[] => {
      const lacks = ({ passes }: Cell): boolean => passes.some(({ pass }) => pass[metric] === null);
      // A game whose cells all lack it is named once.
      const without = names.games.flatMap((game) => {
        const own = cells.filter((cell) => cell.game === game && cell.passes.length > 0);
        return own.length > 1 && own.every(lacks) ? [game] : own.filter(lacks).map(({ name }) => name);
      });
      const { needed } = framesNeeded[metric];
      return ifAny(without, (cells) => ({
        code: "missing-lows",
        metric: metricLabel[metric],
        needed,
        cells,
      }));
    }),
  ];
}

function cautionPasses({ marked }: JudgedSoFar): CautionFact[] {
  const namesWith = (test: (flag: PassFlag) => boolean): string[] =>
    marked.filter(({ counted, flags }) => counted && flags.some(test)).map(({ pass }) => passName(pass));
  const timeless = namesWith(({ code }) => code === "time-missing");
  const coarse = namesWith(({ code }) => code === "coarse-times");
  const uneven = namesWith(({ code }) => code === "length-differs");
  const unheard = namesWith((flag) => flag.code === "sensor-gap" && !flag.isCounted);
  return [
    ...ifAny(timeless, (passes) => ({ code: "time-missing", passes })),
    ...ifAny(coarse, (passes) => ({ code: "coarse-times", passes })),
    ...ifAny(uneven, (passes) => ({ code: "length-differs", passes })),
    ...ifAny(unheard, (passes) => ({ code: "sensor-gap", passes })),
  ];
}

function cautionOrder({ marked, settings }: JudgedSoFar): CautionFact[] {
  const counted = countedPasses(marked);
  const times = timePasses(counted);
  const confidence = settings.confidencePct / 100;
  return [
    ...(isBlocked(counted, times) ? [{ code: "order" as const }] : []),
    ...orderFacts(findOrderEffects(counted, times, confidence)),
  ];
}

/** What is alike of several metrics is one caution. */
function orderFacts(found: readonly OrderFinding[]): CautionFact[] {
  return [
    ...(["first-pass", "drift"] as const).flatMap((code): CautionFact[] => {
      const changes = found.flatMap((one) => {
        if (one.kind !== code) return [];
        const { changePct, lowPct, highPct } = one;
        return [{ metric: metricLabel[one.metric], changePct, lowPct, highPct }];
      });
      return ifAny(changes, (all) => ({ code, changes: all }));
    }),
    ...found.flatMap((one): CautionFact[] =>
      one.kind === "first-pass-or-drift"
        ? [
            {
              code: one.kind,
              metric: metricLabel[one.metric],
              firstPassPct: one.firstPass.changePct,
              perHourPct: one.drift.changePct,
            },
          ]
        : [],
    ),
  ];
}

function cautionBoots({ marked, settings, suite }: JudgedSoFar): CautionFact[] {
  const counted = countedPasses(marked);
  if (noiseLevel(counted) === "boot") {
    return suite.length > 0 && doGamesShareBoots(counted) ? [{ code: "shared-boots" }] : [];
  }
  const compared = compareBaselineBoots(counted, settings.baseline, settings.confidencePct / 100);
  return [
    ...compared.map(
      (boots): CautionFact => ({ code: "baseline-boots", ...boots, metric: metricLabel[boots.metric] }),
    ),
    { code: "one-boot", isBaselineRepeated: compared.length > 0 },
  ];
}

function cautionVerdicts({ columns, verdicts }: JudgedSoFar): CautionFact[] {
  const hanging = verdicts.flatMap((row) =>
    row.hangsOnPass === null
      ? []
      : [{ cell: `${row.game}/${row.config}`, metric: metricLabel[row.metric], pass: row.hangsOnPass }],
  );
  const turning = verdicts.flatMap((row) => {
    const others = row.otherLows.filter(
      ({ verdict }) => verdict !== row.verdict && (isCalled({ verdict }) || isCalled(row)),
    );
    return [...new Set(others.map(({ verdict }) => verdict))].map((word) => {
      const definitions = others.filter(({ verdict }) => verdict === word).map(({ lows }) => lows);
      return {
        cell: `${row.game}/${row.config}`,
        turns: `${metricLabel[row.metric]} (${row.verdict}; ${definitions.join(" and ")}: ${word})`,
      };
    });
  });
  const uneven = [...new Set(verdicts.flatMap(unevenCell))];
  return [
    ...columns
      .filter(showsNoNoise)
      .map(
        ({ config, metric }): CautionFact => ({ code: "no-noise-seen", config, metric: metricLabel[metric] }),
      ),
    ...ifAny(hanging, (all) => ({ code: "hangs-on-one-pass", verdicts: all })),
    ...ifAny(turning, (all) => ({ code: "lows-definition", verdicts: all })),
    ...ifAny(uneven, (cells) => ({ code: "uneven-passes", cells })),
    ...(verdicts.some(isCalledRareLow) ? [{ code: "called-lows-overstate" as const }] : []),
  ];
}

/** Where so many passes or more stand against two, a difference that is called deserves a warning; by simulation. */
export const manyPasses = 4;

/** The cell of two passes behind a difference that is called against a cell of many. */
function unevenCell(row: Verdict): string[] {
  const { game, config, against, passes, againstPasses } = row;
  if (!isCalled(row) || Math.min(passes, againstPasses) !== 2) return [];
  if (Math.max(passes, againstPasses) < manyPasses) return [];
  return [`${game}/${passes === 2 ? config : against}`];
}

/** Fewer games than this say little about games in general. Common practice, no source. */
export const gamesAdvised = 5;

function cautionSuite({ suite }: JudgedSoFar): CautionFact[] {
  const fewest = Math.min(...suite.filter(({ tag }) => tag === null).map(({ games }) => games));
  return Number.isFinite(fewest) && fewest < gamesAdvised ? [{ code: "few-games", games: fewest }] : [];
}

/** A difference of a 0.1% low that is told. */
export function isCalledRareLow(row: Verdict): boolean {
  return row.metric === "low01Fps" && isCalled(row);
}
