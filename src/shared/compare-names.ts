const collator = new Intl.Collator("en", { numeric: true });

/** Orders names as people do, "pass-2" before "pass-10", the same everywhere; never equal for different names. */
export function compareNames(a: string, b: string): number {
  // Most names that are compared are alike, and asking the collator costs far more.
  if (a === b) return 0;
  return collator.compare(a, b) || (a < b ? -1 : a > b ? 1 : 0);
}
