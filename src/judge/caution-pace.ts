import { mean } from "simple-statistics";
import { groupBy } from "../shared/group-by.ts";
import { metricLabel } from "../shared/metrics.ts";
import { cellKey } from "./cells.ts";
import type { CautionFact } from "./describe-caution.ts";
import type { PassFlag } from "./describe-flag.ts";
import { countedCells, findLimits, hasFlag, limitOf, mostHave } from "./find-limits.ts";
import { ifAny } from "./if-any.ts";
import type { Limit, Verdict } from "./judgement.ts";
import type { MarkedPass } from "./mark-passes.ts";
import { isFrameRate } from "./metric-groups.ts";
import { isCalled } from "./verdict.ts";

/** What the pace of passes is judged with. */
interface PaceJudged {
  readonly marked: readonly MarkedPass[];
  readonly verdicts: readonly Verdict[];
}

/** Cautions on what set the pace: caps, the graphics card, throttling, and where nobody knows. */
export function cautionPace(judged: PaceJudged): CautionFact[] {
  return [...cautionLimits(judged), ...cautionThrottling(judged), ...cautionUnknownPace(judged)];
}

function cautionLimits({ marked }: PaceJudged): CautionFact[] {
  const limits = findLimits(marked);
  const cells = [...countedCells(marked)].map(([key, cell]) => ({ cell, limit: limits.get(key) }));
  const byGame = groupBy(cells, ({ cell }) => cell[0].pass.game);
  return (["capped", "gpu-bound"] as const).flatMap((code): CautionFact[] => {
    const games = [...byGame].flatMap(([game, own]) => {
      const limited = own.filter(({ limit }) => limit === code).map(({ cell }) => cell);
      const figures = limited.flat().flatMap(({ flags }) => flags.flatMap((flag) => figureOf(flag, code)));
      const configs = limited.map((cell) => cell[0].pass.config);
      return figures.length === 0
        ? []
        : [
            {
              game,
              configs: limited.length === own.length ? null : configs,
              lowest: Math.min(...figures),
              highest: Math.max(...figures),
            },
          ];
    });
    return ifAny(games, (all) => ({ code, games: all }));
  });
}

/** The rate of a cap, or the share of time at the GPU's ceiling. */
function figureOf(flag: PassFlag, code: Limit): number[] {
  if (flag.code !== code) return [];
  return flag.code === "capped" ? [flag.rateFps] : flag.code === "gpu-bound" ? [flag.timePct] : [];
}

/** Cells whose passes throttle, and slower ones whose clock or power lies below the baseline's. */
function cautionThrottling({ marked, verdicts }: PaceJudged): CautionFact[] {
  const cells = countedCells(marked);
  const within = [...cells].flatMap(([, cell]) => {
    const { game, config } = cell[0].pass;
    const throttled = cell.filter((item) => hasFlag(item, "throttled")).length;
    return 2 * throttled > cell.length ? [{ cell: `${game}/${config}`, throttled, passes: cell.length }] : [];
  });
  const rows = groupBy(verdicts, cellKey);
  const held = [...rows.values()].flatMap((own) => {
    const { game, config, against } = own[0];
    const slower = own.filter(({ metric, verdict }) => isFrameRate(metric) && verdict === "lower");
    if (slower.length === 0) return [];
    const below = heldBelow(
      cells.get(cellKey({ game, config })) ?? [],
      cells.get(cellKey({ game, config: against })) ?? [],
      own,
    );
    return below === null
      ? []
      : [
          {
            cell: `${game}/${config}`,
            slower: slower.map(({ metric, changePct }) => ({ metric: metricLabel[metric], changePct })),
            ...below,
          },
        ];
  });
  return [
    ...ifAny(within, (cells) => ({ code: "throttled", cells })),
    ...ifAny(held, (cells) => ({ code: "held-back", cells })),
  ];
}

const leastBelowPct = 5;

/** By how much a config's clock, or the power at which it is held, lies below the baseline's. */
function heldBelow(
  own: readonly MarkedPass[],
  against: readonly MarkedPass[],
  verdicts: readonly Verdict[],
): {
  readonly sensor: "CPU clock" | "CPU power";
  readonly belowPct: number;
  readonly watts: number | null;
} | null {
  const clocks = (cell: readonly MarkedPass[]): number[] =>
    cell.flatMap(({ pass }) => (pass.cpuClockMhz === null ? [] : [pass.cpuClockMhz]));
  const [slow, usual] = [clocks(own), clocks(against)];
  if (slow.length > 0 && usual.length > 0 && Math.max(...slow) < Math.min(...usual)) {
    const belowPct = 100 * (1 - mean(slow) / mean(usual));
    if (belowPct >= leastBelowPct) return { sensor: "CPU clock", belowPct, watts: null };
  }
  const power = verdicts.find(({ metric }) => metric === "cpuPowerW");
  if (power?.verdict !== "lower" || power.changePct > -leastBelowPct || !mostHave(own, "power-limited"))
    return null;
  const watts = own.flatMap(({ flags }) =>
    flags.flatMap((flag) => (flag.code === "power-limited" ? [flag.watts] : [])),
  );
  return { sensor: "CPU power", belowPct: -power.changePct, watts: mean(watts) };
}

/**
 * Games that no config moves while another game moves, in a session whose logs do not say how busy the graphics card
 * was: the processor may simply not be what they wait for.
 */
function cautionUnknownPace({ marked, verdicts }: PaceJudged): CautionFact[] {
  const limits = findLimits(marked);
  const rows = verdicts.filter(({ metric }) => metric === "avgFps" || metric === "low1Fps");
  const byGame = groupBy(rows, ({ game }) => game);
  if (!rows.some(isCalled)) return [];
  const unmoved = [...byGame].flatMap(([game, own]) => {
    const isKnown =
      own.some((row) => limitOf(limits, row) !== null) ||
      marked.some(({ pass }) => pass.game === game && pass.gpuLoadPct !== null);
    return !isKnown && own.length > 1 && own.every(({ verdict }) => verdict === "same") ? [game] : [];
  });
  return ifAny(unmoved, (games) => ({ code: "pace-unknown", games }));
}
