import type { StatedNoise } from "../judge/planned-noise.ts";
import { type NoiseReading, readNoise } from "../read/read-noise.ts";
import { type Metric, metricLabel } from "../shared/metrics.ts";
import { nearestName } from "../shared/nearest.ts";
import { badOption } from "../shared/problem.ts";
import { type PlanOptions, planRefused } from "./plan-options.ts";

/**
 * The noise that the options state, of passes and of boots.
 * @throws RunError where a text cannot be read, or two speak of the same metric
 */
export function readStatedNoise({ noise = [], bootNoise = [] }: PlanOptions): StatedNoise[] {
  const passes = readAll("--noise", noise);
  const boots = readAll("--boot-noise", bootNoise);
  const inGame = (all: readonly NoiseReading[], game: string | null, metric: Metric): number | null =>
    (
      all.find((own) => own.metric === metric && own.game === game) ??
      all.find((own) => own.metric === metric && own.game === null)
    )?.pct ?? null;
  const stated = new Map<string, StatedNoise>();
  for (const { game, metric } of [...passes, ...boots]) {
    const passPct = inGame(passes, game, metric);
    if (passPct !== null) {
      const bootPct = inGame(boots, game, metric);
      stated.set(JSON.stringify([game, metric]), { game, metric, passPct, bootPct });
    } else if (game !== null || !passes.some((own) => own.metric === metric)) {
      const label = `${game === null ? "" : `${game}: `}${metricLabel[metric]}`;
      throw planRefused({
        code: "plan-option-alone",
        option: `--boot-noise "${label}"`,
        needs: `--noise "${label}"`,
      });
    }
  }
  return [...stated.values()];
}

function readAll(option: string, texts: readonly string[]): NoiseReading[] {
  const read = new Map<string, NoiseReading>();
  for (const text of texts) {
    const noise = readNoise(text);
    if ("expected" in noise) throw badOption(option, text, noise.expected);
    const key = JSON.stringify([noise.game, noise.metric]);
    if (read.has(key)) throw badOption(option, text, "each metric once, for all games or for one");
    read.set(key, noise);
  }
  return [...read.values()];
}

/** @throws RunError where noise is stated of a game that is not planned for */
export function requireGames(noise: readonly StatedNoise[], games: readonly string[]): void {
  for (const { game, metric } of noise) {
    if (game === null || games.includes(game)) continue;
    const nearest = nearestName(game, games);
    const hint = nearest === null ? "" : `; did you mean "${nearest}"?`;
    throw badOption(
      "--noise",
      `${game}: ${metricLabel[metric]}`,
      `a game of the plan before the colon${hint}`,
    );
  }
}
