import type { Metric } from "../shared/metrics.ts";
import type { Place, Problem } from "../shared/problem.ts";

/** What `is` may say. */
export const claimWords = [
  "higher",
  "lower",
  "same",
  "within-noise",
  "unclear",
  "not-higher",
  "not-lower",
] as const;
export type ClaimWord = (typeof claimWords)[number];

/** What a claim speaks of: one game, all games together, or the games of one kind. */
export type ClaimScope =
  | { readonly kind: "game"; readonly game: string }
  | { readonly kind: "suite" }
  | { readonly kind: "tag"; readonly tag: string };

/** Units of the metrics, as a claim may write them. */
export const unitsByMetric = {
  avgFps: "FPS",
  low1Fps: "FPS",
  low01Fps: "FPS",
  cpuPowerW: "W",
  gpuPowerW: "W",
  fpsPerWatt: "FPS/W",
  joulesPerFrame: "J",
} as const;
export type MetricUnit = (typeof unitsByMetric)[keyof typeof unitsByMetric];

/** A tolerance; without a unit it is that of what it belongs to. */
export interface Margin {
  readonly value: number;
  readonly unit: MetricUnit | "%" | null;
}

/** What must be true in the data. Names are not yet known to exist. What a claim does not say is null. */
export interface Claim {
  readonly scope: ClaimScope;
  readonly metric: Metric;
  readonly config: string | null;
  /** null: the session's baseline. */
  readonly against: string | null;
  readonly is: ClaimWord | null;
  /** With its sign: -9 is 9% lower. */
  readonly byPct: number | null;
  readonly giveOrTake: Margin | null;
  /** A value in the metric's unit; `decimals` as written. */
  readonly about: { readonly value: number; readonly decimals: number } | null;
  readonly differsAtMostPct: number | null;
  /** Configs from the lowest value to the highest. */
  readonly order: readonly string[] | null;
  readonly best: string | null;
  readonly worst: string | null;
}

/** A claim as found in a script: read, or with what is wrong with it. */
export interface ReadClaim {
  readonly at: Place & { readonly line: number };
  /** As written, on one line. */
  readonly written: string;
  /** null exactly where `problems` is not empty. */
  readonly claim: Claim | null;
  readonly problems: readonly Problem[];
}

/** A sentence of a script with the claims that stand behind it. */
export interface ScriptSentence {
  readonly file: string;
  /** Where the sentence begins, counted from 1. */
  readonly line: number;
  /** Without markup, on one line. */
  readonly text: string;
  readonly claims: readonly ReadClaim[];
  /** Why its numbers are no measurements, where a comment says so; else null. */
  readonly exempt: string | null;
}
