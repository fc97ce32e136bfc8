import type { CautionFact } from "./describe-caution.ts";

/** A caution about all of these, where there are any. */
export function ifAny<T>(items: readonly T[], factOf: (items: readonly T[]) => CautionFact): CautionFact[] {
  return items.length === 0 ? [] : [factOf(items)];
}
