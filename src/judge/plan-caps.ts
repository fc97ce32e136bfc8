import { mean } from "simple-statistics";
import type { PassSummary } from "../measure/pass-summary.ts";
import { groupBy } from "../shared/group-by.ts";
import type { LowsDefinition } from "../shared/lows-definition.ts";
import type { Metric } from "../shared/metrics.ts";
import { hasPower } from "../shared/power-caution.ts";
import { cellKey } from "./cells.ts";
import { describeCaution } from "./describe-caution.ts";
import { countedCells, findLimits } from "./find-limits.ts";
import { judgeColumns, verdictRows } from "./judge-columns.ts";
import type { Caution, JudgeSettings, TradeChange } from "./judgement.ts";
import { countedPasses, type MarkedPass, markPasses, sortPasses } from "./mark-passes.ts";
import { isFrameRate } from "./metric-groups.ts";

/** How far a cap to try lies below the uncapped average: common practice, no source. */
const capMarginPct = 10;

/** A config that is another one under a frame cap. */
export interface ConfigCap {
  readonly config: string;
  readonly fps: number;
  /** The config without the cap; null where nobody says. */
  readonly of: string | null;
}

/** The cap to try in one cell that ran without one. */
export interface PlannedCap {
  readonly game: string;
  readonly config: string;
  readonly passes: number;
  readonly avgFps: number;
  readonly capFps: number;
}

/** One cap for all configs of a game, so that none of them is held by it more than the others. */
export interface SharedCap {
  readonly game: string;
  readonly capFps: number;
  /** The slowest config, which sets it. */
  readonly config: string;
}

/** What a cap did to one game: the capped passes against the uncapped ones. */
export interface CapEffect {
  readonly game: string;
  readonly config: string;
  readonly against: string;
  readonly capFps: number;
  readonly changes: readonly CapChange[];
}

export interface CapChange extends Omit<TradeChange, "metric"> {
  readonly metric: "avgFps" | "low1Fps" | "low01Fps" | "meanStepMs";
  readonly value: number;
  readonly againstValue: number;
  readonly pAdjusted: number | null;
}

/** A cell for which no cap is planned, and why. */
export interface NotPlanned {
  readonly game: string;
  readonly config: string;
  /** `told`: the session gives the game a cap; `seen`: the frame times are held to one rate. */
  readonly because: "told" | "seen";
  readonly capFps: number;
}

export interface CapPlan {
  readonly format: "runjury.cap/1";
  readonly marginPct: number;
  readonly lows: LowsDefinition;
  readonly caps: readonly PlannedCap[];
  readonly shared: readonly SharedCap[];
  readonly effects: readonly CapEffect[];
  readonly notPlanned: readonly NotPlanned[];
  /** Capped configs of which nobody says what they are without the cap. */
  readonly unpaired: readonly string[];
  readonly cautions: readonly Caution[];
}

/**
 * The frame cap to try per game and config, and what caps that were tried did.
 * @param caps configs that are another one under a cap
 * @param gameCaps games that had a cap in every config, in FPS
 * @param settings the baseline is of no account
 */
export function planCaps(
  passes: readonly PassSummary[],
  caps: readonly ConfigCap[],
  gameCaps: ReadonlyMap<string, number>,
  settings: JudgeSettings,
): CapPlan {
  const marked = markPasses(sortPasses(passes), settings);
  const capped = new Set(caps.map(({ config }) => config));
  const limits = findLimits(marked);
  const planned: PlannedCap[] = [];
  const notPlanned: NotPlanned[] = [];
  for (const cell of countedCells(marked).values()) {
    const { game, config } = cell[0].pass;
    if (capped.has(config)) continue;
    const told = gameCaps.get(game);
    const seen = limits.get(cellKey({ game, config })) === "capped" ? seenCap(cell) : undefined;
    const capFps = told ?? seen;
    if (capFps !== undefined)
      notPlanned.push({ game, config, because: told === undefined ? "seen" : "told", capFps });
    else planned.push(planCell(game, config, cell));
  }
  return {
    format: "runjury.cap/1",
    marginPct: capMarginPct,
    lows: settings.lows,
    caps: planned,
    shared: shareCaps(planned),
    effects: capEffects(marked, caps, settings),
    notPlanned,
    unpaired: caps.filter(({ of }) => of === null).map(({ config }) => config),
    cautions: hasPower(passes) ? [describeCaution({ code: "power-limits" })] : [],
  };
}

function seenCap(cell: readonly MarkedPass[]): number {
  return mean(
    cell.flatMap(({ flags }) => flags.flatMap((flag) => (flag.code === "capped" ? [flag.rateFps] : []))),
  );
}

/** The geometric mean of the passes, as verdicts have it, less the margin, in whole frames per second. */
function planCell(game: string, config: string, cell: readonly MarkedPass[]): PlannedCap {
  const avgFps = Math.exp(mean(cell.map(({ pass }) => Math.log(pass.avgFps as number))));
  // Logarithms lose the last digit: the cap for 60 FPS is 54.
  const capFps = Math.max(1, Math.floor(avgFps * (1 - capMarginPct / 100) + 1e-9));
  return { game, config, passes: cell.length, avgFps, capFps };
}

function shareCaps(planned: readonly PlannedCap[]): SharedCap[] {
  return [...groupBy(planned, ({ game }) => game)].flatMap(([game, own]) => {
    const [slowest] = [...own].sort((a, b) => a.avgFps - b.avgFps);
    return slowest === undefined || own.length < 2
      ? []
      : [{ game, capFps: slowest.capFps, config: slowest.config }];
  });
}

/** The capped configs of each uncapped one are judged against it, false alarms held among them. */
function capEffects(
  marked: readonly MarkedPass[],
  caps: readonly ConfigCap[],
  settings: JudgeSettings,
): CapEffect[] {
  const counted = countedPasses(marked);
  const byUncapped = groupBy(
    caps.filter(({ of }) => of !== null),
    ({ of }) => of as string,
  );
  return [...byUncapped].flatMap(([against, own]) => {
    const configs = [against, ...own.map(({ config }) => config)];
    const passes = counted.filter(({ config }) => configs.includes(config));
    const games = [...new Set(passes.map(({ game }) => game))];
    const judge = (
      of: readonly PassSummary[],
      metricOf: (metric: Metric) => CapChange["metric"],
    ): CapRow[] => {
      const asked = { ...settings, baseline: against };
      return verdictRows(judgeColumns(of, { games, configs }, asked), asked)
        .filter(({ metric }) => isFrameRate(metric))
        .map((row) => ({ ...row, metric: metricOf(row.metric) }));
    };
    // Steadiness has no verdicts elsewhere; the same machine judges it, in a family of its own.
    const steps = judge(passes.map(stepsAsFrameRate), () => "meanStepMs");
    const rows = [...judge(passes, (metric) => metric as CapChange["metric"]), ...steps];
    return own.flatMap(({ config, fps }) =>
      games.flatMap((game): CapEffect[] => {
        const changes = rows
          .filter((row) => row.game === game && row.config === config)
          .map(({ metric, value, againstValue, changePct, lowPct, highPct, verdict, pAdjusted }) => ({
            ...{ metric, value, againstValue },
            ...{ changePct, lowPct, highPct, verdict, pAdjusted },
          }));
        return changes.length === 0 ? [] : [{ game, config, against, capFps: fps, changes }];
      }),
    );
  });
}

type CapRow = Omit<ReturnType<typeof verdictRows>[number], "metric"> & {
  readonly metric: CapChange["metric"];
};

function stepsAsFrameRate(pass: PassSummary): PassSummary {
  const nothing = { low1Fps: null, low01Fps: null, cpuPowerW: null, gpuPowerW: null };
  return { ...pass, ...nothing, fpsPerWatt: null, joulesPerFrame: null, avgFps: pass.meanStepMs };
}
