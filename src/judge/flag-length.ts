import { median } from "simple-statistics";
import type { PassSummary } from "../measure/pass-summary.ts";
import { groupBy } from "../shared/group-by.ts";

/** A pass that lasts much shorter or longer than its cell's other passes, so that it shows another piece of the scene. */
export interface LengthFlag {
  readonly code: "length-differs";
  readonly seconds: number;
  readonly medianSeconds: number;
}

/** Shorter than this share of the cell's median, or longer by as much. Common practice, no source. */
export const leastLengthShare = 0.75;

/**
 * Passes of one game and config should show the same piece of a scene, and so last about equally long; of two, nobody
 * can tell which is right, and both are flagged.
 * @param passes those that would count
 */
export function flagLengths(passes: readonly PassSummary[]): Map<PassSummary, LengthFlag> {
  const flags = new Map<PassSummary, LengthFlag>();
  const cells = groupBy(passes, ({ game, config }) => JSON.stringify([game, config]));
  for (const cell of cells.values()) {
    const medianSeconds = median(cell.map(({ seconds }) => seconds));
    for (const pass of cell) {
      const { seconds } = pass;
      if (seconds < leastLengthShare * medianSeconds || seconds * leastLengthShare > medianSeconds)
        flags.set(pass, { code: "length-differs", seconds, medianSeconds });
    }
  }
  return flags;
}
