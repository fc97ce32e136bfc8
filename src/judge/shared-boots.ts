import { mean, sampleVariance } from "simple-statistics";
import type { PassSummary } from "../measure/pass-summary.ts";
import type { Metric } from "../shared/metrics.ts";
import { groupByCell } from "./cells.ts";
import { logOf } from "./log-scale.ts";
import type { VarianceTerm } from "./suite.ts";

/** Variance that boots add to a config's mean over games; null where they add none, or none that can be known. */
export type BootNoise = (config: string, games: readonly string[], metric: Metric) => VarianceTerm | null;

/** One config's boot as a key. */
const bootKey = ({ config, boot }: Pick<PassSummary, "config" | "boot">): string =>
  JSON.stringify([config, boot]);

/** Whether several games were captured in one boot of a config, so that what the boot does shifts them alike. */
export function doGamesShareBoots(counted: readonly PassSummary[]): boolean {
  const gameOf = new Map<string, string>();
  return counted.some((pass) => {
    const first = gameOf.get(bootKey(pass)) ?? pass.game;
    gameOf.set(bootKey(pass), first);
    return first !== pass.game;
  });
}

/**
 * What a boot shifts in all its games alike does not show in how the games' differences scatter, and so not in an
 * interval over games. It shows in the boots' own means: for one config, the variance between the boots of (mean
 * over games of boot mean - the game's mean over boots), divided by the number of boots.
 * Added to the variance over games it counts the noise of single boots twice and is on the safe side.
 * @param counted passes with known boots, two or more per cell
 * @see Kalibera & Jones 2013, ISMM '13, for boots as the level at which repetitions are independent; the sum with the
 *   variance over games is this project's own, held to its promise by simulation (test/judge/boots.test.ts)
 */
export function bootNoiseOf(counted: readonly PassSummary[]): BootNoise {
  if (!doGamesShareBoots(counted)) return () => null;
  const cells = groupByCell(counted, (pass) => pass);
  return (config, games, metric) => {
    const byBoot = new Map<string, number[]>();
    for (const cell of cells) {
      const [{ game, config: own }] = cell;
      if (own !== config || !games.includes(game)) continue;
      const boots = bootMeans(cell, metric);
      const centre = mean([...boots.values()]);
      for (const [boot, value] of boots) byBoot.set(boot, [...(byBoot.get(boot) ?? []), value - centre]);
    }
    const shifts = [...byBoot.values()].map((values) => mean(values));
    if (shifts.length < 2) return null;
    return { variance: sampleVariance(shifts) / shifts.length, df: shifts.length - 1 };
  };
}

function bootMeans(cell: readonly PassSummary[], metric: Metric): Map<string, number> {
  const logs = new Map<string, number[]>();
  for (const pass of cell) {
    const y = logOf(pass[metric]);
    if (y !== null && pass.boot !== null) logs.set(pass.boot, [...(logs.get(pass.boot) ?? []), y]);
  }
  return new Map([...logs].map(([boot, values]) => [boot, mean(values)]));
}
