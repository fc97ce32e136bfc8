import type { PassSummary } from "../measure/pass-summary.ts";
import { soleOf } from "../shared/non-empty.ts";
import { holm } from "./adjust-p.ts";
import { cellKey, mapByCell } from "./cells.ts";
import { cellStatistics, noiseLevel, type SessionNames } from "./judge-columns.ts";
import type { ConfigLevels, FactorEffect, JudgeSettings } from "./judgement.ts";
import { pctOfLog } from "./log-scale.ts";
import { frameRates } from "./metric-groups.ts";
import { type CellStatistics, varianceFloor } from "./pair-variance.ts";
import type { BootNoise } from "./shared-boots.ts";
import { estimateSuite, type GameDifference } from "./suite.ts";
import { decideVerdict } from "./verdict.ts";

/** Four configs that cross two factors of two levels; the baseline holds the first level of both. */
interface Crossing {
  readonly factors: readonly [string, string];
  /** The level that the baseline has, and the other one. */
  readonly levels: readonly [readonly [string, string], readonly [string, string]];
  /** configs[i][j] has level i of the first factor and level j of the second. */
  readonly configs: readonly [readonly [string, string], readonly [string, string]];
}

/**
 * Finds two factors that differ between configs, with two levels each and a config for each of the four pairs.
 * @returns null where the session's configs are no such crossing
 */
function findCrossing(
  levels: readonly ConfigLevels[],
  configs: readonly string[],
  baseline: string,
): Crossing | null {
  const known = levels.filter(({ config }) => configs.includes(config));
  const base = known.find(({ config }) => config === baseline)?.levels;
  if (base === undefined) return null;
  const varying = Object.keys(base).filter((factor) =>
    known.some(({ levels: own }) => own[factor] !== undefined && own[factor] !== base[factor]),
  );
  if (varying.length !== 2) return null;
  const [first, second] = varying as [string, string];
  const pairOf = (factor: string): readonly [string, string] | null => {
    const levels = new Set(known.flatMap(({ levels: own }) => own[factor] ?? []));
    const other = soleOf([...levels].filter((level) => level !== base[factor]));
    return other === null ? null : [base[factor] as string, other];
  };
  const a = pairOf(first);
  const b = pairOf(second);
  if (a === null || b === null) return null;
  const find = (i: 0 | 1, j: 0 | 1): string | null => {
    return (
      soleOf(known.filter(({ levels: own }) => own[first] === a[i] && own[second] === b[j]))?.config ?? null
    );
  };
  const grid = [find(0, 0), find(0, 1), find(1, 0), find(1, 1)] as const;
  const [c00, c01, c10, c11] = grid;
  if (c00 === null || c01 === null || c10 === null || c11 === null) return null;
  return {
    factors: [first, second],
    levels: [a, b],
    configs: [
      [c00, c01],
      [c10, c11],
    ],
  };
}

/** A weighted sum of cell means with its variance and degrees of freedom (Satterthwaite 1946). */
function contrast(cells: readonly CellStatistics[], weights: readonly number[]): GameDifference | null {
  let d = 0;
  let v = 0;
  let spread = 0;
  for (const [i, { n, mean, variance }] of cells.entries()) {
    if (variance === null) return null;
    const weight = weights[i] as number;
    const part = (weight * weight * Math.max(variance, varianceFloor)) / n;
    d += weight * mean;
    v += part;
    spread += (part * part) / (n - 1);
  }
  return { d, v, f: (v * v) / spread };
}

/** Weights over the cells 00, 01, 10, 11. A main effect averages over the other factor's levels. */
const effects = [
  { factors: [0], weights: [-0.5, -0.5, 0.5, 0.5] },
  { factors: [1], weights: [-0.5, 0.5, -0.5, 0.5] },
  { factors: [0, 1], weights: [1, -1, -1, 1] },
] as const;

/**
 * Main effects and interaction of a crossing of two factors, over games, in the metrics of the FPS group. The
 * interaction says by how much one factor's effect changes with the other's level.
 * @returns no rows where the configs are no crossing or fewer than two games have all four cells twice
 */
export function judgeFactors(
  counted: readonly PassSummary[],
  names: SessionNames,
  settings: JudgeSettings,
  bootNoise: BootNoise,
): FactorEffect[] {
  const crossing = findCrossing(settings.levels ?? [], names.configs, settings.baseline);
  if (crossing === null) return [];
  const level = noiseLevel(counted);
  const cells = mapByCell(counted, (pass) => pass);
  const confidence = settings.confidencePct / 100;
  const drafts = frameRates.flatMap((metric) =>
    effects.flatMap(({ factors, weights }) => {
      const games = names.games.flatMap((game) => {
        const four = crossing.configs
          .flat()
          .map((config) => cellStatistics(cells.get(cellKey({ game, config })) ?? [], metric, level));
        const present = four.filter((cell) => cell !== null);
        const found = present.length === 4 ? contrast(present, weights) : null;
        return found === null ? [] : [{ game, found }];
      });
      const shared = crossing.configs.flat().flatMap((config, i) => {
        const term = bootNoise(
          config,
          games.map(({ game }) => game),
          metric,
        );
        return term === null ? [] : [{ ...term, variance: weights[i as 0 | 1 | 2 | 3] ** 2 * term.variance }];
      });
      const estimate = estimateSuite(
        games.map(({ found }) => found),
        confidence,
        shared,
      );
      return estimate === null ? [] : [{ metric, factors, estimate }];
    }),
  );
  const adjusted = holm(drafts.map(({ estimate }) => estimate.main.p));
  return drafts.map(({ metric, factors, estimate }, i) => {
    const pAdjusted = adjusted[i] as number;
    const { logDiff, main } = estimate;
    const [single, other] = factors;
    const pair = other === undefined ? crossing.levels[single] : null;
    return {
      metric,
      factors: factors.map((index) => crossing.factors[index]),
      level: pair?.[1] ?? null,
      againstLevel: pair?.[0] ?? null,
      games: estimate.games,
      changePct: pctOfLog(logDiff),
      lowPct: pctOfLog(main.low),
      highPct: pctOfLog(main.high),
      p: main.p,
      pAdjusted,
      verdict: decideVerdict({
        logDiff,
        low: main.low,
        high: main.high,
        pAdjusted,
        alpha: 1 - confidence,
        mattersPct: settings.mattersPct,
      }).verdict,
    };
  });
}
