import type { VerdictWord } from "../../judge/verdict.ts";
import type { Metric } from "../../shared/metrics.ts";
import type { ConfigPaint } from "./config-paint.ts";

/** One difference with its interval. */
export interface IntervalLane {
  readonly paint: ConfigPaint;
  readonly metric: Metric;
  readonly changePct: number;
  readonly lowPct: number | null;
  readonly highPct: number | null;
  readonly verdict: VerdictWord;
  /** "*" where the verdict hangs on what was screened out. */
  readonly mark: string;
}

/** A game or a kind of games, with a lane per config. */
export interface IntervalRow {
  readonly title: string;
  readonly lanes: readonly IntervalLane[];
}
