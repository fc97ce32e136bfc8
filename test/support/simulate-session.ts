import type { PassSummary } from "../../src/measure/pass-summary.ts";
import { makePass } from "./make-pass.ts";
import type { SeededRandom } from "./seeded-random.ts";

export const simulatedMetrics = ["avgFps", "low1Fps", "low01Fps"] as const;
export type SimulatedMetric = (typeof simulatedMetrics)[number];

/** Noise of one pass, SD of ln values: common practice supported by captures, no published source. */
const typicalSd: Readonly<Record<SimulatedMetric, number>> = {
  avgFps: 0.006,
  low1Fps: 0.018,
  low01Fps: 0.045,
};
const level: Readonly<Record<SimulatedMetric, number>> = { avgFps: 100, low1Fps: 70, low01Fps: 45 };
/** Cells differ in noise: one standard deviation is this factor, unless the scenario says otherwise. */
const usualSdFactor = 1.65;

export interface Scenario {
  readonly games: number;
  readonly passes: number;
  /** Of a config that has another number of them. */
  readonly passesOf?: Readonly<Record<string, number>>;
  /** By what factor all passes of a config are noisier. */
  readonly noisier?: Readonly<Record<string, number>>;
  /** True difference of a config from the baseline on the natural-log scale; 0 where not given. */
  readonly truth?: (at: { game: number; config: string; metric: SimulatedMetric }) => number;
  /** By what factor the noise of cells differs, one standard deviation; 1 for cells that are all equally noisy. */
  readonly sdFactor?: number;
  /** Share of passes that something slowed: 3 to 15% off the average, 10 to 40% off the lows. */
  readonly spoiledShare?: number;
}

export const configs = ["baseline", "first", "second"] as const;

/** One game under one config, from which passes can be captured without end. */
export interface SimulatedCell {
  readonly game: string;
  readonly config: string;
  /** The next so many passes, named by their numbers from 0 each time; `spoiled` takes the names of those slowed. */
  readonly capture: (passes: number, spoiled?: Set<string>) => PassSummary[];
}

/** A cell whose noise is drawn once: every capture has the same. */
function simulateCell(
  game: number,
  config: string,
  scenario: Omit<Scenario, "passes">,
  random: SeededRandom,
): SimulatedCell {
  const { sdFactor = usualSdFactor, spoiledShare = 0 } = scenario;
  const sd = simulatedMetrics.map((metric) => typicalSd[metric] * sdFactor ** random.normal());
  const place = { game: `game-${game}`, config };
  const capture = (pass: string, spoiled?: Set<string>): PassSummary => {
    const isSpoiled = random.uniform() < spoiledShare;
    if (isSpoiled) spoiled?.add(`${place.game}/${config}/${pass}`);
    const slower = isSpoiled
      ? { avgFps: between(random, 0.85, 0.97), lows: between(random, 0.6, 0.9) }
      : { avgFps: 1, lows: 1 };
    const values = simulatedMetrics.map((metric, m) => {
      const truth = config === "baseline" ? 0 : (scenario.truth?.({ game, config, metric }) ?? 0);
      const noise = sd[m]! * (scenario.noisier?.[config] ?? 1) * random.normal();
      const loss = metric === "avgFps" ? slower.avgFps : slower.lows;
      return [metric, level[metric] * Math.exp(truth + noise) * loss] as const;
    });
    return makePass({ ...place, pass }, Object.fromEntries(values));
  };
  return {
    ...place,
    capture: (passes, spoiled) =>
      Array.from({ length: passes }, (_, pass) => capture(`pass-${pass}`, spoiled)),
  };
}

/** The cells of one invented evening: 3 configs, the baseline first. */
export function* simulateCells(
  scenario: Omit<Scenario, "passes">,
  random: SeededRandom,
): Generator<SimulatedCell> {
  for (let game = 0; game < scenario.games; game++) {
    for (const config of configs) yield simulateCell(game, config, scenario, random);
  }
}

/** Passes of all cells, as many of each. `spoiled` names the passes that were slowed. */
export function simulateSession(
  scenario: Scenario,
  random: SeededRandom,
): { passes: PassSummary[]; spoiled: Set<string> } {
  const spoiled = new Set<string>();
  const passes: PassSummary[] = [];
  // A cell is drawn after the passes of the one before.
  for (const cell of simulateCells(scenario, random))
    passes.push(...cell.capture(scenario.passesOf?.[cell.config] ?? scenario.passes, spoiled));
  return { passes, spoiled };
}

const between = (random: SeededRandom, low: number, high: number) => low + (high - low) * random.uniform();
