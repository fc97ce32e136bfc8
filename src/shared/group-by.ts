import type { NonEmpty } from "./non-empty.ts";

/** Items by a key, both in the order in which they come. */
export function groupBy<T>(items: readonly T[], keyOf: (item: T) => string): Map<string, NonEmpty<T>> {
  const groups = new Map<string, [T, ...T[]]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [item]);
    else group.push(item);
  }
  return groups;
}
