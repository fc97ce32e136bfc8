import type { Metric } from "../shared/metrics.ts";
import { cellKey } from "./cells.ts";

/** Minutes that capturing costs; null where nobody said. */
export interface PassCosts {
  readonly passMinutes: number | null;
  /** Getting the machine into another config: a reboot, a BIOS visit. */
  readonly switchMinutes: number;
}

/** The pass to capture next. */
export interface NextPass {
  readonly game: string;
  readonly config: string;
  /** Counted passes of its cell, this one included. */
  readonly number: number;
  /** Why this one: its cell has too few to tell anything, or it narrows what is open by most per minute. */
  readonly because: "too-few" | "narrows-most";
  /** The widest open comparison it helps, with its half-width now and as it should be then; null with too few. */
  readonly widest: {
    readonly config: string;
    readonly metric: Metric;
    readonly halfWidth: number;
    readonly halfWidthThen: number;
  } | null;
}

interface Cell {
  readonly game: string;
  readonly config: string;
  readonly counted: number;
  readonly needed: number;
}

interface OpenComparison {
  readonly game: string;
  readonly config: string;
  readonly metric: Metric;
  readonly passes: number;
  readonly againstPasses: number;
  readonly halfWidth: number | null;
}

/**
 * The pass that tells most. First come cells with too few passes to tell anything: the cheapest to get at, then the
 * one with the fewest. After that the pass that narrows the intervals still open by most, all that its cell is part of
 * together, per minute it costs. It looks at widths and never at differences, so that it cannot chase a verdict.
 */
export function chooseNextPass(session: {
  readonly cells: readonly Cell[];
  readonly open: readonly OpenComparison[];
  readonly baseline: string | null;
  readonly rule: { readonly leastPasses: number };
  readonly costs: PassCosts;
  readonly lastConfig: string | null;
}): NextPass | null {
  const { cells, open, baseline, rule, costs, lastConfig } = session;
  const candidates = cells.filter(({ counted, needed }) => counted < needed);
  const cost = ({ config }: Cell): number =>
    (costs.passMinutes ?? 1) + (config === lastConfig ? 0 : costs.switchMinutes);
  const few = best(
    candidates.filter(({ counted }) => counted < rule.leastPasses),
    (a, b) => cost(a) - cost(b) || a.counted - b.counted,
  );
  if (few !== null) return { ...nextOf(few), because: "too-few", widest: null };

  const touching = new Map<string, OpenComparison[]>();
  for (const comparison of open) {
    for (const config of [comparison.config, baseline as string]) {
      const key = cellKey({ game: comparison.game, config });
      touching.set(key, [...(touching.get(key) ?? []), comparison]);
    }
  }
  const weighed = candidates.map((cell) => {
    const helped = (touching.get(cellKey(cell)) ?? []).flatMap((comparison) => {
      const { config, metric, halfWidth } = comparison;
      return halfWidth === null
        ? []
        : [{ config, metric, halfWidth, halfWidthThen: halfWidth * shrinkBy(cell, comparison) }];
    });
    const gain = helped.reduce((sum, { halfWidth, halfWidthThen }) => sum + halfWidth - halfWidthThen, 0);
    return { cell, helped, gainPerMinute: gain / cost(cell) };
  });
  const chosen = best(weighed, (a, b) => b.gainPerMinute - a.gainPerMinute);
  if (chosen === null) return null;
  return {
    ...nextOf(chosen.cell),
    because: "narrows-most",
    widest: best(chosen.helped, (a, b) => b.halfWidth - a.halfWidth),
  };
}

/** Half-width with one more pass of the cell over the half-width now, were the two cells equally noisy. */
function shrinkBy({ config }: Cell, comparison: OpenComparison): number {
  const { passes, againstPasses } = comparison;
  const [own, other] = config === comparison.config ? [passes, againstPasses] : [againstPasses, passes];
  return Math.sqrt((1 / (own + 1) + 1 / other) / (1 / own + 1 / other));
}

function nextOf({ game, config, counted }: Cell): Pick<NextPass, "game" | "config" | "number"> {
  return { game, config, number: counted + 1 };
}

/** The first of those that nothing comes before. */
function best<T>(items: readonly T[], compare: (a: T, b: T) => number): T | null {
  let chosen: T | null = null;
  for (const item of items) if (chosen === null || compare(item, chosen) < 0) chosen = item;
  return chosen;
}

/**
 * Minutes that the passes left cost, config by config; null where nobody said what a pass costs.
 * @param lastConfig the config that the machine is in
 */
export function sumMinutes(
  cells: readonly Cell[],
  { passMinutes, switchMinutes }: PassCosts,
  lastConfig: string | null,
): number | null {
  if (passMinutes === null) return null;
  const left = cells.filter(({ counted, needed }) => counted < needed);
  const passes = left.reduce((sum, { counted, needed }) => sum + needed - counted, 0);
  const switches = new Set(left.map(({ config }) => config).filter((config) => config !== lastConfig)).size;
  return passes * passMinutes + switches * switchMinutes;
}
