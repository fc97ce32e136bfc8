import type { NonEmpty } from "../shared/non-empty.ts";
import { cellKey, mapByCell } from "./cells.ts";
import type { PassFlag } from "./describe-flag.ts";
import type { Limit, Verdict } from "./judgement.ts";
import type { MarkedPass } from "./mark-passes.ts";

export function hasFlag({ flags }: MarkedPass, code: PassFlag["code"]): boolean {
  return flags.some((flag) => flag.code === code);
}

/** Whether most of a cell's passes have a flag. */
export function mostHave(cell: readonly MarkedPass[], code: PassFlag["code"]): boolean {
  return 2 * cell.filter((item) => hasFlag(item, code)).length > cell.length;
}

/** What limits each cell by `cellKey`, where most of its counted passes say so. */
export function findLimits(marked: readonly MarkedPass[]): Map<string, Limit> {
  const cells = countedCells(marked);
  return new Map(
    [...cells].flatMap(([key, cell]) => {
      const limit = (["capped", "gpu-bound"] as const).find((code) => mostHave(cell, code));
      return limit === undefined ? [] : [[key, limit] as const];
    }),
  );
}

/** What limits a comparison: a limit on either side hides what the other side could do. */
export function limitOf(
  limits: ReadonlyMap<string, Limit>,
  { game, config, against }: Pick<Verdict, "game" | "config" | "against">,
): Limit | null {
  return limits.get(cellKey({ game, config })) ?? limits.get(cellKey({ game, config: against })) ?? null;
}

/** The passes that count, by `cellKey`. */
export function countedCells(marked: readonly MarkedPass[]): Map<string, NonEmpty<MarkedPass>> {
  return mapByCell(
    marked.filter(({ counted }) => counted),
    ({ pass }) => pass,
  );
}
