import type { PassSummary } from "../measure/pass-summary.ts";
import { groupBy } from "../shared/group-by.ts";
import type { NonEmpty } from "../shared/non-empty.ts";

/** Identity of a cell, one game under one config, whatever characters its names have. */
export function cellKey({ game, config }: Pick<PassSummary, "game" | "config">): string {
  return `${game.length} ${game}${config}`;
}

/** Passes of one game and config by `cellKey`, in session order. */
export function mapByCell<T>(
  items: readonly T[],
  passOf: (item: T) => PassSummary,
): Map<string, NonEmpty<T>> {
  return groupBy(items, (item) => cellKey(passOf(item)));
}

/** The same without the keys. */
export function groupByCell<T>(items: readonly T[], passOf: (item: T) => PassSummary): NonEmpty<T>[] {
  return [...mapByCell(items, passOf).values()];
}
